import { daysBetween } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { Decimal } from '../money/index.ts';
import type { IngredientNeed } from './ingredient-need.ts';
import type {
  DeliverySlot,
  PackOffer,
  PackProblem,
  PackShortfall,
  SupplierTerms,
  TransferRoute,
} from './pack-offer.ts';
import { bestUnitPrice } from './pack-price.ts';
import { bindingContracts } from './supply-contracts.ts';

/** Our own settings, no source: see ChoiceSettings. */
export const DEFAULT_LEFTOVER_VALUE_FRACTION = 0.9;
export const DEFAULT_HOLDING_FRACTION_PER_DAY = 0.001;

/** A dated need; days are counted from the start of the network. */
export interface NetworkNeed extends IngredientNeed {
  readonly index: number;
  readonly day: number;
}

/** Packs of one offer in one delivery: the unit of choice. */
export interface PackLot {
  readonly index: number;
  readonly offer: PackOffer;
  readonly slot: DeliverySlot;
  readonly slotIndex: number;
  readonly usableDay: number;
  /** Last day in date; Infinity when the shelf life is not stated. */
  readonly lastDay: number;
}

/** One possible trip between two sites. */
export interface Trip {
  readonly index: number;
  readonly route: TransferRoute;
  readonly tripDate: ServiceDate;
  readonly leavesDay: number;
  /** First day the goods can be used at the other end. */
  readonly arrivesDay: number;
}

/** A delivery and what its supplier asks of the order. */
export interface NetworkSlot {
  readonly index: number;
  readonly slot: DeliverySlot;
  readonly terms: SupplierTerms;
  /** True when the terms tie the ingredients of an order together. */
  readonly coupling: boolean;
}

/** All needs of one ingredient at one site, and the lots that can serve at least one of them. */
export interface NeedGroup {
  readonly key: string;
  readonly siteId: string;
  readonly ingredientId: string;
  readonly needs: readonly NetworkNeed[];
  readonly lots: readonly PackLot[];
  /** Lots at other sites, with the trips that can carry them here in time for some need. */
  readonly carried: readonly { readonly lot: PackLot; readonly trip: Trip }[];
  /** Expected use a day after the horizon; null when not stated. */
  readonly laterPerDayBase: number | null;
}

/** The problem as a network: which packs of which delivery can serve which need. */
export interface PackNetwork {
  readonly problem: PackProblem;
  readonly endDay: number;
  readonly slots: readonly NetworkSlot[];
  readonly lots: readonly PackLot[];
  readonly trips: readonly Trip[];
  readonly groups: readonly NeedGroup[];
  readonly shortfalls: readonly PackShortfall[];
  /** Cheapest price of a base unit over the offers, by ingredient. */
  readonly unitPrice: ReadonlyMap<string, Decimal>;
  readonly leftoverValueFraction: number;
  readonly holdingFractionPerDay: number;
}

const keyOf = (siteId: string, ingredientId: string): string =>
  JSON.stringify([siteId, ingredientId]);

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

const offerEnded = (offer: PackOffer, slot: DeliverySlot): boolean =>
  offer.toDate !== undefined && slot.deliveryDate > offer.toDate;

/**
 * What it counts in the objective to leave an order below the supplier's minimum; null where that is
 * not allowed or the supplier has no minimum value.
 */
export function belowMinimumCost(network: PackNetwork, terms: SupplierTerms): number | null {
  const fraction = network.problem.settings?.belowMinimumFraction;
  const minimum = Number(terms.minOrderValue ?? 0);
  return fraction === undefined || minimum <= 0 ? null : fraction * minimum;
}

/** Needs of equal site, ingredient and date become one; zero needs go; ascending by date. */
function mergeNeeds(needs: readonly IngredientNeed[]): Map<string, IngredientNeed[]> {
  const merged = new Map<string, IngredientNeed>();
  for (const need of needs) {
    if (need.quantityBase <= 0) continue;
    const key = JSON.stringify([need.siteId, need.ingredientId, need.needDate]);
    const same = merged.get(key);
    // A need without parts stands whole behind its nodes: say how much, now that it is one of many.
    const refs = need.refs.map((ref) => ({ quantityBase: need.quantityBase, ...ref }));
    merged.set(
      key,
      same
        ? {
            ...same,
            quantityBase: same.quantityBase + need.quantityBase,
            certainBase: same.certainBase + need.certainBase,
            refs: [...same.refs, ...refs],
          }
        : { ...need, refs },
    );
  }
  const groups = new Map<string, IngredientNeed[]>();
  for (const need of merged.values()) {
    const key = keyOf(need.siteId, need.ingredientId);
    groups.set(key, [...(groups.get(key) ?? []), need]);
  }
  for (const group of groups.values()) group.sort((a, b) => compareText(a.needDate, b.needDate));
  return groups;
}

