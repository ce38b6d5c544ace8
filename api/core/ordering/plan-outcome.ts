import { Decimal } from '../money/index.ts';
import { netNeeds } from '../netting/index.ts';
import { unwrap } from '../shared/result.ts';
import { QUANTITY_TOLERANCE } from './ingredient-need.ts';
import type {
  LineUse,
  PackPlan,
  PackShortfall,
  PlannedLine,
  PlannedOrder,
  PlannedTransfer,
  PlanMethod,
  SurplusFate,
} from './pack-offer.ts';
import { belowMinimumCost } from './pack-network.ts';
import type { NetworkSlot, PackLot, PackNetwork, Trip } from './pack-network.ts';
import { markMinimumPacks } from './minimum-packs.ts';
import { pricePerPack } from './pack-price.ts';
import { keepingCost, leftoverWorth } from './plan-value.ts';

/** Part of a lot that goes on a trip, base unit. */
export interface TripLoad {
  readonly lot: PackLot;
  readonly trip: Trip;
  readonly quantityBase: number;
}

/** A choice: whole packs by lot index, and what is carried. */
export interface PackChoice {
  readonly packs: ReadonlyMap<number, number>;
  readonly loads: readonly TripLoad[];
}

/** Goods at one site of one ingredient: a lot delivered there, or the part of one carried there. */
interface Supply {
  readonly lot: PackLot;
  readonly fromDay: number;
  readonly quantityBase: number;
}

interface LotFate {
  readonly uses: LineUse[];
  usedBase: number;
  usedLaterBase: number;
  wasteBase: number;
  unknown: SurplusFate | null;
}

const NEVER_DAY = Number.MAX_SAFE_INTEGER;
const keyOf = (siteId: string, ingredientId: string): string =>
  JSON.stringify([siteId, ingredientId]);

function suppliesByPlace(network: PackNetwork, choice: PackChoice): Map<string, Supply[]> {
  const places = new Map<string, Supply[]>();
  const put = (siteId: string, supply: Supply): void => {
    const key = keyOf(siteId, supply.lot.offer.ingredientId);
    places.set(key, [...(places.get(key) ?? []), supply]);
  };
  const carriedOff = new Map<number, number>();
  for (const { lot, trip, quantityBase } of choice.loads) {
    carriedOff.set(lot.index, (carriedOff.get(lot.index) ?? 0) + quantityBase);
    put(trip.route.toSiteId, { lot, fromDay: trip.arrivesDay, quantityBase });
  }
  for (const [index, packs] of choice.packs) {
    const lot = network.lots[index];
    if (!lot || packs <= 0) continue;
    const left = packs * lot.offer.quantityBase - (carriedOff.get(index) ?? 0);
    const quantityBase = Math.max(0, left);
    put(lot.slot.siteId, { lot, fromDay: lot.usableDay, quantityBase });
  }
  return places;
}

/** What of the leftovers (earliest use-by first) will be used in date after the horizon. */
function settleLeftovers(
  network: PackNetwork,
  left: readonly { lot: PackLot; quantityBase: number }[],
  perDayBase: number | null,
  fateOf: (lot: PackLot) => LotFate,
): void {
  let usedBase = 0;
  for (const { lot, quantityBase } of left) {
    const fate = fateOf(lot);
    if (lot.lastDay === Infinity) {
      fate.unknown = 'shelf-life-not-stated';
    } else if (lot.lastDay <= network.endDay) {
      fate.wasteBase += quantityBase;
    } else if (perDayBase === null) {
      fate.unknown = 'later-use-not-stated';
    } else {
      const room = Math.max(0, perDayBase * (lot.lastDay - network.endDay) - usedBase);
      const later = Math.min(quantityBase, room);
      usedBase += later;
      fate.usedLaterBase += later;
      fate.wasteBase += quantityBase - later;
    }
  }
}

function lineOf(lot: PackLot, packs: number, fate: LotFate): PlannedLine {
  const { offer } = lot;
  const price = pricePerPack(offer, packs);
  const quantityBase = packs * offer.quantityBase;
  const crumb = quantityBase * 1e-7;
  const snap = (q: number): number => (q <= crumb ? 0 : q);
  const surplusBase = snap(quantityBase - fate.usedBase);
  const wasteBase = Math.min(snap(fate.wasteBase), surplusBase);
  const surplusFate: SurplusFate =
    surplusBase === 0 ? 'none' : wasteBase > 0 ? 'expires' : (fate.unknown ?? 'used-in-date');
  return {
    offerId: offer.id,
    ingredientId: offer.ingredientId,
    packs,
    pricePerPack: price.toString(),
    cost: price.times(packs).toString(),
    quantityBase,
    uses: fate.uses,
    usedBase: fate.usedBase,
    certainBase: fate.uses.reduce((sum, use) => sum + use.certainBase, 0),
    surplusBase,
    usedLaterBase: surplusBase === 0 ? 0 : Math.min(fate.usedLaterBase, surplusBase),
    expectedWasteBase: wasteBase,
    expectedWasteCost: price.times(wasteBase).div(offer.quantityBase).toString(),
    surplusFate,
    packsForMinimum: 0,
  };
}

