import { addDays, serviceDateOf } from '../../core/calendar/index.ts';
import { tripsBetween } from '../../core/central/index.ts';
import type { TransferRoute } from '../../core/ordering/index.ts';
import { massOf, transferDays, type TransferRoute as Way } from '../central-production/index.ts';
import { measuresOf } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { OrdersWork } from './orders.ports.ts';
import type { ProposalInput } from './proposal.ts';

/** What arrives later than this serves the next day's work; common practice, no source. */
const LATE_ARRIVAL = '12:00';

/** A trip that leaves on a date, by the two sites it goes between. */
const tripKey = (fromSiteId: string, toSiteId: string, leaveDate: string): string =>
  `${fromSiteId}|${toSiteId}|${leaveDate}`;

/**
 * Trips between the sites that can still be loaded, each with what it can still take, as the choice
 * of packs takes them. None goes on a day left out, from a closed site or to one. What already goes
 * on a trip counts: components one site makes for another, and goods of earlier joint purchases.
 *
 * @param inputs the sites, with what each buys from
 * @param currency of what is bought: a way that costs another currency is left out
 */
export async function openTrips(
  work: OrdersWork,
  inputs: readonly ProposalInput[],
  now: Date,
  currency: string,
): Promise<TransferRoute[]> {
  const byId = new Map(inputs.map((input) => [input.site.id, input]));
  const ways = (await work.centralProduction.routes())
    .filter((way) => byId.has(way.fromSiteId) && byId.has(way.toSiteId))
    .filter((way) => way.currency === currency || Number(way.costPerTrip) === 0);
  const limited = ways.some((way) => way.massLimitG !== null);
  const loaded = limited ? await loadedMasses(work, inputs) : new Map<string, number>();
  return ways.flatMap((way) => {
    const [from, to] = [byId.get(way.fromSiteId), byId.get(way.toSiteId)];
    return from && to ? tripsOf(way, from, to, now, loaded) : [];
  });
}

function tripsOf(
  way: Way,
  from: ProposalInput,
  to: ProposalInput,
  now: Date,
  loaded: ReadonlyMap<string, number>,
): TransferRoute[] {
  const nowMin = Math.floor(now.getTime() / 60_000);
  const today = orRefuse(serviceDateOf(nowMin, from.site.zone));
  const place = ({ site, closedDates }: ProposalInput) => ({ zone: site.zone, closedDates });
  const last = addDays(today, from.days);
  const { trips } = orRefuse(tripsBetween(transferDays(way), place(from), place(to), today, last));
  const lateDays = way.arrivesAt >= LATE_ARRIVAL ? 1 : 0;
  return trips
    .filter((trip) => trip.leaveMin - way.cutoffHours * 60 > nowMin)
    .map(({ leaveDate }) => {
      const { fromSiteId, toSiteId, costPerTrip, massLimitG } = way;
      const there = loaded.get(tripKey(fromSiteId, toSiteId, leaveDate)) ?? 0;
      return {
        fromSiteId,
        toSiteId,
        // Goods go on the day after they came at the earliest: checked, and cold.
        tripDates: [addDays(leaveDate, -1)],
        costPerTrip,
        handlingDays: 1 + way.arrivesDaysLater + lateDays,
        ...(massLimitG === null ? {} : { massLimitG: Math.max(0, massLimitG - there) }),
      };
    });
}

/**
 * What already goes on each trip from the sites, g. Something that nobody knows the weight of fills
 * its trip, because nothing can be said to fit beside it.
 */
async function loadedMasses(
  work: OrdersWork,
  inputs: readonly ProposalInput[],
): Promise<Map<string, number>> {
  const masses = new Map<string, number>();
  const add = (key: string, mass: number | null): void => {
    masses.set(key, (masses.get(key) ?? 0) + (mass ?? Infinity));
  };
  for (const { site, carries, book } of inputs) {
    const rows = await work.centralProduction.leaving(site.id);
    const items = await work.stock.items(
      rows.map(({ componentId }) => ({ itemKind: 'component' as const, itemId: componentId })),
    );
    const itemOf = new Map(items.map((item) => [item.itemId, item]));
    for (const row of rows) {
      const item = itemOf.get(row.componentId);
      const mass = item ? massOf(row.sent?.quantity ?? row.quantity, item) : null;
      add(tripKey(row.fromSiteId, row.toSiteId, row.leaveDate), mass);
    }
    for (const carry of carries) {
      if (carry.fromSiteId !== site.id) continue;
      const ingredient = book.ingredients.get(carry.ingredientId);
      const mass = ingredient ? massOf(carry.quantity, { measures: measuresOf(ingredient) }) : null;
      add(tripKey(carry.fromSiteId, carry.toSiteId, carry.tripDate), mass);
    }
  }
  return masses;
}
