import { siteDate } from '../forecasts/index.ts';
import { notFound, Refusal } from '../platform/index.ts';
import type {
  LotNow,
  NamedItem,
  PlanSummary,
  PrepPlan,
  PrepRepository,
  PrepTask,
} from './prep.ports.ts';

/** The fridge as it is now, so far as a list speaks of it. */
export interface FridgeNow {
  /** The lots that the plan takes from. */
  readonly lots: ReadonlyMap<string, LotNow>;
  /** Tasks of which something that they made is held back. */
  readonly heldTasks: ReadonlySet<string>;
}
export type ItemNames = ReadonlyMap<string, Pick<NamedItem, 'name' | 'baseUnit'>>;

/** The prep list of a site's day with the plan it comes from. */
export interface PrepList {
  readonly siteId: string;
  readonly siteName: string;
  readonly zone: string;
  readonly date: string;
  readonly plan: PrepPlan;
  readonly tasks: readonly PrepTask[];
  /** Of the items that the plan and the day's tasks speak of. */
  readonly names: ItemNames;
  readonly versionNumbers: ReadonlyMap<string, number>;
  readonly fridge: FridgeNow;
}

/** What a single task is shown with. */
export interface ShownWith {
  readonly names: ItemNames;
  readonly versionNumbers: ReadonlyMap<string, number>;
  readonly stockUses: PlanSummary['stockUses'];
  readonly fridge: FridgeNow;
}

/** Names and units of some items. */
export async function namesOf(
  prep: Pick<PrepRepository, 'itemsOf'>,
  ids: readonly string[],
): Promise<ItemNames> {
  if (ids.length === 0) return new Map();
  const items = await prep.itemsOf(ids);
  return new Map(items.map(({ id, name, baseUnit }) => [id, { name, baseUnit }]));
}

/** The items that a plan speaks of besides those of its tasks. */
export function itemsOfPlan({ summary }: PrepPlan): readonly string[] {
  const { portions, shortages, stockUses, leftUnused, tight = [] } = summary;
  return [
    ...portions.map(({ dishId }) => dishId),
    ...[...shortages, ...stockUses, ...leftUnused, ...tight].map(({ itemId }) => itemId),
  ];
}

const fridgeNow = async (
  prep: PrepRepository,
  stockUses: PlanSummary['stockUses'],
  tasks: readonly PrepTask[],
): Promise<FridgeNow> => ({
  lots: await prep.lotsNow(stockUses.map(({ lotId }) => lotId)),
  heldTasks: await prep.heldTasks(tasks.map(({ id }) => id)),
});

/**
 * Reads the list of a site's day (today in the site's zone when none is named), and only what is on it.
 * @throws Refusal `not-found` for a site that is not there or has no plan
 */
export async function readList(
  prep: PrepRepository,
  siteId: string,
  now: Date,
  date?: string,
): Promise<PrepList> {
  const site = await prep.siteOf(siteId);
  if (!site) throw notFound('site', siteId);
  const plan = await prep.currentPlan(siteId);
  if (!plan) {
    throw new Refusal(
      'not-found',
      'This site has no plan yet. Ask for one to be worked out first.',
    );
  }
  const today = siteDate(now, site.zone);
  const day = date ?? today;
  const tasks = await prep.tasksOn(siteId, day, day === today);
  const ids = [...itemsOfPlan(plan), ...tasks.map((task) => task.recipeId)];
  return {
    siteId,
    siteName: site.name,
    zone: site.zone,
    date: day,
    plan,
    tasks,
    names: await namesOf(prep, ids),
    versionNumbers: await prep.versionNumbers(tasks.map((task) => task.versionId)),
    fridge: await fridgeNow(prep, plan.summary.stockUses, tasks),
  };
}

/** Reads what a task is shown with: names, its version's number, and what its plan says to use first. */
export async function shownWith(prep: PrepRepository, task: PrepTask): Promise<ShownWith> {
  const plan = await prep.currentPlan(task.siteId);
  const stockUses = plan?.summary.stockUses ?? [];
  return {
    names: await namesOf(prep, [task.recipeId, ...stockUses.map(({ itemId }) => itemId)]),
    versionNumbers: await prep.versionNumbers([task.versionId]),
    stockUses,
    fridge: await fridgeNow(prep, stockUses, [task]),
  };
}
