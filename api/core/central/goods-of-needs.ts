import { latestStart } from '../schedule/index.ts';
import type { NeedFromElsewhere } from '../planning/index.ts';
import { stepsOf } from '../planning/production-slots.ts';
import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { CentralComponent, MadeVersion, SupplyFrom } from './supply.ts';
import type { CarriedGoods, OpenTrip } from './transfer-problem.ts';

/** Goods of a transfer problem, with what they are. */
export interface GoodsOf extends CarriedGoods {
  readonly component: CentralComponent;
  readonly version: MadeVersion;
  readonly needsInPlan: readonly NeedFromElsewhere[];
}

/** What needs ask one maker for: goods by component and recipe version, and what has no recipe. */
export function goodsOfNeeds(
  supply: SupplyFrom,
  needs: readonly NeedFromElsewhere[],
  nowMin: EpochMin,
): { readonly goods: readonly GoodsOf[]; readonly withoutRecipe: readonly NeedFromElsewhere[] } {
  const goods = new Map<string, GoodsOf & { needsInPlan: NeedFromElsewhere[] }>();
  const withoutRecipe: NeedFromElsewhere[] = [];
  for (const need of needs) {
    const component = supply.components.find((one) => holds(one, need.itemId, need.serviceDate));
    if (!component) continue;
    const version = versionOn(component, need.serviceDate);
    if (!version) {
      withoutRecipe.push(need);
      continue;
    }
    const id = `${component.itemId}@${version.versionId}`;
    const present = goods.get(id);
    if (present) present.needsInPlan.push(need);
    else {
      goods.set(id, {
        ...goodsFor(id, component, version, supply, nowMin),
        needsInPlan: [need],
      });
    }
  }
  return {
    goods: [...goods.values()].map((one) => ({
      ...one,
      needs: one.needsInPlan.map(({ needId, atMin, untilMin, quantity }) => ({
        id: needId,
        atMin,
        untilMin,
        quantity,
      })),
    })),
    withoutRecipe,
  };
}

/** @returns whether another site makes the component for the service date */
export function holds(component: CentralComponent, itemId: string, date: ServiceDate): boolean {
  const { fromDate, endsBefore } = component;
  return (
    component.itemId === itemId &&
    fromDate <= date &&
    (endsBefore === undefined || date < endsBefore)
  );
}

function versionOn(component: CentralComponent, date: ServiceDate): MadeVersion | undefined {
  return component.versions
    .filter(({ firstServiceDate }) => firstServiceDate <= date)
    .reduce<MadeVersion | undefined>(
      (newest, one) =>
        newest === undefined || one.firstServiceDate >= newest.firstServiceDate ? one : newest,
      undefined,
    );
}

function goodsFor(
  id: string,
  component: CentralComponent,
  version: MadeVersion,
  { trips, makerOpen }: SupplyFrom,
  nowMin: EpochMin,
): Omit<GoodsOf, 'needsInPlan'> {
  const keepsUntilMin: Record<string, EpochMin> = {};
  for (const trip of trips) {
    const made = latestStart(stepsOf(version.steps), trip.leaveMin, makerOpen);
    if (!made.ok || made.value.startMin < nowMin) continue;
    keepsUntilMin[trip.id] = lastUse(component, version, made.value.readyMin, trip);
  }
  const mostOnTrip = component.promised?.[version.versionId];
  return {
    id,
    name: component.name,
    containerQuantity: component.containerQuantity,
    ...(version.containerMassG === undefined ? {} : { containerMassG: version.containerMassG }),
    batchQuantity: version.batchQuantity,
    needs: [],
    keepsUntilMin,
    ...(mostOnTrip === undefined ? {} : { mostOnTrip }),
    component,
    version,
  };
}

/** The last minute at which what was ready then may be used, after this trip. */
function lastUse(
  { keeping }: CentralComponent,
  { shelfLifeMin }: MadeVersion,
  readyMin: EpochMin,
  trip: OpenTrip,
): EpochMin {
  if (keeping === null) return readyMin + shelfLifeMin;
  const from = keeping.after === 'making' ? readyMin : trip.arriveMin;
  return Math.min(readyMin + shelfLifeMin, from + keeping.minutes);
}
