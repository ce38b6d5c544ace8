import { coreError } from '../shared/errors.ts';
import type { CoreError } from '../shared/errors.ts';
import type { TransferProblem } from './transfer-problem.ts';

const isAmount = (value: number): boolean => Number.isFinite(value) && value > 0;

/** What is wrong with a transfer problem, if anything: `out-of-range` or `missing-data` with a path. */
export function checkTransferProblem({ trips, goods }: TransferProblem): CoreError | undefined {
  const tripIds = new Set<string>();
  for (const [t, trip] of trips.entries()) {
    const limits = [trip.massLimitG, trip.containerLimit, trip.minimumContainers];
    if (
      tripIds.has(trip.id) ||
      !(trip.arriveMin >= trip.leaveMin) ||
      limits.some((limit) => limit !== undefined && !isAmount(limit))
    ) {
      return coreError('out-of-range', `The trip of ${trip.leaveDate} cannot be as it is.`, {
        path: ['trips', t],
        detail: { ...trip },
      });
    }
    tripIds.add(trip.id);
  }
  const limitsMass = trips.some(({ massLimitG }) => massLimitG !== undefined);
  const goodsIds = new Set<string>();
  for (const [g, one] of goods.entries()) {
    if (goodsIds.has(one.id) || !isAmount(one.containerQuantity) || !isAmount(one.batchQuantity)) {
      return coreError('out-of-range', `${one.name}: a container and a batch hold something.`, {
        path: ['goods', g],
        detail: { containerQuantity: one.containerQuantity, batchQuantity: one.batchQuantity },
      });
    }
    goodsIds.add(one.id);
    if (limitsMass && !isAmount(one.containerMassG ?? Number.NaN)) {
      return coreError(
        'missing-data',
        `${one.name}: what a full container weighs is not known, and the trip has a limit of mass.`,
        { path: ['goods', g, 'containerMassG'] },
      );
    }
    const needIds = new Set<string>();
    for (const [n, need] of one.needs.entries()) {
      const sound =
        Number.isFinite(need.quantity) && need.quantity >= 0 && need.untilMin >= need.atMin;
      if (!sound || needIds.has(need.id)) {
        return coreError('out-of-range', `${one.name}: a need cannot be as it is.`, {
          path: ['goods', g, 'needs', n],
          detail: { ...need },
        });
      }
      needIds.add(need.id);
    }
  }
  return undefined;
}