/** Whether a site may take an offer on a delivery date, by the contracts that bind it then. */
function contractRule(
  problem: PackProblem,
): (siteId: string, offer: PackOffer, date: ServiceDate) => boolean {
  const contracts = problem.contracts ?? [];
  const known = new Map<string, ReadonlySet<string>>();
  return (siteId, { ingredientId, supplierId }, date) => {
    if (contracts.length === 0) return true;
    const key = JSON.stringify([siteId, ingredientId, date]);
    const bound =
      known.get(key) ??
      new Set(bindingContracts(contracts, siteId, ingredientId, date).map((c) => c.supplierId));
    known.set(key, bound);
    return bound.size === 0 || bound.has(supplierId);
  };
}

function shortfallOf(
  need: IngredientNeed,
  lots: readonly PackLot[],
  dayOf: (date: ServiceDate) => number,
  lastDate: ServiceDate,
  offered: boolean,
): PackShortfall {
  const day = dayOf(need.needDate);
  const later = lots
    .filter((lot) => lot.usableDay > day)
    .sort((a, b) => a.usableDay - b.usableDay || compareText(a.offer.id, b.offer.id))[0];
  const expired = lots.some((lot) => lot.usableDay <= day);
  const reason = !offered
    ? 'no-offer'
    : later
      ? 'past-cutoff'
      : expired || need.needDate > lastDate
        ? 'out-of-date'
        : 'no-delivery';
  const { ingredientId, siteId, needDate, quantityBase, certainBase, refs } = need;
  const nextDelivery = later?.slot ?? null;
  return { ingredientId, siteId, needDate, quantityBase, certainBase, reason, nextDelivery, refs };
}

/** Can goods of `lot` be used at the site on `day`, when they are there from `fromDay`? */
export function servesOn(lot: PackLot, fromDay: number, day: number): boolean {
  return fromDay <= day && day <= lot.lastDay;
}

/** Whether anything of an offer could go on the trip: with a limit of mass its own must be known. */
function fitsTrip({ massPerBaseG }: PackOffer, { route: { massLimitG } }: Trip): boolean {
  return massLimitG === undefined || (massLimitG > 0 && massPerBaseG !== undefined);
}

/**
 * Lays out which packs of which delivery can serve which need, by arrival and shelf life, and
 * names the needs that nothing can serve. The problem must have passed checkPackProblem.
 */
