/** A quantity of a component with why. Base units. */
export interface Reasoned {
  readonly itemId: string;
  readonly reason: string;
  readonly quantity: number;
}

export interface Plain {
  readonly itemId: string;
  readonly quantity: number;
}

/** Why something was not there: what the plan saw coming, and what happened to the work. */
export const WORK_CAUSES = ['given-up', 'made-less', 'not-made'] as const;

/** A task of the days reported, as it ended. */
export interface EndedTask {
  readonly itemId: string;
  readonly status: string;
  readonly planned: number;
  readonly needed: number;
  readonly made: number | null;
  /** What a person said when they gave it up. */
  readonly reason: string | null;
}

/** What happened at a site over some days. */
export interface AfterFacts {
  readonly made: readonly Plain[];
  readonly used: readonly Plain[];
  readonly sold: readonly Plain[];
  /** What left for another site, and what came from one. */
  readonly sent: readonly Plain[];
  readonly came: readonly Plain[];
  readonly wasted: readonly Reasoned[];
  /** Counts: above zero there was more than the record, below zero less. */
  readonly drift: readonly Plain[];
  /** What plans said would be missing. */
  readonly foreseenShort: readonly Reasoned[];
  readonly tasks: readonly EndedTask[];
  /** What plans left without a use before its date. */
  readonly expectedWaste: readonly Plain[];
}

/** One component afterwards, base units. */
export interface AfterRow {
  readonly itemId: string;
  readonly planned: number;
  readonly made: number;
  readonly used: number;
  readonly sold: number;
  readonly sent: number;
  readonly came: number;
  readonly wasted: number;
  readonly wastedBy: readonly { readonly reason: string; readonly quantity: number }[];
  readonly drift: number;
  readonly short: number;
  readonly shortBy: readonly {
    readonly cause: string;
    readonly quantity: number;
    /** In people's words, where they gave any. */
    readonly words: readonly string[];
  }[];
  /** Made beyond need only because batches are whole. */
  readonly plannedSurplus: number;
  readonly expectedWaste: number;
  /** Above zero: more was thrown away than the plans expected. */
  readonly wasteBeyondExpected: number;
}

/**
 * Adds up, component by component, what was made, used, sold, thrown away and missing, and sets the
 * waste that plans expected (rounding up to whole batches, and stock without a use) beside what was
 * thrown away. A task that was given up, not done, or gave less than was needed is short by what was
 * needed and not made.
 */
export function afterReport(facts: AfterFacts): readonly AfterRow[] {
  const shorts = [
    ...facts.foreseenShort.map((short) => ({ ...short, words: null })),
    ...facts.tasks.flatMap(shortOf),
  ];
  const ids = new Set(
    [
      ...facts.made,
      ...facts.used,
      ...facts.sold,
      ...facts.sent,
      ...facts.came,
      ...facts.wasted,
      ...facts.drift,
      ...shorts,
      ...facts.tasks,
      ...facts.expectedWaste,
    ].map((one) => one.itemId),
  );
  return [...ids].sort().map((itemId): AfterRow => {
    const of = <T extends { readonly itemId: string }>(all: readonly T[]): readonly T[] =>
      all.filter((one) => one.itemId === itemId);
    const total = (all: readonly Plain[]): number => sum(of(all).map((one) => one.quantity));
    const tasks = of(facts.tasks);
    const wasted = total(facts.wasted);
    const plannedSurplus = sum(tasks.map((task) => Math.max(0, task.planned - task.needed)));
    const expectedWaste = plannedSurplus + total(facts.expectedWaste);
    const own = of(shorts);
    return {
      itemId,
      planned: sum(tasks.map((task) => task.planned)),
      made: total(facts.made),
      used: total(facts.used),
      sold: total(facts.sold),
      sent: total(facts.sent),
      came: total(facts.came),
      wasted,
      wastedBy: byKey(of(facts.wasted), (one) => one.reason).map(([reason, rows]) => ({
        reason,
        quantity: sum(rows.map((row) => row.quantity)),
      })),
      drift: total(facts.drift),
      short: sum(own.map((one) => one.quantity)),
      shortBy: byKey(own, (one) => one.reason).map(([cause, rows]) => ({
        cause,
        quantity: sum(rows.map((row) => row.quantity)),
        words: [...new Set(rows.flatMap((row) => row.words ?? []))],
      })),
      plannedSurplus,
      expectedWaste,
      wasteBeyondExpected: wasted - expectedWaste,
    };
  });
}

/**
 * What happened at several sites, as one: the report of it adds their reports up. What one sent
 * another is in it twice, as sent and as come; where they differ, it is on its way or was lost.
 */
export function factsTogether(all: readonly AfterFacts[]): AfterFacts {
  return {
    made: all.flatMap((one) => one.made),
    used: all.flatMap((one) => one.used),
    sold: all.flatMap((one) => one.sold),
    sent: all.flatMap((one) => one.sent),
    came: all.flatMap((one) => one.came),
    wasted: all.flatMap((one) => one.wasted),
    drift: all.flatMap((one) => one.drift),
    foreseenShort: all.flatMap((one) => one.foreseenShort),
    tasks: all.flatMap((one) => one.tasks),
    expectedWaste: all.flatMap((one) => one.expectedWaste),
  };
}

function shortOf(task: EndedTask): readonly (Reasoned & { readonly words: string | null })[] {
  const { itemId } = task;
  const [reason, quantity] = shortage(task);
  return quantity <= 0 ? [] : [{ itemId, reason, quantity, words: task.reason }];
}

function shortage({ status, needed, made }: EndedTask): [(typeof WORK_CAUSES)[number], number] {
  if (status === 'abandoned') return ['given-up', needed];
  if (status === 'to_do' || status === 'started') return ['not-made', needed];
  return ['made-less', Math.max(0, needed - (made ?? 0))];
}

const sum = (values: readonly number[]): number =>
  values.reduce((total, value) => total + value, 0);

/** Groups, the largest quantity first, then by key. */
function byKey<T extends Plain>(
  rows: readonly T[],
  keyOf: (row: T) => string,
): readonly (readonly [string, readonly T[]])[] {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const known = groups.get(keyOf(row)) ?? [];
    known.push(row);
    groups.set(keyOf(row), known);
  }
  const size = (all: readonly T[]): number => sum(all.map((row) => row.quantity));
  return [...groups].sort((a, b) => size(b[1]) - size(a[1]) || a[0].localeCompare(b[0]));
}
