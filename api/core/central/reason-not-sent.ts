import type { DatedNeed } from '../netting/index.ts';
import { canServe, mostContainers } from './transfer-model.ts';
import type { CarriedGoods, NotSentReason, OpenTrip } from './transfer-problem.ts';

/** Why a need, or what is left of it, is on no trip, given what is. */
export function reasonNotSent(
  goods: CarriedGoods,
  need: DatedNeed,
  trips: readonly OpenTrip[],
  loads: readonly {
    readonly goods: CarriedGoods;
    readonly trip: OpenTrip;
    readonly containers: number;
  }[],
): NotSentReason {
  const inTime = trips.filter((trip) => trip.arriveMin <= need.atMin);
  if (inTime.length === 0) return 'no-trip';
  const made = inTime.filter((trip) => goods.keepsUntilMin[trip.id] !== undefined);
  if (made.length === 0) return 'not-made-in-time';
  const useful = made.filter((trip) => canServe(goods, trip, need));
  if (useful.length === 0) return 'does-not-keep';
  const carried = (trip: OpenTrip): number =>
    loads.filter((load) => load.trip === trip).reduce((sum, load) => sum + load.containers, 0);
  const promisedOut = (trip: OpenTrip): boolean => {
    const most = goods.mostOnTrip?.[trip.id];
    if (most === undefined) return false;
    const mine = loads.find((load) => load.trip === trip && load.goods === goods)?.containers ?? 0;
    return mine >= Math.floor(most / goods.containerQuantity + 1e-9);
  };
  if (useful.every(promisedOut)) return 'maker-short';
  const idle = useful.some(
    (trip) =>
      (trip.minimumContainers ?? 1) > 1 &&
      carried(trip) === 0 &&
      mostContainers(goods, trip) >= 1 &&
      !promisedOut(trip),
  );
  return idle ? 'minimum-load' : 'load-full';
}
