import { addDays } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { IngredientStock } from './stock-cover.ts';
import type { OrderAct } from './order-life.ts';
import { requireState, requireVersion, stepTo } from './order-life.ts';
import type { OrderLineRecord, OrderRecord, OrderState } from './order-record.ts';
import { receivedOf } from './order-record.ts';
import type { PackPlan, PackShortfall, PlannedLine, PlannedOrder } from './pack-offer.ts';

/** What a refresh did with a line; only lines with a difference are told. */
export interface RefreshDifference {
  readonly lineId: string;
  /** The pack; not on record of orders worked out before it was kept. */
  readonly offerId?: string;
  readonly ingredientId: string;
  readonly packsBefore: number;
  readonly plannedPacks: number;
  readonly packsNow: number;
  /** `kept-by-hand`: a person's number stays although the plan says otherwise. */
  readonly what: 'new' | 'changed' | 'dropped' | 'kept-by-hand';
}

function refreshLine(
  line: OrderLineRecord,
  planned: PlannedLine | undefined,
): { line: OrderLineRecord | null; difference: RefreshDifference | null } {
  const plannedPacks = planned?.packs ?? 0;
  const certainBase = planned?.certainBase ?? 0;
  const tell = (packsNow: number, what: RefreshDifference['what']): RefreshDifference => ({
    lineId: line.lineId,
    offerId: line.offerId,
    ingredientId: line.ingredientId,
    packsBefore: line.packs,
    plannedPacks,
    packsNow,
    what,
  });
  if (line.handChange) {
    const differs = line.packs !== plannedPacks;
    return {
      line: { ...line, plannedPacks, certainBase },
      difference: differs ? tell(line.packs, 'kept-by-hand') : null,
    };
  }
  if (!planned) return { line: null, difference: tell(0, 'dropped') };
  const { pricePerPack } = planned;
  return {
    line: { ...line, plannedPacks, packs: plannedPacks, pricePerPack, certainBase },
    difference: line.packs === plannedPacks ? null : tell(plannedPacks, 'changed'),
  };
}

/**
 * Brings an order that is not sent yet up to a new plan for the same supplier, site and delivery.
 * Lines changed by hand keep their packs, with the difference told; other lines follow the plan. An
 * approved order whose packs change must be approved again.
 *
 * @param planned the new plan's order, or null when the plan wants none
 * Errors: `stale-version`; `wrong-state` once it is sent (see lateAdditions).
 */
export function refreshOrder(
  order: OrderRecord,
  planned: PlannedOrder | null,
  act: OrderAct,
): Result<{ order: OrderRecord; differences: readonly RefreshDifference[] }> {
  const current = requireVersion(order, act);
  if (!current.ok) return current;
  const fits = requireState(order, ['proposed', 'approved'], 'refreshed');
  if (!fits.ok) return fits;
  const plan = new Map((planned?.lines ?? []).map((line) => [line.offerId, line]));
  const lines: OrderLineRecord[] = [];
  const differences: RefreshDifference[] = [];
  for (const line of order.lines) {
    const refreshed = refreshLine(line, plan.get(line.offerId));
    if (refreshed.line) lines.push(refreshed.line);
    if (refreshed.difference) differences.push(refreshed.difference);
    plan.delete(line.offerId);
  }
  for (const line of plan.values()) {
    lines.push({
      lineId: line.offerId,
      offerId: line.offerId,
      ingredientId: line.ingredientId,
      packBase: line.quantityBase / line.packs,
      plannedPacks: line.packs,
      packs: line.packs,
      pricePerPack: line.pricePerPack,
      certainBase: line.certainBase,
      handChange: null,
      confirmedPacks: null,
    });
    differences.push({
      lineId: line.offerId,
      offerId: line.offerId,
      ingredientId: line.ingredientId,
      packsBefore: 0,
      plannedPacks: line.packs,
      packsNow: line.packs,
      what: 'new',
    });
  }
  const deliveryCharge = planned?.deliveryCharge ?? order.deliveryCharge;
  const moved = differences.some((d) => d.packsBefore !== d.packsNow);
  const state: OrderState = moved ? 'proposed' : order.state;
  return ok({ order: stepTo(order, state, act, { lines, deliveryCharge }), differences });
}

const UNDER_WAY: readonly OrderState[] = ['sent', 'confirmed', 'part-delivered'];

