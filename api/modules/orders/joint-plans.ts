import { addDays } from '../../core/calendar/index.ts';
import type { PackPlan, PackProblem, PlannedLine } from '../../core/ordering/index.ts';
import type { CarryUse, JointOrder, JointPlans } from './joint-purchases.ports.ts';
import { packOfOffer } from './pack-problem.ts';

/** The orders of one way of buying, with what each site gets of each line. */
export function jointOrders(plan: PackPlan): JointOrder[] {
  return plan.orders.map((order) => ({
    siteId: order.siteId,
    supplierId: order.supplierId,
    deliveryDate: order.deliveryDate,
    goods: order.goodsCost,
    deliveryCharge: order.deliveryCharge,
    lines: order.lines.map((line) => ({
      packId: packOfOffer(line.offerId),
      ingredientId: line.ingredientId,
      packs: line.packs,
      sites: sitesOf(line),
    })),
  }));
}

function sitesOf(line: PlannedLine) {
  const bySite = new Map<string, number>();
  for (const use of line.uses) {
    bySite.set(use.siteId, (bySite.get(use.siteId) ?? 0) + use.quantityBase);
  }
  return [...bySite].map(([siteId, quantity]) => ({ siteId, quantity }));
}

/**
 * What goes from site to site: each use of a line by another site goes with the last trip that takes
 * the line's goods there in time. One carry for each trip and ingredient.
 */
export function carriesOf(plan: PackPlan, problem: PackProblem): JointPlans['carries'] {
  const routes = problem.transfers ?? [];
  const shelf = new Map(problem.offers.map((offer) => [offer.id, offer.shelfLifeDays]));
  const carries = new Map<string, JointPlans['carries'][number]>();
  for (const order of plan.orders) {
    for (const line of order.lines) {
      for (const use of line.uses) {
        if (use.siteId === order.siteId) continue;
        const trips = plan.transfers
          .filter(
            (trip) =>
              trip.fromSiteId === order.siteId &&
              trip.toSiteId === use.siteId &&
              trip.loads.some(
                (load) => load.offerId === line.offerId && load.deliveryDate === order.deliveryDate,
              ),
          )
          .map((trip) => {
            const route = routes.find(
              (one) =>
                one.fromSiteId === trip.fromSiteId &&
                one.toSiteId === trip.toSiteId &&
                one.tripDates.includes(trip.tripDate),
            );
            // The model's trip stands on the day the goods must be there, the day before it leaves.
            return {
              tripDate: addDays(trip.tripDate, 1),
              usableFrom: addDays(trip.tripDate, route?.handlingDays ?? 1),
              cost: trip.cost,
            };
          })
          .filter((trip) => trip.usableFrom <= use.needDate)
          .sort((a, b) => a.tripDate.localeCompare(b.tripDate));
        const trip = trips.at(-1);
        if (!trip) continue;
        const days = shelf.get(line.offerId);
        const useBy = days === undefined ? null : addDays(order.deliveryDate, days);
        const key = [order.siteId, use.siteId, trip.tripDate, line.ingredientId].join('|');
        const known = carries.get(key);
        const own = {
          needDate: use.needDate,
          quantity: use.quantityBase,
          certain: use.certainBase,
        };
        const before = known?.uses ?? [];
        carries.set(key, {
          fromSiteId: order.siteId,
          toSiteId: use.siteId,
          ingredientId: line.ingredientId,
          tripDate: trip.tripDate,
          usableFrom: trip.usableFrom,
          useBy: earlier(known?.useBy ?? null, useBy),
          quantity: (known?.quantity ?? 0) + use.quantityBase,
          uses: withUse(before, own),
          tripCost: trip.cost,
        });
      }
    }
  }
  return [...carries.values()];
}

function withUse(uses: readonly CarryUse[], more: CarryUse): readonly CarryUse[] {
  if (!uses.some((use) => use.needDate === more.needDate)) return [...uses, more];
  return uses.map((use) =>
    use.needDate === more.needDate
      ? {
          ...use,
          quantity: use.quantity + more.quantity,
          certain: use.certain + more.certain,
        }
      : use,
  );
}

const earlier = (a: string | null, b: string | null): string | null =>
  a === null ? b : b === null || a < b ? a : b;
