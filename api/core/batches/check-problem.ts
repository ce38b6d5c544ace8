import { coreError } from '../shared/errors.ts';
import type { CoreError } from '../shared/errors.ts';
import type { BatchProblem, PlanCosts } from './batch-plan.ts';
import { batchRuleProblem, maxSteps, minSteps } from './batch-rule.ts';
import type { BatchRule } from './batch-rule.ts';
import { lotsOf } from './evaluate-runs.ts';

function costsProblem(costs: PlanCosts): CoreError | undefined {
  const all = [
    costs.setup,
    costs.perUnitWaste,
    costs.holdingPerUnitPerDay,
    costs.agePenalty,
    costs.perBatch ?? 0,
    costs.endSurplusPerUnit ?? 0,
  ];
  const sound = all.every((value) => Number.isFinite(value) && value >= 0);
  if (sound && (costs.endSurplusPerUnit ?? 0) <= costs.perUnitWaste) return undefined;
  return coreError(
    'out-of-range',
    'Costs are zero or more, and what is left in date costs no more than waste.',
    { path: ['costs'], detail: { ...costs } },
  );
}

function repeated(ids: readonly string[]): string | undefined {
  return ids.find((id, index) => ids.indexOf(id) !== index);
}

/**
 * What makes a batch problem unreadable, if anything: `out-of-range` with a path. (A need or lot that
 * is wrong is found by netNeeds; a problem that merely has no answer is not an error.)
 */
export function batchProblemError(problem: BatchProblem): CoreError | undefined {
  const wrong = batchRuleProblem(problem.rule) ?? costsProblem(problem.costs);
  if (wrong) return wrong;
  const double = repeated([...problem.slots, ...lotsOf(problem)].map(({ id }) => id));
  if (double !== undefined) {
    return coreError('out-of-range', `Slot or lot ${double} is there twice.`, { path: ['slots'] });
  }
  for (const [index, slot] of problem.slots.entries()) {
    const times = [slot.startMin, slot.readyMin, slot.useByMin];
    const sound =
      times.every(Number.isFinite) &&
      slot.startMin <= slot.readyMin &&
      (slot.capacityBatches ?? 0) >= 0 &&
      (slot.setupCost ?? 0) >= 0 &&
      (slot.batchCost ?? 0) >= 0;
    if (!sound) {
      return coreError('out-of-range', `Slot ${slot.id} has impossible times or room.`, {
        path: ['slots', index],
        detail: { ...slot },
      });
    }
  }
  return undefined;
}

/** Facts about a component that decide whether any plan can make it. */
export interface MakeableFacts {
  readonly name: string;
  /** How long it keeps, minutes. */
  readonly shelfLifeMin: number;
  /** Shortest time from first hand to ready, minutes (`leadTimeMin` of its steps). */
  readonly leadMin: number;
  /** Whether shelf life is counted from the first hand or from ready. */
  readonly countedFrom: 'start' | 'ready';
  readonly rule: BatchRule;
  /** Room of the site's moulds or pans, in batches; left out = no limit. */
  readonly capacityBatches?: number;
}

/**
 * Says before any planning that a component can never be made as written.
 *
 * @returns undefined when it can; else `out-of-range` with `reason: 'zero-shelf-life'`, or `infeasible`
 *          with `reason` 'shelf-life-shorter-than-lead' or 'minimum-over-capacity' and what to change
 */
export function neverMakeable(facts: MakeableFacts): CoreError | undefined {
  const wrong = batchRuleProblem(facts.rule);
  if (wrong) return wrong;
  if (!(facts.shelfLifeMin > 0)) {
    return coreError('out-of-range', `${facts.name} has no shelf life, so no plan can use it.`, {
      path: ['shelfLifeMin'],
      detail: { reason: 'zero-shelf-life', shelfLifeMin: facts.shelfLifeMin },
    });
  }
  if (facts.countedFrom === 'start' && facts.shelfLifeMin <= facts.leadMin) {
    return coreError('infeasible', `${facts.name} would be out of date before it is ready.`, {
      path: ['shelfLifeMin'],
      detail: {
        reason: 'shelf-life-shorter-than-lead',
        shelfLifeMin: facts.shelfLifeMin,
        leadMin: facts.leadMin,
      },
    });
  }
  if (maxSteps(facts.rule, facts.capacityBatches) < minSteps(facts.rule)) {
    return coreError(
      'infeasible',
      `${facts.name}: the moulds or pans hold less than the smallest batch.`,
      {
        path: ['capacityBatches'],
        detail: {
          reason: 'minimum-over-capacity',
          minBatches: facts.rule.minBatches,
          capacityBatches: facts.capacityBatches ?? null,
          relax: ['add-capacity', 'smaller-minimum'],
        },
      },
    );
  }
  return undefined;
}
