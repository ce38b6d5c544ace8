import { MIN_PER_DAY } from '../calendar/index.ts';
import type { MilpSolution, MilpSolver } from '../milp/index.ts';
import { netNeeds } from '../netting/index.ts';
import type { LotOnHand } from '../netting/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, unwrap, type Result } from '../shared/result.ts';
import { checkTransferProblem } from './check-transfer-problem.ts';
import { reasonNotSent } from './reason-not-sent.ts';
import { costOfCarrying } from './transfer-costs.ts';
import { transferModel } from './transfer-model.ts';
import type {
  CarriedGoods,
  NotSent,
  OpenTrip,
  PlannedTransfer,
  TransferPlan,
  TransferProblem,
} from './transfer-problem.ts';

/** Containers of some goods on a trip. */
export interface Load {
  readonly goods: CarriedGoods;
  readonly trip: OpenTrip;
  readonly containers: number;
}

/** Nodes, so that answers stay the same from run to run; seconds, a safety net. */
const LIMITS = { maxNodes: 20_000, timeLimitS: 20 } as const;

/**
 * Which goods go on which trip, so that as little as can be stays unmet and, among those plans, work
 * and age cost least (`costOfCarrying`): goods share the room of a trip, whole containers leave,
 * nothing comes after it is needed or is out of date before its end, and no trip is made for less
 * than its minimum. Nothing is carried only to reach that minimum.
 *
 * Two mixed-integer models one after the other, the second with the unmet of the first as a limit.
 * Exact when the method says `mixed-integer`: what is unmet is counted in batches, with the
 * solver's tolerance of a millionth of one.
 *
 * @returns errors: `out-of-range` or `missing-data` with a path for data that cannot be read,
 *          `solver-failed`
 * Source: fixed-charge lot sizing in textbook form (Nemhauser & Wolsey, Integer and Combinatorial
 * Optimization, 1988; from memory).
 */
export async function planTransfers(
  problem: TransferProblem,
  solver: MilpSolver,
): Promise<Result<TransferPlan>> {
  const wrong = checkTransferProblem(problem);
  if (wrong) return err(wrong);
  const first = transferModel(problem);
  const least = await solve(solver, first.model, first.nothing);
  if (!least.ok) return least;
  const second = transferModel(problem, Math.max(0, least.value.objective));
  const start = new Map(first.model.variables.map((_, i) => [i, least.value.values[i] ?? 0]));
  const chosen = await solve(solver, second.model, start);
  if (!chosen.ok) return chosen;
  const loads = second.read(chosen.value.values).flatMap(({ goodsId, tripId, containers }) => {
    const goods = problem.goods.find(({ id }) => id === goodsId);
    const trip = problem.trips.find(({ id }) => id === tripId);
    return goods && trip ? [{ goods, trip, containers }] : [];
  });
  const plan = playLoads(problem, loads);
  const proven = least.value.status === 'optimal' && chosen.value.status === 'optimal';
  return ok({
    ...plan,
    boundMin: proven ? plan.costMin : Math.max(0, Math.min(plan.costMin, chosen.value.bound)),
    method: proven ? 'mixed-integer' : 'mixed-integer-limited',
  });
}

async function solve(
  solver: MilpSolver,
  model: Parameters<MilpSolver['solve']>[0],
  start: ReadonlyMap<number, number>,
): Promise<Result<MilpSolution>> {
  const answer = await solver.solve(model, { ...LIMITS, start }).catch(() => null);
  if (answer === null || answer.values.length < model.variables.length) {
    return err(coreError('solver-failed', 'No plan of the transfers was found.'));
  }
  return ok(answer);
}

/**
 * Plays loads through: what each serves, first-expiring first, what is left over, and what stays
 * unmet with its reason.
 */
export function playLoads(
  problem: TransferProblem,
  loads: readonly Load[],
): Omit<TransferPlan, 'boundMin' | 'method'> {
  const transfers: PlannedTransfer[] = [];
  const notSent: NotSent[] = [];
  const served: { goods: CarriedGoods; atMin: number; quantity: number }[] = [];
  for (const goods of problem.goods) {
    const mine = loads.filter((load) => load.goods === goods && load.containers > 0);
    const netted = unwrap(netNeeds({ needs: goods.needs, lots: mine.map(lotOf) }));
    for (const { trip, containers } of mine) {
      const quantity = containers * goods.containerQuantity;
      const serves = netted.allocations
        .filter(({ lotId }) => lotId === trip.id)
        .map(({ needId, quantity: part }) => ({ needId, quantity: part }));
      const used = serves.reduce((sum, part) => sum + part.quantity, 0);
      const surplus = Math.max(0, quantity - used);
      transfers.push({
        goodsId: goods.id,
        tripId: trip.id,
        containers,
        quantity,
        serves,
        surplus: surplus <= DUST * goods.containerQuantity ? 0 : surplus,
      });
    }
    for (const need of netted.net) {
      const open = need.quantity <= DUST * goods.containerQuantity ? 0 : need.quantity;
      const whole = goods.needs.find(({ id }) => id === need.id)?.quantity ?? 0;
      served.push({ goods, atMin: need.atMin, quantity: whole - need.quantity });
      if (open === 0) continue;
      const reason = reasonNotSent(goods, need, problem.trips, loads);
      notSent.push({ goodsId: goods.id, needId: need.id, quantity: open, reason });
    }
  }
  const order = new Map(problem.trips.map((trip, i) => [trip.id, i]));
  transfers.sort((a, b) => (order.get(a.tripId) ?? 0) - (order.get(b.tripId) ?? 0));
  const tripIds = problem.trips
    .map(({ id }) => id)
    .filter((id) => transfers.some(({ tripId }) => tripId === id));
  const costMin = costOfCarrying({
    tripsUsed: tripIds.length,
    loads: loads
      .filter(({ containers }) => containers > 0)
      .map(({ goods, trip, containers }) => ({
        goods,
        leaveMin: trip.leaveMin,
        quantity: containers * goods.containerQuantity,
      })),
    served,
    endMin: Math.max(0, ...problem.goods.flatMap((g) => g.needs.map(({ atMin }) => atMin))),
  });
  return { transfers, notSent, tripIds, costMin };
}

/** Parts of a container smaller than this are the solver's dust. */
const DUST = 1e-6;

function lotOf({ goods, trip, containers }: Load): LotOnHand {
  return {
    id: trip.id,
    quantity: containers * goods.containerQuantity,
    availableFromMin: trip.arriveMin,
    useByMin: goods.keepsUntilMin[trip.id] ?? trip.arriveMin - MIN_PER_DAY,
  };
}
