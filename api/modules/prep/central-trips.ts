import { tripsBetween, type OpenTrip } from '../../core/central/index.ts';
import { massOf, transferDays, type TransferRoute } from '../central-production/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { PlanningData } from './planning-data.ports.ts';
import type { PrepWork } from './prep.ports.ts';

/** Between whom trips are looked for, and which of them can still be loaded. */
interface TripsAsk {
  readonly route: TransferRoute;
  readonly maker: PlanningData;
  /** The receiving site. */
  readonly data: PlanningData;
  readonly now: Date;
  /** First and last date of leaving. */
  readonly from: string;
  readonly to: string;
}

/**
 * The trips from a maker to a site that can still be loaded, with what each can still take: goods of
 * joint purchases that are planned for a trip take of its limit of mass, and a full one is none.
 */
export async function tripsToLoad(
  { centralProduction, stock }: Pick<PrepWork, 'centralProduction' | 'stock'>,
  ask: TripsAsk,
): Promise<readonly OpenTrip[]> {
  const open = openTrips(ask);
  if (ask.route.massLimitG === null) return open;
  const goods = (await centralProduction.goodsToCome(ask.data.site.id)).filter(
    ({ fromSiteId }) => fromSiteId === ask.route.fromSiteId,
  );
  const items = await stock.items(
    goods.map(({ ingredientId }) => ({ itemKind: 'ingredient', itemId: ingredientId })),
  );
  const taken = new Map<string, number>();
  for (const { ingredientId, tripDate, quantity } of goods) {
    const item = items.find(({ itemId }) => itemId === ingredientId);
    // Goods of unknown weight are put on no trip with a limit.
    const mass = item ? (massOf(quantity, item) ?? 0) : 0;
    taken.set(tripDate, (taken.get(tripDate) ?? 0) + mass);
  }
  return open.flatMap((trip) => {
    const massLimitG = (trip.massLimitG ?? 0) - (taken.get(trip.leaveDate) ?? 0);
    return massLimitG > 0 ? [{ ...trip, massLimitG }] : [];
  });
}

function openTrips({ route, maker, data, now, from, to }: TripsAsk): readonly OpenTrip[] {
  const place = ({ site, closedDays }: PlanningData) => ({
    zone: site.zone,
    closedDates: closedDays.map(({ date }) => date),
  });
  const { trips } = orRefuse(
    tripsBetween(transferDays(route), place(maker), place(data), from, to),
  );
  const { massLimitG, containerLimit, minimumContainers } = route;
  const nowMin = Math.floor(now.getTime() / 60_000);
  return trips
    .filter(({ leaveMin }) => leaveMin - route.cutoffHours * 60 > nowMin)
    .map((trip) => ({
      ...trip,
      ...(massLimitG === null ? {} : { massLimitG }),
      ...(containerLimit === null ? {} : { containerLimit }),
      minimumContainers,
    }));
}