export function buildNetwork(problem: PackProblem): PackNetwork {
  const origin = [...problem.needs.map((n) => n.needDate), problem.horizonEnd]
    .concat(problem.slots.map((s) => s.deliveryDate))
    .reduce((a, b) => (a < b ? a : b));
  const days = new Map<ServiceDate, number>();
  const dayOf = (date: ServiceDate): number => {
    const known = days.get(date);
    if (known !== undefined) return known;
    const day = daysBetween(origin, date);
    days.set(date, day);
    return day;
  };
  const termsOf = new Map(problem.suppliers.map((terms) => [terms.supplierId, terms]));
  const slots = problem.slots.map((slot, index): NetworkSlot => {
    const terms = termsOf.get(slot.supplierId) ?? { supplierId: slot.supplierId };
    const coupling =
      Number(terms.minOrderValue ?? 0) > 0 ||
      (terms.minOrderPacks ?? 0) > 1 ||
      Number(terms.deliveryCharge ?? 0) > 0;
    return { index, slot, terms, coupling };
  });
  const trips = (problem.transfers ?? [])
    .flatMap((route) => [...new Set(route.tripDates)].map((tripDate) => ({ route, tripDate })))
    .map(({ route, tripDate }, index): Trip => {
      const leavesDay = dayOf(tripDate);
      const arrivesDay = leavesDay + (route.handlingDays ?? 0);
      return { index, route, tripDate, leavesDay, arrivesDay };
    });
  const allowed = contractRule(problem);
  const offersOf = new Map<string, PackOffer[]>();
  const unitPrice = new Map<string, Decimal>();
  for (const offer of problem.offers) {
    const { ingredientId } = offer;
    offersOf.set(ingredientId, [...(offersOf.get(ingredientId) ?? []), offer]);
    const known = unitPrice.get(ingredientId);
    const own = bestUnitPrice(offer);
    unitPrice.set(ingredientId, known ? Decimal.min(known, own) : own);
  }
  const slotsAt = new Map<string, NetworkSlot[]>();
  for (const s of slots) {
    const key = keyOf(s.slot.siteId, s.slot.supplierId);
    slotsAt.set(key, [...(slotsAt.get(key) ?? []), s]);
  }
  const lots: PackLot[] = [];
  const lotsByKey = new Map<string, PackLot[]>();
  const lotsAt = (siteId: string, ingredientId: string): readonly PackLot[] => {
    const key = keyOf(siteId, ingredientId);
    const known = lotsByKey.get(key);
    if (known) return known;
    const found: PackLot[] = [];
    for (const offer of offersOf.get(ingredientId) ?? []) {
      for (const { slot, index } of slotsAt.get(keyOf(siteId, offer.supplierId)) ?? []) {
        if (slot.deliveryDate < (offer.fromDate ?? '') || offerEnded(offer, slot)) continue;
        const lastDay = dayOf(slot.deliveryDate) + (offer.shelfLifeDays ?? Infinity);
        const usableDay = dayOf(slot.usableFromDate);
        const lot = { index: lots.length, offer, slot, slotIndex: index, usableDay, lastDay };
        lots.push(lot);
        found.push(lot);
      }
    }
    lotsByKey.set(key, found);
    return found;
  };
  const laterUse = new Map(
    (problem.laterUse ?? []).map((u) => [keyOf(u.siteId, u.ingredientId), u.perDayBase]),
  );
  const groups: NeedGroup[] = [];
  const shortfalls: PackShortfall[] = [];
  let needIndex = 0;
  for (const [key, needs] of mergeNeeds(problem.needs)) {
    const first = needs[0];
    if (!first) continue;
    const { siteId, ingredientId } = first;
    const local = lotsAt(siteId, ingredientId).filter((lot) =>
      allowed(siteId, lot.offer, lot.slot.deliveryDate),
    );
    const carried = trips
      .filter((trip) => trip.route.toSiteId === siteId)
      .flatMap((trip) =>
        lotsAt(trip.route.fromSiteId, ingredientId)
          .filter(
            (lot) =>
              lot.usableDay <= trip.leavesDay &&
              fitsTrip(lot.offer, trip) &&
              allowed(siteId, lot.offer, lot.slot.deliveryDate),
          )
          .map((lot) => ({ lot, trip })),
      );
    const servable: NetworkNeed[] = [];
    for (const need of needs) {
      const day = dayOf(need.needDate);
      const served =
        local.some((lot) => servesOn(lot, lot.usableDay, day)) ||
        carried.some(({ lot, trip }) => servesOn(lot, trip.arrivesDay, day));
      if (served) servable.push({ ...need, index: needIndex++, day });
      else {
        const offered = (offersOf.get(ingredientId) ?? []).some((offer) =>
          allowed(siteId, offer, need.needDate),
        );
        shortfalls.push(shortfallOf(need, local, dayOf, problem.horizonEnd, offered));
      }
    }
    if (servable.length === 0) continue;
    const laterPerDayBase = laterUse.get(key) ?? null;
    const useful = (lot: PackLot, fromDay: number): boolean =>
      servable.some((need) => servesOn(lot, fromDay, need.day));
    groups.push({
      key,
      siteId,
      ingredientId,
      needs: servable,
      lots: local.filter((lot) => useful(lot, lot.usableDay)),
      carried: carried.filter(({ lot, trip }) => useful(lot, trip.arrivesDay)),
      laterPerDayBase,
    });
  }
  return {
    problem,
    endDay: dayOf(problem.horizonEnd),
    slots,
    lots,
    trips,
    groups,
    shortfalls,
    unitPrice,
    leftoverValueFraction:
      problem.settings?.leftoverValueFraction ?? DEFAULT_LEFTOVER_VALUE_FRACTION,
    holdingFractionPerDay:
      problem.settings?.holdingFractionPerDay ?? DEFAULT_HOLDING_FRACTION_PER_DAY,
  };
}

/**
 * Splits the groups into parts that share nothing: no order with a minimum or a charge, no lot and
 * no trip. Each part can be solved alone without losing anything.
 */
export function independentParts(network: PackNetwork): NeedGroup[][] {
  const parent = network.groups.map((_, index) => index);
  const rootOf = (index: number): number => {
    let root = index;
    while (parent[root] !== undefined && parent[root] !== root) root = parent[root] ?? root;
    parent[index] = root;
    return root;
  };
  const firstUser = new Map<string, number>();
  const share = (index: number, name: string): void => {
    const other = firstUser.get(name);
    if (other === undefined) firstUser.set(name, index);
    else parent[rootOf(index)] = rootOf(other);
  };
  for (const [index, group] of network.groups.entries()) {
    for (const lot of [...group.lots, ...group.carried.map((c) => c.lot)]) {
      share(index, `lot ${lot.index}`);
      if (network.slots[lot.slotIndex]?.coupling) share(index, `slot ${lot.slotIndex}`);
    }
    for (const { trip } of group.carried) share(index, `trip ${trip.index}`);
  }
  const parts = new Map<number, NeedGroup[]>();
  for (const [index, group] of network.groups.entries()) {
    const root = rootOf(index);
    parts.set(root, [...(parts.get(root) ?? []), group]);
  }
  return [...parts.values()];
}
