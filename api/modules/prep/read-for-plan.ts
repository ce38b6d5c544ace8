import { addDays } from '../../core/calendar/index.ts';
import { ROWS_DAYS, planForecasts, siteDate, type PlannedForecast } from '../forecasts/index.ts';
import { parBasis, planPars, readParTables, type PlanPars } from '../par-levels/index.ts';
import { notFound } from '../platform/index.ts';
import type { NewId } from '../platform/index.ts';
import { readCentral, type CentralRead } from './central-input.ts';
import type { PlanningData } from './planning-data.ports.ts';
import type { PrepRepository, PrepTask, PrepWork } from './prep.ports.ts';

/** Everything a plan is worked out from, and the tasks that stand. */
export interface ReadForPlan {
  readonly data: PlanningData;
  readonly today: string;
  readonly standing: readonly PrepTask[];
  readonly expected: readonly PlannedForecast[];
  readonly pars: PlanPars;
  readonly stands: Standing;
  readonly central: CentralRead;
}

/** What must not have changed while a plan was computed. */
export interface Standing {
  /** The plan in place, and what chefs ticked. */
  readonly tasks: string;
  /** The fridge and the book; on the last try the plan is kept though they moved. */
  readonly stockAndCovers: string;
}

/** The plan that is asked for. */
export interface PlanAsked {
  readonly siteId: string;
  readonly now: Date;
  readonly days: number;
  /** Of what other sites make only what they promised, instead of asking them anew. */
  readonly onlyPromised: boolean;
}

/**
 * Reads what a plan of a site is worked out from, behind the site's lock.
 * @throws Refusal `not-found` for an unknown site
 */
export async function readForPlan(
  work: PrepWork,
  newId: NewId,
  asked: PlanAsked,
): Promise<ReadForPlan> {
  const { siteId, now, days, onlyPromised } = asked;
  const { prep, planningData, forecasts } = work;
  await prep.lockSite(siteId);
  const { data, today, historyFrom } = await load(planningData, asked);
  const standing = await prep.openTasks(siteId, addDays(today, -1));
  const expected = await planForecasts(forecasts, {
    ...data,
    rows: data.covers,
    historyFrom,
    now,
    days,
    newId,
  });
  const basis = parBasis(
    await readParTables(work, siteId, now),
    data.services,
    expected,
    data.covers,
    now,
  );
  const pars = planPars(
    basis,
    await work.pars.ofSite(siteId, false),
    await work.pars.overridesOf(siteId, today, addDays(today, days)),
  );
  const central = await readCentral(work, { data, now, today, days, onlyPromised });
  const stands = await standsAs(prep, siteId, today);
  return { data, today, standing, expected, pars, central, stands };
}

async function load(
  planningData: PrepWork['planningData'],
  { siteId, now, days }: PlanAsked,
): Promise<{ readonly data: PlanningData; readonly today: string; readonly historyFrom: string }> {
  // The widest "today" of any zone bounds what is read; the site's own decides what is planned.
  const utcDate = now.toISOString().slice(0, 10);
  const historyFrom = addDays(utcDate, -ROWS_DAYS);
  const data = await planningData.load(siteId, historyFrom, addDays(utcDate, days + 1));
  if (!data) throw notFound('site', siteId);
  return { data, today: siteDate(now, data.site.zone), historyFrom };
}

/** How tasks, plan, fridge and bookings of a site stand now. */
export async function standsAs(
  prep: PrepRepository,
  siteId: string,
  today: string,
): Promise<Standing> {
  const plan = await prep.currentPlan(siteId);
  const tasks = await prep.openTasks(siteId, addDays(today, -1));
  const marks = tasks.map(
    ({ id, status, madeQuantity }) => `${id} ${status} ${madeQuantity ?? ''}`,
  );
  return {
    tasks: [plan?.id ?? 'no plan', ...marks.sort()].join('\n'),
    stockAndCovers: await prep.stockAndCovers(siteId, addDays(today, -1)),
  };
}
