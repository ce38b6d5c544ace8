import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { PlanDraft } from './plan-draft.ts';
import { levelByLevel } from './plan-site.ts';
import type { Drafted, Prepared } from './plan-site.ts';
import { isBetter, shortOf } from './plan-solution.ts';

const DUST = 1e-6;

/**
 * The plan that keeps to what was wished for where that is better than what stands: to all of it, or
 * to what was wished for the sets of components that gain by it.
 *
 * @returns null where nothing is better than what stands
 */
export function keepingTo(
  prepared: Prepared,
  wishes: PlanDraft['wishes'],
  sets: readonly (readonly string[])[],
  standing: Drafted,
): Result<Drafted | null> {
  const all = levelByLevel({ ...prepared, wishes });
  if (!all.ok) return all;
  let best = isBetter(all.value.draft, standing.draft) ? all.value : null;
  const gaining = sets.filter((ids) => gains(ids, all.value.draft, standing.draft));
  const wished = new Set(gaining.flat());
  if (wished.size === 0 || gaining.length === sets.length) return ok(best);
  const some = levelByLevel({
    ...prepared,
    wishes: new Map([...wishes].filter(([id]) => wished.has(id))),
  });
  if (!some.ok) return some;
  if (isBetter(some.value.draft, (best ?? standing).draft)) best = some.value;
  return ok(best);
}

/** Whether a set of components costs less in plan `a` and leaves no more short. */
function gains(ids: readonly string[], a: PlanDraft, b: PlanDraft): boolean {
  const [now, before] = [a, b].map((draft) => setFigures(ids, draft));
  if (!now || !before) return false;
  return now.short <= before.short + DUST && now.costMin < before.costMin - DUST;
}

function setFigures(ids: readonly string[], draft: PlanDraft) {
  const its = new Set(ids);
  const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
  return {
    costMin: sum(
      draft.methods.filter(({ itemId }) => its.has(itemId)).map(({ costMin }) => costMin),
    ),
    short: shortOf(draft, (itemId) => its.has(itemId)),
  };
}
