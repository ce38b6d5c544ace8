import {
  afterReport,
  factsTogether,
  type AfterFacts,
  type AfterRow,
} from '../../core/afterwards/index.ts';
import {
  addDays,
  datesBetween,
  daysBetween,
  serviceDateOf,
  serviceInstant,
} from '../../core/calendar/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  orRefuse,
  type Actor,
  type Clock,
  type UnitOfWork,
} from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import type { AfterwardsRead, PlanView, SoldOutDish, Stretch } from './afterwards.ports.ts';

export interface AfterLine extends AfterRow {
  readonly name: string;
  readonly baseUnit: 'g' | 'ml' | 'each';
}

export interface Afterwards {
  readonly siteId: string;
  readonly siteName: string;
  readonly fromDate: string;
  readonly toDate: string;
  /** Most waste first, then most short. */
  readonly lines: readonly AfterLine[];
  readonly soldOut: readonly SoldOutDish[];
  /** Days of the stretch for which no plan was worked out: nothing was expected of them. */
  readonly daysWithoutPlan: readonly string[];
}

/** A component of the group: all its sites together, and each for itself. */
export interface GroupAfterLine extends AfterLine {
  readonly sites: readonly (AfterRow & { readonly siteId: string })[];
}

export interface GroupAfterwards {
  readonly fromDate: string;
  readonly toDate: string;
  readonly sites: readonly {
    readonly siteId: string;
    readonly name: string;
    readonly daysWithoutPlan: readonly string[];
  }[];
  /** Most waste first, then most short. */
  readonly lines: readonly GroupAfterLine[];
  readonly soldOut: readonly (SoldOutDish & { readonly siteId: string })[];
}

/** What happened at one site. */
interface SiteFacts {
  readonly site: Site;
  readonly facts: AfterFacts;
  readonly soldOut: readonly SoldOutDish[];
  readonly without: readonly string[];
}

/** Longer stretches hide what one could still mend. */
const MOST_DAYS = 92;
const USUAL_DAYS = 7;
const MS_PER_MIN = 60_000;

/** How the days went: what was made, used, thrown away and missing, against what plans expected. */
export class AfterwardsService {
  readonly #read: AfterwardsRead;
  readonly #clock: Clock;

  constructor(deps: {
    readonly work: Pick<UnitOfWork<AfterwardsRead>, 'read'>;
    readonly clock: Clock;
  }) {
    this.#read = deps.work.read;
    this.#clock = deps.clock;
  }

  /**
   * @param from first service date; the seven days to yesterday where none is named
   * @throws Refusal `invalid-input` for a stretch that ends before it begins, is longer than 92 days
   * or reaches beyond today
   */
  async of(siteId: string, from: string | undefined, to: string | undefined): Promise<Afterwards> {
    const site = await this.#read.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    const days = this.#days([site], from, to);
    const { facts, soldOut, without } = await this.#happened(site, days.from, days.to);
    return {
      siteId,
      siteName: site.name,
      fromDate: days.from,
      toDate: days.to,
      lines: await this.#named(afterReport(facts)),
      soldOut,
      daysWithoutPlan: without,
    };
  }

