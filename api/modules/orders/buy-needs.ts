import { keepsDays } from '../supply-terms/index.ts';
import { addDays, daysBetween, wallClockOf } from '../../core/calendar/index.ts';
import { evaluateEach } from '../../core/explanation/index.ts';
import { Decimal } from '../../core/money/index.ts';
import {
  bestUnitPrice,
  goodsDue,
  netIngredientNeeds,
  safetyOverDays,
  safetyProbability,
} from '../../core/ordering/index.ts';
import type {
  IngredientNeed,
  IngredientStock,
  LaterUse,
  PackOffer,
} from '../../core/ordering/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { IngredientNeedRow } from '../prep/index.ts';

import { goodsCarriedHere, lessSetAside } from './carries.ts';
import { toRecord } from './order-record.ts';
import type { Order } from './orders.ports.ts';
import type { BuyNeed, ProposalInput } from './proposal.ts';

/**
 * What a unit short costs, in prices of the unit: as much as makes a unit that is thrown away when
 * left over worth having at the level the plan is made for, 0.85. Our own setting, no source.
 */
const SHORT_COST_IN_PRICES = 0.85 / (1 - 0.85);
/** A sent order counts as coming until so many days after its date; our own setting, no source. */
const DAYS_LATE = 2;
/** Levels that the plan's figures are worked out at again: finer steps buy nothing. */
const SAFETY_LEVELS = [0.9, 0.95, 0.98] as const;

/** States in which an order is with the supplier and can no longer be changed by the plan. */
const WITH_SUPPLIER: readonly Order['status'][] = ['sent', 'confirmed', 'part-delivered'];

/** Whether the plan may still change the order: proposed, or approved and before its cutoff. */
export const isOpenToPlan = (order: Order, now: Date): boolean =>
  order.status === 'proposed' || (order.status === 'approved' && order.cutoffAt > now);

/** Orders of the site that will still bring something: sent ones, and approved past their cutoff. */
export function ordersDue(input: ProposalInput, today: string): readonly Order[] {
  return input.standing.filter(
    (order) =>
      (WITH_SUPPLIER.includes(order.status) ||
        (order.status === 'approved' && order.cutoffAt <= input.now)) &&
      order.deliveryDate >= addDays(today, -DAYS_LATE),
  );
}

export interface BuyHorizon {
  readonly today: string;
  /** Last date whose needs are ordered for, included. */
  readonly lastDate: string;
  /** Packs on sale: what a unit costs says how much safety it is worth. */
  readonly offers: readonly PackOffer[];
}

/** The needs of the days ordered for, with their safety, less stock in date and deliveries due. */
export function buyNeeds(input: ProposalInput, horizon: BuyHorizon): readonly BuyNeed[] {
  const rows = input.needs.filter(
    (need) =>
      need.needDate <= horizon.lastDate &&
      input.book.ingredients.get(need.ingredientId)?.notBought === false,
  );
  const safety = safetyOf(input, rows, horizon);
  const whole = rows.map((row): IngredientNeed => {
    const quantityBase = row.quantity + (safety.get(row.id)?.quantity ?? 0);
    return {
      ingredientId: row.ingredientId,
      siteId: row.siteId,
      needDate: row.needDate,
      quantityBase,
      certainBase: Math.min(row.certainQuantity, quantityBase),
      refs: [{ nodeId: row.id }],
    };
  });
  const netted = orRefuse(netIngredientNeeds(whole, stockOf(input, horizon.today)));
  const open = new Map(netted.needs.map((need) => [keyOf(need), need.quantityBase]));
  return rows.map((row) => ({
    row,
    safety: safety.get(row.id)?.quantity ?? 0,
    safetyLevel: safety.get(row.id)?.level ?? 0,
    taken: netted.covers
      .filter((cover) => keyOf(cover) === keyOf(row))
      .map(({ stockId, quantityBase }) => ({ lotId: stockId, quantity: quantityBase })),
    open: open.get(keyOf(row)) ?? 0,
  }));
}

/** A plan has one need an ingredient and day. */
const keyOf = (need: { readonly ingredientId: string; readonly needDate: string }): string =>
  `${need.ingredientId}|${need.needDate}`;

