import { addDays } from '../../core/calendar/index.ts';
import { wholePieces } from '../../core/ordering/index.ts';
import type {
  PackPlan,
  PackProblem,
  PlannedLine,
  PlannedOrder,
} from '../../core/ordering/index.ts';
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

/** A trip with what it takes of a line's goods, in the terms of a carry. */
interface LoadedTrip {
  readonly tripDate: string;
  readonly usableFrom: string;
  readonly cost: string;
  /** Base units that are not given to a use yet. */
  left: number;
}

/** Less of a load than this part is what is left of adding and taking decimals. */
const CRUMB_FRACTION = 1e-5;

/**
 * What goes from site to site: each use of a line by another site goes with the last trips that take
 * the line's goods there in time, as much as each of them takes. One carry for each trip and ingredient.
 * What is counted goes in whole pieces: where limits of mass would part one, its trip takes it whole.
 *
 * @param counted whether an ingredient's base unit is the piece
 */
export function carriesOf(
  plan: PackPlan,
  problem: PackProblem,
  counted: (ingredientId: string) => boolean,
): JointPlans['carries'] {
  const shelf = new Map(problem.offers.map((offer) => [offer.id, offer.shelfLifeDays]));
  const carries = new Map<string, JointPlans['carries'][number]>();
  for (const order of plan.orders) {
    for (const line of order.lines) {
      const days = shelf.get(line.offerId);
      const useBy = days === undefined ? null : addDays(order.deliveryDate, days);
      const tripsTo = new Map<string, LoadedTrip[]>();
      const uses = line.uses
        .filter((use) => use.siteId !== order.siteId)
        .sort((a, b) => a.needDate.localeCompare(b.needDate));
      for (const use of uses) {
        const trips = tripsTo.get(use.siteId) ?? loadsOf(plan, problem, order, line, use.siteId);
        tripsTo.set(use.siteId, trips);
        const inPieces = counted(line.ingredientId);
        const wanted = inPieces ? wholePieces(use.quantityBase) : use.quantityBase;
        const parts = shared(wanted, use.needDate, trips);
        for (const { trip, quantity } of inPieces ? inWholePieces(parts) : parts) {
          const { tripDate, usableFrom, cost } = trip;
          const key = [order.siteId, use.siteId, tripDate, line.ingredientId].join('|');
          const known = carries.get(key);
          const certain = (use.certainBase * quantity) / wanted;
          carries.set(key, {
            fromSiteId: order.siteId,
            toSiteId: use.siteId,
            ingredientId: line.ingredientId,
            tripDate,
            usableFrom,
            useBy: earlier(known?.useBy ?? null, useBy),
            quantity: (known?.quantity ?? 0) + quantity,
            uses: withUse(known?.uses ?? [], { needDate: use.needDate, quantity, certain }),
            tripCost: cost,
          });
        }
      }
    }
  }
  return [...carries.values()];
}

/** The trips that take goods of a line to a site, the last first. */
function loadsOf(
  plan: PackPlan,
  problem: PackProblem,
  order: PlannedOrder,
  line: PlannedLine,
  toSiteId: string,
): LoadedTrip[] {
  return plan.transfers
    .filter((trip) => trip.fromSiteId === order.siteId && trip.toSiteId === toSiteId)
    .map((trip) => {
      const route = (problem.transfers ?? []).find(
        (one) =>
          one.fromSiteId === trip.fromSiteId &&
          one.toSiteId === trip.toSiteId &&
          one.tripDates.includes(trip.tripDate),
      );
      const own = trip.loads.filter(
        (load) => load.offerId === line.offerId && load.deliveryDate === order.deliveryDate,
      );
      return {
        // The model's trip stands on the day the goods must be there, the day before it leaves.
        tripDate: addDays(trip.tripDate, 1),
        usableFrom: addDays(trip.tripDate, route?.handlingDays ?? 1),
        cost: trip.cost,
        left: own.reduce((sum, load) => sum + load.quantityBase, 0),
      };
    })
    .filter(({ left }) => left > 0)
    .sort((a, b) => b.tripDate.localeCompare(a.tripDate));
}

/**
 * Gives a use to the trips in time for it. Uses come by date and every trip in time for one is in
 * time for the next, so that whichever is taken first, what is left serves the rest.
 */
function shared(
  quantity: number,
  needDate: string,
  trips: readonly LoadedTrip[],
): { readonly trip: LoadedTrip; readonly quantity: number }[] {
  const parts: { trip: LoadedTrip; quantity: number }[] = [];
  let open = quantity;
  const inTime = trips.filter((trip) => trip.usableFrom <= needDate);
  for (const trip of inTime) {
    const part = Math.min(open, trip.left);
    if (part <= quantity * CRUMB_FRACTION) continue;
    trip.left -= part;
    open -= part;
    parts.push({ trip, quantity: part });
  }
  const last = parts[0];
  // Crumbs of the search go with the last trip.
  if (last && open > 0 && open <= quantity * CRUMB_FRACTION) last.quantity += open;
  return parts;
}

/** The parts of a whole number of pieces as whole pieces: a piece that two trips share goes with the first. */
function inWholePieces<T extends { readonly quantity: number }>(parts: readonly T[]): T[] {
  let exact = 0;
  let whole = 0;
  return parts.flatMap((part) => {
    exact += part.quantity;
    const quantity = wholePieces(exact) - whole;
    whole += quantity;
    return quantity > 0 ? [{ ...part, quantity }] : [];
  });
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