  /**
   * All sites of the asker's together, by component and cause, and each of them beside.
   * @param from as for one site; a day counts as past when it is at all of them
   */
  async ofGroup(
    actor: Actor,
    from: string | undefined,
    to: string | undefined,
  ): Promise<GroupAfterwards> {
    const sites = (await this.#read.sites.all()).filter(
      ({ id, archived }) => !archived && maySeeSite(actor, id),
    );
    const days = this.#days(sites, from, to);
    const all: SiteFacts[] = [];
    for (const site of sites) all.push(await this.#happened(site, days.from, days.to));
    const rowsOf = all.map(({ site, facts }) => ({ siteId: site.id, rows: afterReport(facts) }));
    const together = afterReport(factsTogether(all.map(({ facts }) => facts)));
    const lines = await this.#named(together);
    return {
      fromDate: days.from,
      toDate: days.to,
      sites: all.map(({ site, without }) => ({
        siteId: site.id,
        name: site.name,
        daysWithoutPlan: without,
      })),
      lines: lines.map((line) => ({
        ...line,
        sites: rowsOf.flatMap(({ siteId, rows }) =>
          rows.filter(({ itemId }) => itemId === line.itemId).map((row) => ({ ...row, siteId })),
        ),
      })),
      soldOut: all.flatMap(({ site, soldOut }) =>
        soldOut.map((dish) => ({ ...dish, siteId: site.id })),
      ),
    };
  }

  /** The days asked for, or the seven to yesterday: where sites are a date apart, the earlier one. */
  #days(
    sites: readonly Site[],
    from: string | undefined,
    to: string | undefined,
  ): { readonly from: string; readonly to: string } {
    const nowMin = Math.floor(this.#clock.now().getTime() / MS_PER_MIN);
    const [today = this.#clock.now().toISOString().slice(0, 10)] = sites
      .map(({ zone }) => orRefuse(serviceDateOf(nowMin, zone)))
      .sort();
    const toDate = to ?? (from === undefined ? addDays(today, -1) : today);
    const fromDate = from ?? addDays(toDate, 1 - USUAL_DAYS);
    if (toDate < fromDate) throw invalid('/query/to', 'The last day is before the first.');
    if (toDate > today) throw invalid('/query/to', 'Nothing has happened on that day yet.');
    if (daysBetween(fromDate, toDate) >= MOST_DAYS) {
      throw invalid('/query/from', `Ask for ${MOST_DAYS} days at most.`);
    }
    return { from: fromDate, to: toDate };
  }

  async #happened(site: Site, fromDate: string, toDate: string): Promise<SiteFacts> {
    const { afterwards } = this.#read;
    const instant = (date: string): Date =>
      new Date(orRefuse(serviceInstant(date, '00:00', site.zone)) * MS_PER_MIN);
    const stretch: Stretch = {
      siteId: site.id,
      fromDate,
      toDate,
      from: instant(fromDate),
      before: instant(addDays(toDate, 1)),
    };
    const dayOf = (min: number): string => orRefuse(serviceDateOf(Math.floor(min), site.zone));
    const { chosen, without } = await this.#plansOfDays(stretch, dayOf);
    const facts: AfterFacts = {
      ...(await afterwards.stockFacts(stretch)),
      tasks: await afterwards.tasks(stretch),
      foreseenShort: chosen.flatMap(({ date, plan }) =>
        plan.short.filter((short) => short.serviceDate === date),
      ),
      expectedWaste: chosen.flatMap(({ date, plan }) =>
        plan.unused.filter((lot) => dayOf(lot.useByMin) === date),
      ),
    };
    return { site, facts, soldOut: await afterwards.soldOut(stretch), without };
  }

  /** Rows that are of components, with their names: most waste first, then most short. */
  async #named(rows: readonly AfterRow[]): Promise<readonly AfterLine[]> {
    const components = new Map(
      (await this.#read.afterwards.components(rows.map((row) => row.itemId))).map((one) => [
        one.id,
        one,
      ]),
    );
    return rows
      .flatMap((row): AfterLine[] => {
        const component = components.get(row.itemId);
        return component ? [{ ...row, name: component.name, baseUnit: component.baseUnit }] : [];
      })
      .sort((a, b) => share(b) - share(a) || b.short - a.short || a.name.localeCompare(b.name));
  }

  /** Each day's own plan: the first worked out that day, or else the newest before it. */
  async #plansOfDays(
    stretch: Stretch,
    dayOf: (min: number) => string,
  ): Promise<{
    readonly chosen: readonly { readonly date: string; readonly plan: PlanView }[];
    readonly without: readonly string[];
  }> {
    const times = await this.#read.afterwards.planTimes(stretch);
    const idOf = new Map<string, string>();
    for (const date of datesBetween(stretch.fromDate, stretch.toDate)) {
      const covers = times.filter((plan) => plan.fromDate <= date && date <= plan.toDate);
      const made = (plan: (typeof times)[number]): string =>
        dayOf(plan.workedOutAt.getTime() / MS_PER_MIN);
      const own =
        covers.find((plan) => made(plan) === date) ?? covers.findLast((plan) => made(plan) < date);
      if (own) idOf.set(date, own.id);
    }
    const plans = new Map(
      (await this.#read.afterwards.plans([...new Set(idOf.values())])).map((plan) => [
        plan.id,
        plan,
      ]),
    );
    const dates = datesBetween(stretch.fromDate, stretch.toDate);
    return {
      chosen: dates.flatMap((date) => {
        const plan = plans.get(idOf.get(date) ?? '');
        return plan ? [{ date, plan }] : [];
      }),
      without: dates.filter((date) => !idOf.has(date)),
    };
  }
}

/** Waste as a share of what was made: grams and pieces cannot be ranked together otherwise. */
function share({ wasted, made }: AfterRow): number {
  return wasted <= 0 ? 0 : wasted / Math.max(made, wasted);
}
