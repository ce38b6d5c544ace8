import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { CoolingLimit } from './rule-sets.ts';
import { limitText, lowerBoundC, upperBoundC } from './temperature.ts';

/** One reading: absolute minutes and degC. */
export interface TemperatureReading {
  readonly atMin: number;
  readonly celsius: number;
}

export interface CoolingRecord {
  readonly readings: readonly TemperatureReading[];
  /** When it came off the heat, where somebody knows: needed when the first reading is late. */
  readonly offHeatMin?: number;
}

/** How one target of the limit stands. `not-shown`: no reading proves it in time. */
export interface JudgedTarget {
  readonly toCelsius: number;
  readonly toText: string;
  readonly dueMin: number;
  readonly state: 'met' | 'open' | 'missed' | 'not-shown';
  readonly reachedMin: number | null;
  readonly message: string;
}

export interface CoolingJudgement {
  readonly verdict: 'no-readings' | 'under-way' | 'met' | 'breach';
  /** Start of the clock, absolute minutes; null without readings. */
  readonly startMin: number | null;
  readonly targets: readonly JudgedTarget[];
  /** What is odd about the record beside the targets. */
  readonly remarks: readonly string[];
}

/** More is a slip: no record of one cooling is that long. */
export const MOST_READINGS = 200;

/**
 * Judges a cooling record against a limit.
 *
 * What lies between two readings is unknown, and is taken at its worst: the clock starts at the last
 * reading at or above the start before the first one below it (heating again does not set it back),
 * and a target counts as reached at the first reading that shows it. A record whose first reading is below the start counts from when the food came off
 * the heat; where nobody said so, the targets are not shown.
 *
 * @param nowMin the service's own clock, absolute minutes; readings after it are refused
 * @returns error `out-of-range` for a reading that is no number, lies after `nowMin`, or too many
 */
export function judgeCooling(
  limit: CoolingLimit,
  record: CoolingRecord,
  nowMin: number,
): Result<CoolingJudgement> {
  const checked = checkReadings(record.readings, nowMin);
  if (!checked.ok) return checked;
  const readings = checked.value;
  const first = readings[0];
  if (!first) return ok({ verdict: 'no-readings', startMin: null, targets: [], remarks: [] });
  const remarks: string[] = [];
  const fromC = limit.from === null ? null : lowerBoundC(limit.from);
  const firstBelow = fromC === null ? -1 : readings.findIndex((r) => r.celsius < fromC);
  const hot = fromC === null ? [] : firstBelow < 0 ? readings : readings.slice(0, firstBelow);
  const lastHot = hot.at(-1);
  const unseen = limit.from !== null && lastHot === undefined && record.offHeatMin === undefined;
  if (unseen && limit.from !== null) {
    remarks.push(
      `The first reading is already below ${limitText(limit.from)}: say when it came off the heat, or nothing shows how long it took.`,
    );
  }
  if (
    fromC !== null &&
    readings.slice(firstBelow + 1).some((r) => firstBelow >= 0 && r.celsius >= fromC)
  ) {
    remarks.push('It was heated again: what follows belongs to a new record.');
  }
  const startMin = lastHot?.atMin ?? Math.min(record.offHeatMin ?? first.atMin, first.atMin);
  const after = readings.filter((reading) => reading.atMin >= startMin);
  const targets = limit.targets.map(({ to, withinMin }): JudgedTarget => {
    const dueMin = startMin + withinMin;
    const boundC = upperBoundC(to);
    const reached = after.find((reading) => reading.celsius <= boundC);
    const above = after.filter((r) => r.celsius > boundC && (!reached || r.atMin < reached.atMin));
    const lastAbove = above.at(-1);
    const state = targetState(dueMin, reached, lastAbove, nowMin, unseen);
    return {
      toCelsius: to.celsius,
      toText: limitText(to),
      dueMin,
      state,
      reachedMin: reached?.atMin ?? null,
      message: messageOf(state, limitText(to), withinMin, reached, startMin),
    };
  });
  return ok({ verdict: verdictOf(targets), startMin, targets, remarks });
}

function targetState(
  dueMin: number,
  reached: TemperatureReading | undefined,
  lastAbove: TemperatureReading | undefined,
  nowMin: number,
  unseen: boolean,
): JudgedTarget['state'] {
  if (lastAbove && lastAbove.atMin >= dueMin) return 'missed';
  if (reached) return reached.atMin <= dueMin && !unseen ? 'met' : 'not-shown';
  return nowMin >= dueMin ? 'not-shown' : 'open';
}

function messageOf(
  state: JudgedTarget['state'],
  to: string,
  withinMin: number,
  reached: TemperatureReading | undefined,
  startMin: number,
): string {
  const took = reached ? lengthText(reached.atMin - startMin) : '';
  const within = lengthText(withinMin);
  if (state === 'met') return `${to} reached within ${took}; the limit is ${within}.`;
  if (state === 'open') return `${to} must be reached within ${within}.`;
  if (state === 'missed') return `Still above ${to} after ${within}.`;
  return reached
    ? `Nothing shows that ${to} was reached within ${within}: the first reading that cold came after ${took}.`
    : `Nothing shows that ${to} was reached within ${within}.`;
}

function verdictOf(targets: readonly JudgedTarget[]): CoolingJudgement['verdict'] {
  if (targets.some(({ state }) => state === 'missed' || state === 'not-shown')) return 'breach';
  return targets.every(({ state }) => state === 'met') ? 'met' : 'under-way';
}

/** '90 min', '2 h', '2 h 05 min'. */
export function lengthText(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 120 && whole % 60 !== 0) return `${whole} min`;
  const rest = whole % 60;
  return rest === 0
    ? `${whole / 60} h`
    : `${Math.floor(whole / 60)} h ${String(rest).padStart(2, '0')} min`;
}

/** Readings in order of time, the warmer last of two at one minute; refuses what cannot be. */
export function checkReadings(
  readings: readonly TemperatureReading[],
  nowMin: number,
): Result<readonly TemperatureReading[]> {
  const refuse = (index: number, message: string): Result<never> =>
    err(coreError('out-of-range', message, { path: ['readings', index] }));
  if (readings.length > MOST_READINGS) return refuse(MOST_READINGS, 'Too many readings.');
  for (const [index, { atMin, celsius }] of readings.entries()) {
    if (!Number.isFinite(atMin) || !Number.isFinite(celsius)) {
      return refuse(index, 'A reading is a number of degrees at a time.');
    }
    if (atMin > nowMin) return refuse(index, 'A reading cannot lie in the future.');
  }
  return ok([...readings].sort((a, b) => a.atMin - b.atMin || a.celsius - b.celsius));
}
