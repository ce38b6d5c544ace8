import type { CompletedService, ForecastTarget } from '../../api/core/forecast/index.ts';
import { forecastCovers, serviceDateOf, weekdayOf } from '../../api/core/forecast/index.ts';

export interface BenchLine {
  readonly name: string;
  readonly ratio: number;
  readonly aim: string;
  readonly met: boolean;
}

const DAYS = 730;
const FIRST_DAY = 19_723;
const AHEAD = 28;
const SNAPSHOT_DAYS = [28, 21, 14, 10, 7, 6, 5, 4, 3, 2, 1, 0];

interface Series {
  readonly history: readonly CompletedService[];
  readonly openBookings: readonly {
    serviceDate: string;
    snapshots: CompletedService['snapshots'];
  }[];
  /** The same numbers as plain lists: final covers, and bookings at each snapshot day. */
  readonly lists: readonly (readonly number[])[];
}

/** An invented series, cheap to make and different for every seed. */
function makeSeries(seed: number): Series {
  let state = (seed * 2_654_435_761) >>> 0 || 1;
  const uniform = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 4_294_967_296;
  };
  const lists: number[][] = [[], ...SNAPSHOT_DAYS.map(() => [])];
  const service = (i: number): CompletedService => {
    const day = FIRST_DAY + i;
    const weekday = weekdayOf(day);
    const usual = 40 + (seed % 5) * 20 + weekday * 6 + 15 * Math.sin(i / 58);
    const actualCovers = Math.round(usual * (0.75 + 0.5 * uniform()));
    const snapshots = SNAPSHOT_DAYS.map((daysBefore) => ({
      daysBefore,
      booked: Math.round(actualCovers * 0.8 * Math.exp(-daysBefore / 8)),
    }));
    return { serviceDate: serviceDateOf(day), weekday, actualCovers, snapshots };
  };
  const history = Array.from({ length: DAYS }, (_, i) => service(i));
  for (const day of history) {
    lists[0]?.push(day.actualCovers ?? 0);
    day.snapshots.forEach((s, i) => lists[i + 1]?.push(s.booked));
  }
  const openBookings = Array.from({ length: AHEAD }, (_, i) => {
    const { serviceDate, snapshots } = service(DAYS + i);
    return { serviceDate, snapshots: snapshots.filter((s) => s.daysBefore >= i) };
  });
  return { history, openBookings, lists };
}

const TARGETS: readonly ForecastTarget[] = Array.from({ length: AHEAD }, (_, horizonDays) => ({
  serviceDate: serviceDateOf(FIRST_DAY + DAYS + horizonDays),
  weekday: weekdayOf(FIRST_DAY + DAYS + horizonDays),
  horizonDays,
}));

/** The leanest pass of simple exponential smoothing: only the level is kept. */
function smoothedLevel(list: readonly number[]): number {
  let level = list[0] ?? 0;
  for (let t = 1; t < list.length; t += 1) level += 0.3 * ((list[t] ?? 0) - level);
  return level;
}

/**
 * Time of forecasting one series and of one smoothing pass over the same lists, ms: of `count`
 * series those of the quickest tenth. All series are the same work, and what another took longer
 * is what a busy machine did in between.
 */
function timeSeries(count: number): { readonly forecast: number; readonly smoothing: number } {
  const forecast = new Float64Array(count);
  const smoothing = new Float64Array(count);
  let kept = 0;
  for (let seed = 1; seed <= count; seed += 1) {
    const { history, openBookings, lists } = makeSeries(seed);
    const before = performance.now();
    const made = forecastCovers({
      asOf: '2026-01-01T06:00:00Z',
      targets: TARGETS,
      history,
      openBookings,
      capacityCovers: 400,
    });
    const between = performance.now();
    for (const list of lists) kept += smoothedLevel(list);
    smoothing[seed - 1] = performance.now() - between;
    forecast[seed - 1] = between - before;
    if (!made.ok || made.value.targets.length !== AHEAD)
      throw new Error('The forecast was refused');
  }
  if (!Number.isFinite(kept)) throw new Error('The smoothing pass gave no number');
  return { forecast: quickest(forecast), smoothing: quickest(smoothing) };
}

/** The time that a tenth of the series stay under. */
function quickest(times: Float64Array): number {
  return times.sort()[Math.floor(times.length / 10)] ?? Number.NaN;
}

/**
 * Two years of 500 sites with two services each, forecast 28 days ahead from nothing: time as a
 * ratio to one pass of simple exponential smoothing over the same lists, and how it grows with the
 * number of series.
 */
export async function benchForecast(): Promise<BenchLine[]> {
  timeSeries(50);
  const quarter = timeSeries(250);
  const all = timeSeries(1000);
  const ratio = all.forecast / all.smoothing;
  const growth = all.forecast / quarter.forecast;
  return [
    {
      name: '1000 series of 2 years, 28 days ahead: time against one smoothing pass over the same lists',
      ratio,
      aim: 'under 40',
      met: ratio < 40,
    },
    {
      name: 'one of 1000 series against one of 250 (1 is linear)',
      ratio: growth,
      aim: 'under 1.25',
      met: growth < 1.25,
    },
  ];
}
