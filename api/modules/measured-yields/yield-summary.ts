import {
  describeSample,
  proposeStandardYield,
  summariseWeighings,
  type YieldProposal,
  type YieldWeighing,
} from '../../core/yields/index.ts';
import type { RecipeVersion } from '../recipes/index.ts';
import type { MeasuredYieldRow } from './measured-yields.ports.ts';
import { currentFraction, holds, type TrimYields, type YieldPlace } from './yield-in-version.ts';

/** Mean and spread of a set of weighings. */
export interface Spread {
  readonly n: number;
  readonly mean: number;
  /** Null for one weighing. */
  readonly sd: number | null;
  readonly interval95: readonly [number, number] | null;
}

export interface JudgedRow {
  readonly row: MeasuredYieldRow;
  readonly fraction: number;
  /** Far off the rest; null for those that count for nothing. */
  readonly outlier: boolean | null;
}

/** What has been weighed of one loss of one line or step, and what follows from it. */
export interface YieldSummary extends YieldPlace {
  readonly label: string;
  /** What the version being worked towards says; null where it states none. */
  readonly currentFraction: number | null;
  readonly spread: Spread | null;
  readonly outlierNote: string | null;
  readonly sites: readonly ({ readonly siteId: string } & Spread)[];
  readonly proposal: YieldProposal | null;
  /** Why there is no proposal to accept. */
  readonly noProposal: string | null;
  readonly samples: readonly JudgedRow[];
}

/** Rejected and withdrawn weighings are kept and count for nothing. */
export function counts({ status }: Pick<MeasuredYieldRow, 'status'>): boolean {
  return status === 'recorded' || status === 'accepted';
}

export function placeKey({ targetKey, kind }: Pick<YieldPlace, 'targetKey' | 'kind'>): string {
  return `${targetKey}:${kind}`;
}

/** Summaries by what was weighed, in the order it was first weighed. `rows` oldest first. */
export function summarise(
  rows: readonly MeasuredYieldRow[],
  working: RecipeVersion | null,
  trimOf: TrimYields,
): readonly YieldSummary[] {
  const groups = new Map<string, MeasuredYieldRow[]>();
  for (const row of rows) {
    const key = placeKey(row);
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups.values()].map((group) => summaryOf(group, working, trimOf));
}

function summaryOf(
  rows: readonly MeasuredYieldRow[],
  working: RecipeVersion | null,
  trimOf: TrimYields,
): YieldSummary {
  const last = rows.at(-1);
  if (!last) throw new Error('A summary is of at least one weighing.');
  const place: YieldPlace = { target: last.target, targetKey: last.targetKey, kind: last.kind };
  const counted = rows.filter(counts);
  const measured = summariseWeighings(counted.map(toWeighing));
  const judged = measured.ok ? measured.value : null;
  const outliers = new Map(counted.map((row, i) => [row.id, judged?.weighings[i]?.outlier]));
  const stands = working !== null && placeStands(working, place);
  const current = stands ? currentFraction(working, place, trimOf) : undefined;
  const proposal = proposeStandardYield(counted.map(toWeighing), current);
  const gone =
    last.target === 'batch'
      ? 'By now the recipe says otherwise what a batch gives; weigh some of those.'
      : `${last.label} is not in the version being worked towards.`;
  return {
    ...place,
    label: last.label,
    currentFraction: current ?? null,
    spread: judged && spreadOf(counted),
    outlierNote: judged?.outlierNote ?? null,
    sites: [...new Set(counted.map(({ siteId }) => siteId))].map((siteId) => ({
      siteId,
      ...spreadOf(counted.filter((row) => row.siteId === siteId)),
    })),
    proposal: stands && proposal.ok ? proposal.value : null,
    noProposal: !stands ? gone : proposal.ok ? null : proposal.error.message,
    samples: rows.map((row) => ({
      row,
      fraction: row.after / row.before,
      outlier: outliers.get(row.id) ?? null,
    })),
  };
}

/** A batch is weighed against what its version says it gives: it stands while that is unchanged. */
function placeStands(working: RecipeVersion, place: YieldPlace): boolean {
  return place.target === 'batch' ? place.targetKey === batchKey(working) : holds(working, place);
}

/** A batch's key: what one batch gives as written, so that an unchanged output keeps its weighings. */
export function batchKey({ output }: Pick<RecipeVersion, 'output'>): string {
  return `batch:${output.quantity}`;
}

const toWeighing = (row: MeasuredYieldRow): YieldWeighing => ({
  date: row.measuredOn,
  before: row.before,
  after: row.after,
});

function spreadOf(rows: readonly MeasuredYieldRow[]): Spread {
  const { n, mean, sd, interval95 } = describeSample(rows.map((row) => row.after / row.before));
  return { n, mean, sd: sd ?? null, interval95: interval95 ?? null };
}