/**
 * What sent orders will still bring, as goods due for netIngredientNeeds: the packs the supplier
 * confirmed (or that were ordered) less those taken in or sent back.
 *
 * @param shelfLifeDaysOf   days in date from the delivery, by offer; null when not stated
 * @param usableAfterDaysOf days from the delivery to the first use, by supplier
 */
export function goodsDue(
  orders: readonly OrderRecord[],
  shelfLifeDaysOf: (offerId: string) => number | null,
  usableAfterDaysOf: (supplierId: string) => number = () => 0,
): IngredientStock[] {
  return orders
    .filter((order) => UNDER_WAY.includes(order.state))
    .flatMap((order) =>
      order.lines.flatMap((line): IngredientStock[] => {
        const { taken, refused } = receivedOf(order, line.lineId);
        const packs = (line.confirmedPacks ?? line.packs) - taken - refused;
        if (packs <= 0) return [];
        const days = shelfLifeDaysOf(line.offerId);
        return [
          {
            id: `${order.orderId}:${line.lineId}`,
            siteId: order.siteId,
            ingredientId: line.ingredientId,
            quantityBase: packs * line.packBase,
            usableFromDate: addDays(order.deliveryDate, usableAfterDaysOf(order.supplierId)),
            ...(days === null ? {} : { useByDate: addDays(order.deliveryDate, days) }),
          },
        ];
      }),
    );
}

/** Something a sent order should have had and no longer can. */
export interface LateAddition {
  readonly orderId: string;
  readonly siteId: string;
  readonly ingredientId: string;
  /** Bought with the next possible delivery. */
  readonly added: readonly {
    readonly supplierId: string;
    readonly deliveryDate: ServiceDate;
    readonly offerId: string;
    readonly packs: number;
  }[];
  /** What is missing until then. */
  readonly shortfalls: readonly PackShortfall[];
}

/**
 * Reads a plan made after the cutoff (with sent orders counted as goods due): which of its shortfalls
 * belong to needs of an ingredient that a sent order was to cover, and which lines of the next possible
 * delivery bring that ingredient. They cannot be put on the sent order any more, so they are shown as
 * additions, and what is missing meanwhile by name.
 */
export function lateAdditions(sent: readonly OrderRecord[], plan: PackPlan): LateAddition[] {
  const additions: LateAddition[] = [];
  const orders = sent
    .filter((order) => UNDER_WAY.includes(order.state))
    .sort((a, b) => b.deliveryDate.localeCompare(a.deliveryDate));
  const homeOf = (siteId: string, ingredientId: string, date: ServiceDate) =>
    orders.find(
      (order) =>
        order.siteId === siteId &&
        order.deliveryDate <= date &&
        order.lines.some((line) => line.ingredientId === ingredientId),
    );
  const found = new Map<string, { -readonly [K in keyof LateAddition]: LateAddition[K] }>();
  const entry = (orderId: string, siteId: string, ingredientId: string) => {
    const key = JSON.stringify([orderId, ingredientId]);
    const known = found.get(key) ?? { orderId, siteId, ingredientId, added: [], shortfalls: [] };
    found.set(key, known);
    return known;
  };
  for (const planned of plan.orders) {
    for (const line of planned.lines) {
      const use = line.uses.find((u) => homeOf(u.siteId, line.ingredientId, u.needDate));
      const home = use && homeOf(use.siteId, line.ingredientId, use.needDate);
      if (!use || !home) continue;
      const { supplierId, deliveryDate } = planned;
      const addition = entry(home.orderId, use.siteId, line.ingredientId);
      const { offerId, packs } = line;
      addition.added = [...addition.added, { supplierId, deliveryDate, offerId, packs }];
    }
  }
  for (const shortfall of plan.shortfalls) {
    const { siteId, ingredientId, needDate } = shortfall;
    const home = homeOf(siteId, ingredientId, needDate);
    if (!home) continue;
    const addition = entry(home.orderId, siteId, ingredientId);
    addition.shortfalls = [...addition.shortfalls, shortfall];
  }
  for (const addition of found.values()) {
    // Without a gap the later delivery comes in time: that is an order like any other.
    if (addition.shortfalls.length === 0) continue;
    const first = addition.added.reduce(
      (soonest, { deliveryDate }) =>
        soonest === '' || deliveryDate < soonest ? deliveryDate : soonest,
      '',
    );
    const added = addition.added.filter((line) => line.deliveryDate === first);
    additions.push({ ...addition, added });
  }
  return additions;
}