const sumOf = (amounts: Iterable<string>): Decimal =>
  [...amounts].reduce((sum, amount) => sum.plus(amount), new Decimal(0));

function ordersOf(
  network: PackNetwork,
  choice: PackChoice,
  fates: ReadonlyMap<number, LotFate>,
): PlannedOrder[] {
  const bySlot = new Map<number, PlannedLine[]>();
  const lotOfLine = new Map<string, PackLot>();
  for (const [index, packs] of [...choice.packs].sort((a, b) => a[0] - b[0])) {
    const lot = network.lots[index];
    const fate = fates.get(index);
    if (!lot || !fate || packs <= 0) continue;
    lotOfLine.set(`${lot.slotIndex} ${lot.offer.id}`, lot);
    bySlot.set(lot.slotIndex, [...(bySlot.get(lot.slotIndex) ?? []), lineOf(lot, packs, fate)]);
  }
  const orders: PlannedOrder[] = [];
  for (const [slotIndex, lines] of bySlot) {
    const slot = network.slots[slotIndex];
    if (!slot) continue;
    const { terms } = slot;
    const goods = sumOf(lines.map((line) => line.cost));
    const free = terms.freeDeliveryFrom !== undefined && goods.gte(terms.freeDeliveryFrom);
    const charge = free ? new Decimal(0) : new Decimal(terms.deliveryCharge ?? 0);
    const { supplierId, siteId, deliveryDate, cutoffMin } = slot.slot;
    const order: PlannedOrder = {
      supplierId,
      siteId,
      deliveryDate,
      cutoffMin,
      lines,
      goodsCost: goods.toString(),
      deliveryCharge: charge.toString(),
      total: goods.plus(charge).toString(),
    };
    const below = belowMinimum(order, slot);
    orders.push(
      below
        ? { ...order, belowMinimum: below }
        : markMinimumPacks(order, slot, (id) => lotOfLine.get(`${slotIndex} ${id}`)),
    );
  }
  return orders.sort(
    (a, b) =>
      a.deliveryDate.localeCompare(b.deliveryDate) ||
      a.supplierId.localeCompare(b.supplierId) ||
      a.siteId.localeCompare(b.siteId),
  );
}

/** What is missing to the supplier's minimums; null when they are reached. */
function belowMinimum(order: PlannedOrder, { terms }: NetworkSlot): PlannedOrder['belowMinimum'] {
  const value = new Decimal(terms.minOrderValue ?? 0).minus(order.goodsCost);
  const packs = order.lines.reduce((sum, line) => sum + line.packs, 0);
  const missingPacks = Math.max(0, (terms.minOrderPacks ?? 0) - packs);
  if (value.lte(0) && missingPacks === 0) return undefined;
  return { missingValue: Decimal.max(0, value).toString(), missingPacks };
}

/** What leaving orders below their minimum counts in the objective, exact. */
function belowMinimumCosts(network: PackNetwork, orders: readonly PlannedOrder[]): Decimal {
  const termsOf = new Map(network.slots.map(({ terms }) => [terms.supplierId, terms]));
  return orders.reduce((sum, { supplierId, belowMinimum: below }) => {
    const terms = termsOf.get(supplierId);
    return below && terms ? sum.plus(belowMinimumCost(network, terms) ?? 0) : sum;
  }, new Decimal(0));
}

function transfersOf(choice: PackChoice): PlannedTransfer[] {
  const byTrip = new Map<Trip, TripLoad[]>();
  for (const load of choice.loads) {
    byTrip.set(load.trip, [...(byTrip.get(load.trip) ?? []), load]);
  }
  return [...byTrip].map(([trip, loads]) => ({
    fromSiteId: trip.route.fromSiteId,
    toSiteId: trip.route.toSiteId,
    tripDate: trip.tripDate,
    cost: new Decimal(trip.route.costPerTrip).toString(),
    loads: loads.map(({ lot, quantityBase }) => ({
      offerId: lot.offer.id,
      deliveryDate: lot.slot.deliveryDate,
      ingredientId: lot.offer.ingredientId,
      quantityBase,
    })),
  }));
}

