import { addDays, wallClockOf } from '../../core/calendar/index.ts';
import { orRefuse, type Actor, type Clock, type UnitOfWork } from '../platform/index.ts';
import type { NightJob, NightRun, NightWork } from './night-work.ports.ts';

/** Whose work it is. */
const NIGHT_ACTOR: Actor = {
  kind: 'system',
  id: 'night-work',
  name: 'night work',
  role: 'admin',
  siteIds: 'all',
};
/** Plans are worked out anew from three in the morning on, before the first baker comes in. */
const SITE_FROM_HOUR = 3;
/** Later than this nobody's list is changed unasked: the day is under way. */
const SITE_BEFORE_HOUR = 11;
const GROUP_FROM_HOUR_UTC = 1;
/** A job begun so long ago is not being done by anybody any more. */
const GONE_AFTER_MS = 2 * 60 * 60_000;
const MAX_ATTEMPTS = 3;
const ORDER_DAYS = 7;
/** Repeats of requests come within hours, questions about a night within weeks. */
const FORGET_AFTER_DAYS = 30;
const DAY_MS = 24 * 60 * 60_000;

/** What a night does, by the services that do it. */
export interface NightWorkDependencies {
  readonly work: UnitOfWork<NightWork>;
  readonly clock: Clock;
  readonly forecasts: {
    refreshAll(actor: Actor): Promise<{ readonly sites: number; readonly sittings: number }>;
  };
  /** A plan may have others worked out with it: of sites that make for this one. */
  readonly prep: {
    workOutWithMakers(
      actor: Actor,
      siteId: string,
      days?: number,
      effort?: 'search',
    ): Promise<{ readonly siteIds: readonly string[] }>;
  };
  readonly orders: {
    runOrders(
      actor: Actor,
      ask: { readonly siteIds: readonly string[]; readonly days: number },
    ): Promise<unknown>;
  };
}

/**
 * The work of a night, safe to ask for from any number of processes: each piece is taken by one of
 * them, is begun again when it failed or whoever did it is gone, and is done once a date.
 */
export class NightWorkService {
  readonly #deps: NightWorkDependencies;

  constructor(deps: NightWorkDependencies) {
    this.#deps = deps;
  }

  /**
   * What is to be done now: the forecasts of the group and what may be forgotten, once a date (UTC)
   * from one o'clock on; plan and orders of each site, once a date of its own, between three and
   * eleven o'clock of its own time. A night that was missed is made up for while its time lasts.
   */
  async due(): Promise<readonly NightJob[]> {
    const now = this.#deps.clock.now();
    const { sites, nightRuns } = this.#deps.work.read;
    const jobs: NightJob[] = [];
    const utc = hourIn(now, 'UTC');
    if (utc.hour >= GROUP_FROM_HOUR_UTC) {
      jobs.push({ kind: 'forecasts', key: 'group', date: utc.date });
      jobs.push({ kind: 'tidy', key: 'group', date: utc.date });
    }
    for (const site of await sites.all()) {
      if (site.archived) continue;
      const local = hourIn(now, site.zone);
      if (local.hour < SITE_FROM_HOUR || local.hour >= SITE_BEFORE_HOUR) continue;
      jobs.push({ kind: 'site', key: site.id, date: local.date });
    }
    const known = await nightRuns.since(addDays(utc.date, -1));
    return jobs.filter((job) => {
      const run = known.find((one) => isSame(one, job));
      return run === undefined || mayBeginAgain(run, now);
    });
  }

  /** Does a job if it is to be had. @returns 'not ours' when another process has it or did it */
  async run(job: NightJob): Promise<'done' | 'failed' | 'not ours'> {
    const { work, clock } = this.#deps;
    const now = clock.now();
    const attempt = await work.read.nightRuns.claim(job, {
      now,
      goneBefore: new Date(now.getTime() - GONE_AFTER_MS),
      maxAttempts: MAX_ATTEMPTS,
    });
    if (attempt === null) return 'not ours';
    try {
      const detail = await this.#do(job);
      await work.read.nightRuns.end(job, 'done', detail, clock.now());
      return 'done';
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      await work.read.nightRuns.end(job, 'failed', why.slice(0, 1000), clock.now());
      return 'failed';
    }
  }

  /** The latest runs, for whoever wants to know how the night went. */
  latest(limit = 200): Promise<readonly NightRun[]> {
    return this.#deps.work.read.nightRuns.latest(limit);
  }

  async #do({ kind, key }: NightJob): Promise<string> {
    const { forecasts, prep, orders, work, clock } = this.#deps;
    switch (kind) {
      case 'forecasts': {
        const done = await forecasts.refreshAll(NIGHT_ACTOR);
        return `${done.sittings} sittings of ${done.sites} sites`;
      }
      case 'site': {
        const { siteIds } = await prep.workOutWithMakers(
          NIGHT_ACTOR,
          key,
          undefined,
          // At night there is time to look for a plan over all components together.
          'search',
        );
        await orders.runOrders(NIGHT_ACTOR, { siteIds, days: ORDER_DAYS });
        return 'plan and orders';
      }
      case 'tidy': {
        const before = new Date(clock.now().getTime() - FORGET_AFTER_DAYS * DAY_MS);
        return `${await work.read.nightRuns.forgetBefore(before)} rows forgotten`;
      }
    }
  }
}

const isSame = (run: NightRun, job: NightJob): boolean =>
  run.kind === job.kind && run.key === job.key && run.date === job.date;

function mayBeginAgain(run: NightRun, now: Date): boolean {
  if (run.outcome === 'done' || run.attempts >= MAX_ATTEMPTS) return false;
  return run.outcome === 'failed' || now.getTime() - run.startedAt.getTime() > GONE_AFTER_MS;
}

/** The date and the hour that a clock in a zone shows. */
function hourIn(now: Date, zone: string): { readonly date: string; readonly hour: number } {
  const { date, time } = orRefuse(wallClockOf(Math.floor(now.getTime() / 60_000), zone));
  return { date, hour: Number(time.slice(0, 2)) };
}
