import { mainOutput } from './component-runs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanSolution, Shortage } from './plan-output.ts';

const DUST = 1e-6;

function costOf(draft: PlanDraft): number {
  return draft.methods.reduce((sum, { costMin }) => sum + costMin, 0);
}

/** What is short in batches, so that amounts of different components can be added up. */
function shortBatches(
  { itemId, quantity, serviceDate }: Shortage,
  { versions }: PlanDraft,
): number {
  const version = versions.on(itemId, serviceDate);
  return version ? quantity / mainOutput(version).quantity : 1;
}

/** What is short of all components, or of those named, in batches. */
export function shortOf(draft: PlanDraft, its: (itemId: string) => boolean = () => true): number {
  return draft.shortages
    .filter(({ itemId }) => its(itemId))
    .reduce((sum, short) => sum + shortBatches(short, draft), 0);
}

/** Whether plan `a` leaves less short than `b`, or as little at less cost. */
export function isBetter(a: PlanDraft, b: PlanDraft): boolean {
  const [shortA, shortB] = [shortOf(a), shortOf(b)];
  if (Math.abs(shortA - shortB) > DUST) return shortA < shortB;
  return costOf(a) < costOf(b) - DUST;
}

function solution(
  method: PlanSolution['method'],
  draft: PlanDraft,
  boundMin: number,
): PlanSolution {
  const costMin = costOf(draft);
  const proven = Math.min(costMin, boundMin);
  const gap = costMin - proven <= 1e-7 * Math.max(1, costMin) ? 0 : (costMin - proven) / costMin;
  const handsMin = draft.methods.reduce((sum, one) => sum + one.handsMin, 0);
  return { method, costMin, handsMin, boundMin: proven, gap, components: draft.methods };
}

/** Components that use another or are used by one. */
export function linkedOf(draft: PlanDraft): ReadonlySet<string> {
  const linked = new Set<string>();
  for (const version of draft.input.versions) {
    if (draft.items.get(version.itemId)?.kind !== 'component') continue;
    for (const line of version.recipe.lines) {
      if (draft.items.get(line.itemId)?.kind !== 'component') continue;
      if (draft.needs.of(version.itemId).length === 0) continue;
      linked.add(line.itemId);
      linked.add(version.itemId);
    }
  }
  return linked;
}

/** What is proven of the components that stand alone: each has its exact plan. */
function aloneBound(draft: PlanDraft): number {
  const linked = linkedOf(draft);
  return draft.methods
    .filter(({ itemId }) => !linked.has(itemId))
    .reduce((sum, { boundMin }) => sum + boundMin, 0);
}

/**
 * What a plan made level by level can say of itself: components that use no other and are used by
 * none have their exact plan; of the others only set-ups and batches that must be are proven, which
 * here is left at nothing.
 */
export function levelSolution(draft: PlanDraft): PlanSolution {
  return solution('level-by-level', draft, aloneBound(draft));
}

/**
 * What a plan can say of itself where its linked components have been bounded together.
 *
 * @param bounds by set of linked components, and of what found no room (`linkedBounds`)
 * @param searched whether the plan keeps to what a search over all components found
 */
export function boundedSolution(
  draft: PlanDraft,
  bounds: ReadonlyMap<string, number>,
  searched: boolean,
): PlanSolution {
  const together = [...bounds.values()].reduce((sum, bound) => sum + bound, 0);
  return solution(searched ? 'together' : 'level-by-level', draft, aloneBound(draft) + together);
}