/**
 * Works out what a choice of packs means: who uses what (first-expiring first-out), what is left
 * over and what becomes of it, what is paid. All amounts exact; nothing here depends on how the
 * choice was found.
 */
export function planOutcome(
  network: PackNetwork,
  choice: PackChoice,
  proof: { method: PlanMethod; bound: number | null },
): PackPlan {
  const fates = new Map<number, LotFate>();
  const fateOf = (lot: PackLot): LotFate => {
    const known = fates.get(lot.index);
    if (known) return known;
    const fresh: LotFate = { uses: [], usedBase: 0, usedLaterBase: 0, wasteBase: 0, unknown: null };
    fates.set(lot.index, fresh);
    return fresh;
  };
  for (const [index, packs] of choice.packs) {
    const lot = network.lots[index];
    if (lot && packs > 0) fateOf(lot);
  }
  const groups = new Map(network.groups.map((group) => [group.key, group]));
  const laterUse = new Map(
    (network.problem.laterUse ?? []).map((u) => [keyOf(u.siteId, u.ingredientId), u.perDayBase]),
  );
  const places = suppliesByPlace(network, choice);
  const shortfalls: PackShortfall[] = [...network.shortfalls];
  for (const key of new Set([...groups.keys(), ...places.keys()])) {
    const supplies = places.get(key) ?? [];
    const needs = groups.get(key)?.needs ?? [];
    const netted = unwrap(
      netNeeds({
        needs: needs.map((need, id) => ({
          id: String(id),
          atMin: need.day,
          untilMin: need.day,
          quantity: need.quantityBase,
        })),
        lots: supplies.map((supply, id) => ({
          id: String(id),
          quantity: supply.quantityBase,
          availableFromMin: supply.fromDay,
          useByMin: Math.min(supply.lot.lastDay, NEVER_DAY),
        })),
      }),
    );
    for (const { needId, lotId, quantity } of netted.allocations) {
      const need = needs[Number(needId)];
      const supply = supplies[Number(lotId)];
      if (!need || !supply) continue;
      const fate = fateOf(supply.lot);
      const share = quantity / need.quantityBase;
      fate.usedBase += quantity;
      fate.uses.push({
        siteId: need.siteId,
        needDate: need.needDate,
        quantityBase: quantity,
        certainBase: need.certainBase * share,
        refs: need.refs.map((ref) =>
          ref.quantityBase === undefined ? ref : { ...ref, quantityBase: ref.quantityBase * share },
        ),
      });
    }
    const largest = Math.max(0, ...supplies.map((supply) => supply.lot.offer.quantityBase));
    for (const open of netted.net) {
      const need = needs[Number(open.id)];
      if (!need || open.quantity <= Math.max(largest * 1e-6, need.quantityBase * 1e-6)) continue;
      const { ingredientId, siteId, needDate, refs } = need;
      const certainBase = Math.max(0, need.certainBase - (need.quantityBase - open.quantity));
      const quantityBase = open.quantity;
      const reason = 'not-enough';
      shortfalls.push({
        ingredientId,
        siteId,
        needDate,
        quantityBase,
        certainBase,
        reason,
        nextDelivery: null,
        refs,
      });
    }
    const left = netted.leftovers.flatMap(({ id, quantity }) => {
      const supply = supplies[Number(id)];
      const enough = supply && quantity > supply.quantityBase * QUANTITY_TOLERANCE;
      return enough ? [{ lot: supply.lot, quantityBase: quantity }] : [];
    });
    settleLeftovers(network, left, laterUse.get(key) ?? null, fateOf);
  }
  const orders = ordersOf(network, choice, fates);
  const transfers = transfersOf(choice);
  const cost = sumOf([...orders.map((o) => o.total), ...transfers.map((t) => t.cost)]);
  const waste = sumOf(orders.flatMap((o) => o.lines.map((line) => line.expectedWasteCost)));
  const usedLater = [...fates].map(([index, fate]) => [index, fate.usedLaterBase] as const);
  const objective = cost
    .plus(keepingCost(network, choice.packs))
    .plus(belowMinimumCosts(network, orders))
    .minus(leftoverWorth(network, usedLater));
  const gap =
    proof.bound === null
      ? null
      : Math.max(0, objective.toNumber() - proof.bound) /
        Math.max(objective.abs().toNumber(), 1e-9);
  return {
    currency: network.problem.currency,
    orders,
    transfers,
    shortfalls,
    cost: cost.toString(),
    expectedWasteCost: waste.toString(),
    objective: objective.toFixed(9),
    bound: proof.bound === null ? null : new Decimal(proof.bound).toFixed(9),
    gap: gap !== null && gap < 1e-9 ? 0 : gap,
    method: proof.method,
  };
}
