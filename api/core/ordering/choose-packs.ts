import type { MilpSolver } from '../milp/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { checkPackProblem } from './check-pack-problem.ts';
import { choosePacksByHabit } from './default-packs.ts';
import { buildPackModel } from './pack-model.ts';
import { buildNetwork, independentParts } from './pack-network.ts';
import type { NeedGroup, PackNetwork } from './pack-network.ts';
import type { PackPlan, PackProblem } from './pack-offer.ts';
import { choosePacksByTable } from './pack-table.ts';
import { planOutcome } from './plan-outcome.ts';
import type { PackChoice, TripLoad } from './plan-outcome.ts';

/** Limits of the search, for each part that is solved on its own. */
export interface ChooseLimits {
  /** Gap between the cost found and the proven bound at which the search may stop; default 0.001. */
  readonly relativeGap?: number;
  /** Seconds per part, a safety net; default 20. */
  readonly timeLimitS?: number;
  /** Most branch-and-bound nodes per part, the limit that keeps answers the same; default 20 000. */
  readonly maxNodes?: number;
  /** A plan for the same offers and deliveries to start the search from, instead of the habit. */
  readonly knownPlan?: PackPlan;
}

interface PartAnswer {
  readonly choice: PackChoice;
  readonly bound: number | null;
  readonly byTable: boolean;
}

/**
 * Least-cost whole packs for dated needs: over alternative packs and suppliers with price breaks,
 * fewest and most packs, contracts, minimum orders, delivery charges, delivery days, shelf lives and
 * (when routes are given) transfers between sites. What is paid, plus the cost of keeping goods,
 * less the worth of leftovers that will be used in date, is as small as can be proven within
 * `relativeGap`; the answer states method, bound and gap.
 *
 * The problem falls into parts that share no order with a minimum or charge, no lot and no trip;
 * each is solved by a table when it is a single knapsack, else by branch and cut. Needs that nothing
 * can serve in time are named as shortfalls and cost nothing. Packs bought only to reach a
 * supplier's minimum are marked, with what they and their waste cost.
 *
 * Errors: as checkPackProblem; `infeasible` when suppliers' limits contradict one another;
 * `solver-failed` when a part has no answer within the limits.
 */
export async function choosePacks(
  problem: PackProblem,
  solver: MilpSolver,
  limits: ChooseLimits = {},
): Promise<Result<PackPlan>> {
  const checked = checkPackProblem(problem);
  if (!checked.ok) return checked;
  const network = buildNetwork(problem);
  const packs = new Map<number, number>();
  const loads: TripLoad[] = [];
  let bound: number | null = 0;
  let tables = 0;
  const parts = independentParts(network);
  for (const part of parts) {
    const answer = await choosePart(network, part, solver, limits);
    if (!answer.ok) return answer;
    for (const [index, count] of answer.value.choice.packs) packs.set(index, count);
    loads.push(...answer.value.choice.loads);
    bound = bound === null || answer.value.bound === null ? null : bound + answer.value.bound;
    if (answer.value.byTable) tables += 1;
  }
  const method =
    tables === parts.length
      ? 'exact-table'
      : tables === 0
        ? 'mixed-integer'
        : 'exact-table-and-mixed-integer';
  return ok(planOutcome(network, { packs, loads }, { method, bound }));
}

async function choosePart(
  network: PackNetwork,
  part: readonly NeedGroup[],
  solver: MilpSolver,
  limits: ChooseLimits,
): Promise<Result<PartAnswer>> {
  const table = choosePacksByTable(network, part);
  if (table) {
    const choice = { packs: table.packs, loads: [] };
    return ok({ choice, bound: table.objective, byTable: true });
  }
  const packModel = buildPackModel(network, part);
  const known = limits.knownPlan
    ? choiceOf(network, limits.knownPlan)
    : choosePacksByHabit(network, part);
  const asked = {
    relativeGap: limits.relativeGap ?? 0.001,
    timeLimitS: limits.timeLimitS ?? 20,
    maxNodes: limits.maxNodes ?? 20_000,
    start: packModel.start(known),
  };
  const answer = await solver.solve(packModel.model, asked).catch(() => null);
  if (answer?.status === 'infeasible') {
    return err(
      coreError('infeasible', 'No packs meet the minimums of the suppliers together.', {
        detail: { ingredientIds: part.map((group) => group.ingredientId) },
      }),
    );
  }
  if (answer === null || answer.status === 'none') {
    return err(
      coreError('solver-failed', 'No order was found within the time given.', {
        detail: { ingredientIds: part.map((group) => group.ingredientId) },
      }),
    );
  }
  const proven = Number.isFinite(answer.bound) && !packModel.leavesNeedsOpen(answer.values);
  return ok({
    choice: packModel.read(answer.values),
    bound: proven ? answer.bound + packModel.constant : null,
    byTable: false,
  });
}

/** The packs of a plan by lot of this network; lines it does not know are left out. */
function choiceOf(network: PackNetwork, plan: PackPlan): PackChoice {
  const keyOf = (offerId: string, siteId: string, deliveryDate: string): string =>
    JSON.stringify([offerId, siteId, deliveryDate]);
  const bought = new Map(
    plan.orders.flatMap(({ siteId, deliveryDate, lines }) =>
      lines.map((line) => [keyOf(line.offerId, siteId, deliveryDate), line.packs] as const),
    ),
  );
  const packs = new Map<number, number>();
  for (const { index, offer, slot } of network.lots) {
    const count = bought.get(keyOf(offer.id, slot.siteId, slot.deliveryDate));
    if (count !== undefined) packs.set(index, count);
  }
  return { packs, loads: [] };
}