/** Goods on the shelf and goods due, with the last whole day they may be used on. */
function stockOf(input: ProposalInput, today: string): IngredientStock[] {
  const { book, site } = input;
  const shelf = input.lots.map((lot): IngredientStock => {
    const wall = orRefuse(wallClockOf(Math.floor(lot.useBy.getTime() / 60_000), site.zone));
    // A lot that runs out in the morning serves nothing of that day's work.
    const useByDate = wall.time < '12:00' ? addDays(wall.date, -1) : wall.date;
    return {
      id: lot.id,
      siteId: site.id,
      ingredientId: lot.itemId,
      quantityBase: lot.quantity,
      useByDate,
    };
  });
  const coming = ordersDue(input, today).map((order) => {
    const record = toRecord(order, input.deliveries);
    return order.status === 'approved' ? { ...record, state: 'sent' as const } : record;
  });
  const due = goodsDue(
    coming,
    (packId) => {
      const pack = book.packs.get(packId);
      return keepsDays(pack, book.ingredients.get(pack?.ingredientId ?? ''));
    },
    (supplierId) => book.suppliers.get(supplierId)?.usableAfterDays ?? 0,
  );
  const own = lessSetAside([...shelf, ...due], input, today);
  return [...own, ...goodsCarriedHere(input, today)];
}

interface Safety {
  readonly quantity: number;
  readonly level: number;
}

/**
 * What to have above the plan's own level, by need: the plan's figures are worked out again at the
 * level at which a unit more stops paying, which is higher the longer the goods keep. Never less
 * than the plan asks for.
 */
function safetyOf(
  input: ProposalInput,
  rows: readonly IngredientNeedRow[],
  horizon: BuyHorizon,
): ReadonlyMap<string, Safety> {
  const found = new Map<string, Safety>();
  const byIngredient = new Map<string, IngredientNeedRow[]>();
  for (const row of rows) {
    byIngredient.set(row.ingredientId, [...(byIngredient.get(row.ingredientId) ?? []), row]);
  }
  const atLevel = new Map<number, ReadonlyMap<string, number>>();
  const valuesAt = (level: number): ReadonlyMap<string, number> => {
    const known = atLevel.get(level);
    if (known) return known;
    const nodes = rows.map((row) => row.node);
    const options = { quantile: planQuantile, atLeastLevel: level };
    const values = orRefuse(evaluateEach(input.planGraph, nodes, options));
    atLevel.set(level, values);
    return values;
  };
  for (const [ingredientId, own] of byIngredient) {
    const level = safetyLevel(ingredientId, own, horizon);
    if (level === null) continue;
    const values = valuesAt(level);
    const above = own.map((row) => (values.get(row.node) ?? row.quantity) - row.quantity);
    for (const [i, quantity] of safetyOverDays(above).entries()) {
      const row = own[i];
      if (row && quantity > 1e-9) found.set(row.id, { quantity, level });
    }
  }
  return found;
}

/** The level for one ingredient; null where nobody sells it or more than the plan does not pay. */
function safetyLevel(
  ingredientId: string,
  needs: readonly IngredientNeedRow[],
  horizon: BuyHorizon,
): number | null {
  const offers = horizon.offers.filter((offer) => offer.ingredientId === ingredientId);
  if (offers.length === 0) return null;
  const price = Decimal.min(...offers.map(bestUnitPrice)).toNumber();
  const life = Math.max(...offers.map((offer) => offer.shelfLifeDays ?? 0));
  const covered = daysBetween(needs[0]?.needDate ?? horizon.today, horizon.lastDate) + 1;
  const probability = orRefuse(
    safetyProbability({
      shortCostPerBase: price * SHORT_COST_IN_PRICES,
      unitCostPerBase: price,
      shelfLifeDays: life,
      coverDays: Math.max(1, Math.min(covered, needs.length)),
    }),
  );
  return SAFETY_LEVELS.findLast((level) => level <= probability + 1e-9) ?? null;
}

/** Use a day after the days ordered for: of the plan's later days where it has some, else of all. */
export function laterUse(input: ProposalInput, horizon: BuyHorizon): readonly LaterUse[] {
  const lastPlanned = input.needs.reduce((last, n) => (n.needDate > last ? n.needDate : last), '');
  const later = lastPlanned > horizon.lastDate;
  const from = later ? addDays(horizon.lastDate, 1) : horizon.today;
  const to = later ? lastPlanned : horizon.lastDate;
  const days = daysBetween(from, to) + 1;
  const total = new Map<string, number>();
  for (const need of input.needs) {
    if (need.needDate < from || need.needDate > to) continue;
    total.set(need.ingredientId, (total.get(need.ingredientId) ?? 0) + need.quantity);
  }
  return [...total].map(([ingredientId, quantity]) => ({
    siteId: input.site.id,
    ingredientId,
    perDayBase: quantity / days,
  }));
}
