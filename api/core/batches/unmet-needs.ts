import type { DatedNeed } from '../netting/index.ts';
import type {
  BatchProblem,
  ProductionSlot,
  Relaxation,
  UnmetNeed,
  UnmetReason,
} from './batch-plan.ts';
import { maxSteps, minSteps } from './batch-rule.ts';

const RELAXATIONS: Readonly<Record<UnmetReason, readonly Relaxation[]>> = {
  'too-late': ['start-earlier', 'make-elsewhere', 'cut-need'],
  'shelf-life': ['make-in-more-rounds', 'make-elsewhere', 'cut-need'],
  'minimum-over-capacity': ['add-capacity', 'smaller-minimum', 'make-elsewhere', 'cut-need'],
  capacity: ['add-capacity', 'start-earlier', 'make-elsewhere', 'cut-need'],
};

const BECAUSE: Readonly<Record<UnmetReason, string>> = {
  'too-late': 'nothing can be ready by then',
  'shelf-life': 'what can be ready by then does not keep until the service ends',
  'minimum-over-capacity': 'there is room for less than the smallest batch',
  capacity: 'every batch that could serve it is already full',
};

/** Why a need cannot be met in full by any of the slots. */
export function unmetReason(
  need: DatedNeed,
  slots: readonly ProductionSlot[],
  rule: BatchProblem['rule'],
): UnmetReason {
  const ready = slots.filter(({ readyMin }) => readyMin <= need.atMin);
  if (ready.length === 0) return 'too-late';
  const inDate = ready.filter(({ useByMin }) => useByMin >= need.untilMin);
  if (inDate.length === 0) return 'shelf-life';
  const roomy = inDate.some((slot) => maxSteps(rule, slot.capacityBatches) >= minSteps(rule));
  return roomy ? 'capacity' : 'minimum-over-capacity';
}

/** The needs a plan leaves short, in order of time, each with its reason and what could give way. */
export function unmetNeeds(problem: BatchProblem, short: ReadonlyMap<string, number>): UnmetNeed[] {
  const name = problem.component?.name ?? 'The component';
  return [...problem.needs]
    .sort((a, b) => a.atMin - b.atMin)
    .flatMap((need): UnmetNeed[] => {
      const quantity = short.get(need.id) ?? 0;
      if (quantity <= 0) return [];
      const reason = unmetReason(need, problem.slots, problem.rule);
      return [
        {
          componentId: problem.component?.id ?? null,
          needId: need.id,
          quantity,
          reason,
          message: `${name} is short for ${need.id}: ${BECAUSE[reason]}.`,
          relax: RELAXATIONS[reason],
        },
      ];
    });
}
