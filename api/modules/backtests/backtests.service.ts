import { backtestCovers } from '../../core/backtest/index.ts';
import type { DatedEvent } from '../../core/backtest/index.ts';
import { addDays, daysBetween } from '../../core/calendar/index.ts';
import { HISTORY_DAYS, coversSeries, siteDate } from '../forecasts/index.ts';
import type { CoversOverride, SeriesRows } from '../forecasts/index.ts';
import { invalid, maySeeSite, notFound, orRefuse, Refusal } from '../platform/index.ts';
import type { Actor, Clock, NewId, UnitOfWork } from '../platform/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import type { BacktestsWork, BacktestSettings, KeptBacktest } from './backtests.ports.ts';

export interface BacktestRequest {
  readonly serviceId: string;
  readonly horizons: readonly number[];
  /** Left out: eight weeks up to yesterday. */
  readonly from?: string;
  readonly to?: string;
  readonly everyDays: number;
}

const USUAL_ORIGINS = 56;
/** What one request may ask for; a test of this size takes seconds. */
export const MOST_ORIGINS = 120;
export const MOST_HORIZONS = 14;
export const MOST_DAYS_AHEAD = 60;
/** Tests kept of a service. */
const KEPT = 10;

export interface BacktestsDependencies {
  readonly work: UnitOfWork<BacktestsWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** Tests the forecast over a service's own past, and keeps what came out. */
export class BacktestsService {
  readonly #deps: BacktestsDependencies;

  constructor(deps: BacktestsDependencies) {
    this.#deps = deps;
  }

  /**
   * Rolls the origin over the service's history: on each morning a forecast is made from nothing
   * but what was known by then, and set against what came, three plain guesses and the site's own
   * overrides.
   * @throws Refusal `invalid-input` for dates turned round, to come, or too many; `missing-data`
   *         where no covers are on record in that time
   */
  async run(actor: Actor, siteId: string, request: BacktestRequest): Promise<KeptBacktest> {
    const { sites, forecasts } = this.#deps.work.read;
    const site = await sites.find(siteId);
    if (!site || !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    const service = await sites.findService(request.serviceId);
    if (service?.siteId !== siteId) throw notFound('service of this site', request.serviceId);
    const now = this.#deps.clock.now();
    const today = siteDate(now, site.zone);
    const settings = settingsOf(request, today);
    const historyFrom = addDays(today, -HISTORY_DAYS);
    const lastDate = addDays(settings.to, Math.max(...settings.horizons));
    const to = lastDate < today ? lastDate : addDays(today, -1);
    const rows = await forecasts.rowsOf([service.id], historyFrom, to);
    const overrides = await forecasts.overridesOf([service.id], settings.from, to);
    const tested = orRefuse(
      backtestCovers(backtestInput(service, site, rows, overrides, settings, now)),
    );
    if (tested.points.length === 0) {
      throw new Refusal('missing-data', 'No covers are on record in that time to test against.');
    }
    const { modelVersion, ...result } = tested;
    const kept: KeptBacktest = {
      id: this.#deps.newId('bt'),
      siteId,
      serviceId: service.id,
      ranAt: now,
      ranBy: actor.name,
      modelVersion,
      settings,
      result,
    };
    await this.#deps.work.run(async ({ backtests }) => {
      await backtests.insert(kept);
      await backtests.keepNewest(service.id, KEPT);
    });
    return kept;
  }

  async one(actor: Actor, id: string): Promise<KeptBacktest> {
    const found = await this.#deps.work.read.backtests.find(id);
    if (!found || !maySeeSite(actor, found.siteId)) throw notFound('backtest', id);
    return found;
  }

  /** The tests kept of a site, newest first. */
  list(siteId: string, serviceId?: string): Promise<readonly Omit<KeptBacktest, 'result'>[]> {
    return this.#deps.work.read.backtests.ofSite(siteId, serviceId ?? null, 50);
  }
}

function settingsOf(request: BacktestRequest, today: string): BacktestSettings {
  const { everyDays } = request;
  const to = request.to ?? addDays(today, -1);
  const from = request.from ?? addDays(to, 1 - USUAL_ORIGINS * everyDays);
  if (to < from) throw invalid('/to', 'The last morning is before the first.');
  if (to >= today) throw invalid('/to', 'Test up to yesterday: nothing has come of today yet.');
  if (from < addDays(today, -HISTORY_DAYS)) {
    throw invalid('/from', `A test reaches at most ${HISTORY_DAYS} days back.`);
  }
  const origins = Math.floor(daysBetween(from, to) / everyDays) + 1;
  if (origins > MOST_ORIGINS) {
    throw invalid(
      '/from',
      `That is ${origins} mornings; test at most ${MOST_ORIGINS}, or fewer of them with everyDays.`,
    );
  }
  return { horizons: [...new Set(request.horizons)].sort((a, b) => a - b), from, to, everyDays };
}

function backtestInput(
  service: MealService,
  site: Site,
  rows: SeriesRows,
  overrides: readonly CoversOverride[],
  settings: BacktestSettings,
  now: Date,
): Parameters<typeof backtestCovers>[0] {
  const series = coversSeries({ service, rows, zone: site.zone, now });
  // What is told of a date counts from the day on which the first word of it was said.
  const toldOn = new Map<string, string>();
  for (const event of rows.events) {
    const told = siteDate(event.createdAt, site.zone);
    const before = toldOn.get(event.serviceDate);
    if (before === undefined || told > before) toldOn.set(event.serviceDate, told);
  }
  const events = [...toldOn].flatMap(([date, knownFrom]): DatedEvent[] => {
    const event = series.eventOn(date);
    return event === undefined ? [] : [{ ...event, knownFrom }];
  });
  return {
    history: series.history,
    statedCovers: series.statedCovers,
    capacityCovers: series.capacityCovers,
    events,
    overrides: overrides.map((override) => ({
      serviceDate: override.serviceDate,
      covers: override.covers,
      daysBefore: daysBetween(siteDate(override.enteredAt, site.zone), override.serviceDate),
    })),
    horizons: settings.horizons,
    firstOrigin: settings.from,
    lastOrigin: settings.to,
    everyDays: settings.everyDays,
  };
}
