import type { MilpSolver } from '../milp/index.ts';
import { Decimal } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { choosePacks } from './choose-packs.ts';
import type { ChooseLimits } from './choose-packs.ts';
import type { PackPlan, PackProblem } from './pack-offer.ts';

/** Both ways of buying for several sites, under the same rules, and which one to take. */
export interface Consolidation {
  /** Each site orders for itself. */
  readonly separate: PackPlan;
  /** Sites may share deliveries and carry goods on along the given routes. */
  readonly together: PackPlan;
  readonly choice: 'separate' | 'together';
  /** Paid less by the choice, exact decimal text; 0 when it is 'separate'. */
  readonly saving: string;
}

/**
 * Compares separate orders with a central delivery and transfers, by the same choice of packs with
 * and without the transfer routes. 'Together' is chosen only when its objective (paid, keeping,
 * leftovers) is lower and it leaves no more needs open.
 *
 * Errors: as choosePacks; `missing-data` when the problem has no transfer routes.
 */
export async function consolidate(
  problem: PackProblem,
  solver: MilpSolver,
  limits: ChooseLimits = {},
): Promise<Result<Consolidation>> {
  if (!problem.transfers || problem.transfers.length === 0) {
    return err(
      coreError('missing-data', 'There are no routes between sites to carry goods on.', {
        path: ['transfers'],
      }),
    );
  }
  const separate = await choosePacks({ ...problem, transfers: [] }, solver, limits);
  if (!separate.ok) return separate;
  const together = await choosePacks(problem, solver, { ...limits, knownPlan: separate.value });
  if (!together.ok) return together;
  const open = (plan: PackPlan): number =>
    plan.shortfalls.reduce((sum, shortfall) => sum + shortfall.quantityBase, 0);
  const cheaper = new Decimal(together.value.objective).lt(separate.value.objective);
  // Fewer open needs may cost more and still be worth it; more open needs never are.
  const fewerOpen = open(together.value) < open(separate.value) - 1e-6;
  const noMoreOpen = open(together.value) <= open(separate.value) + 1e-6;
  const choice = fewerOpen || (cheaper && noMoreOpen) ? 'together' : 'separate';
  const saved = new Decimal(separate.value.cost).minus(together.value.cost);
  return ok({
    separate: separate.value,
    together: together.value,
    choice,
    saving: choice === 'together' ? saved.toString() : '0',
  });
}
