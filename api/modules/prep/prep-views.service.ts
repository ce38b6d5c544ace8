import { addDays } from '../../core/calendar/index.ts';
import { siteDate } from '../forecasts/index.ts';
import { invalid, type Actor } from '../platform/index.ts';
import type { LotNow, PrepTask } from './prep.ports.ts';
import type { PrepService } from './prep.service.ts';
import { namesOf, type PrepList } from './read-list.ts';
import type { PrepDependencies } from './prep.service.ts';

/** Days that one production view may span. */
const MOST_DAYS = 31;

/** What is made on which day. */
export interface Production {
  readonly list: PrepList;
  readonly from: string;
  readonly dates: readonly string[];
  readonly rows: readonly ProductionRow[];
}
export interface ProductionRow {
  readonly recipeId: string;
  readonly station: string;
  /** Base units and batches by date; a date without an entry makes none. */
  readonly days: ReadonlyMap<string, { readonly quantity: number; readonly batches: number }>;
}

/** What must happen today for tomorrow. */
export interface PullList {
  readonly list: PrepList;
  /** The day it is done, and the day it is for. */
  readonly date: string;
  readonly forDate: string;
  /** Frozen stock that tomorrow's services and batches use, by lot. */
  readonly outOfFreezer: readonly {
    readonly lotId: string;
    readonly itemId: string;
    readonly quantity: number;
    readonly useBy: Date;
    /** Who takes it, and when. */
    readonly usedBy: string;
    readonly at: Date;
  }[];
  /** Tasks of today that are ready only tomorrow or later: begun late they are too late. */
  readonly beginToday: readonly PrepTask[];
}

/** The plan of a site seen otherwise than as one day's list. */
export class PrepViewsService {
  readonly #deps: Pick<PrepDependencies, 'work' | 'clock'>;
  readonly #prep: PrepService;

  constructor(deps: Pick<PrepDependencies, 'work' | 'clock'>, prep: PrepService) {
    this.#deps = deps;
    this.#prep = prep;
  }

  /** Tasks of some days, in order of their start. */
  async tasks(
    actor: Actor,
    siteId: string,
    from: string | undefined,
    days: number,
  ): Promise<{
    readonly list: PrepList;
    readonly from: string;
    readonly tasks: readonly PrepTask[];
    /** When they were read, and the date at the site then. */
    readonly now: { readonly at: Date; readonly date: string };
  }> {
    if (days < 1 || days > MOST_DAYS) {
      throw invalid('/days', `Ask for 1 to ${MOST_DAYS} days.`);
    }
    const at = this.#deps.clock.now();
    const list = await this.#prep.list(actor, siteId, from);
    const last = addDays(list.date, days - 1);
    const { prep } = this.#deps.work.read;
    const tasks = await prep.tasksBetween(siteId, list.date, last);
    const others = await namesOf(
      prep,
      tasks.map((task) => task.recipeId),
    );
    return {
      list: { ...list, names: new Map([...list.names, ...others]) },
      from: list.date,
      tasks,
      now: { at, date: siteDate(at, list.zone) },
    };
  }

  /** Components by the days they are made on, by station and then by name. */
  async production(
    actor: Actor,
    siteId: string,
    from: string | undefined,
    days: number,
  ): Promise<Production> {
    const { list, from: first, tasks } = await this.tasks(actor, siteId, from, days);
    const dates = Array.from({ length: days }, (_, i) => addDays(first, i));
    const rows = new Map<string, { recipeId: string; station: string; days: Map<string, Made> }>();
    for (const task of tasks) {
      if (task.status === 'abandoned') continue;
      const row = rows.get(task.recipeId) ?? {
        recipeId: task.recipeId,
        station: task.station,
        days: new Map<string, Made>(),
      };
      rows.set(task.recipeId, row);
      const day = row.days.get(task.makeDate) ?? { quantity: 0, batches: 0 };
      row.days.set(task.makeDate, {
        quantity: day.quantity + (task.madeQuantity ?? task.quantity),
        batches: day.batches + task.batches,
      });
    }
    const nameOf = (id: string): string => list.names.get(id)?.name ?? id;
    const sorted = [...rows.values()].sort(
      (a, b) =>
        a.station.localeCompare(b.station) || nameOf(a.recipeId).localeCompare(nameOf(b.recipeId)),
    );
    return { list, from: first, dates, rows: sorted };
  }

  /** What must be taken out or begun on a date for the next one. */
  async pullList(actor: Actor, siteId: string, date?: string): Promise<PullList> {
    const list = await this.#prep.list(actor, siteId, date);
    const forDate = addDays(list.date, 1);
    const on = (at: Date): string => siteDate(at, list.zone);
    const minutes = (min: number): Date => new Date(min * 60_000);
    const frozen = await this.#deps.work.read.prep.frozenAmong(
      list.plan.summary.stockUses.map(({ itemId }) => itemId),
    );
    const outOfFreezer = list.plan.summary.stockUses
      .filter((use) => frozen.has(use.itemId) && on(minutes(use.usedBy.atMin)) === forDate)
      .filter((use) => isThere(list.fridge.lots.get(use.lotId)))
      .map((use) => ({
        lotId: use.lotId,
        itemId: use.itemId,
        quantity: use.quantity,
        useBy: minutes(use.useByMin),
        usedBy: use.usedBy.label,
        at: minutes(use.usedBy.atMin),
      }));
    const beginToday = list.tasks.filter(
      (task) =>
        (task.status === 'to_do' || task.status === 'started') && on(task.readyBy) >= forDate,
    );
    return { list, date: list.date, forDate, outOfFreezer, beginToday };
  }
}

/** Whether something may be taken from a lot: a plan does not know what was held or emptied since. */
const isThere = (lot: LotNow | undefined): boolean =>
  lot !== undefined && lot.quantity > 0 && !lot.held;

type Made = { readonly quantity: number; readonly batches: number };
