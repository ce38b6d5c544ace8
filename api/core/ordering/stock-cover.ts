import { parseServiceDate } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { netNeeds } from '../netting/index.ts';
import type { LotOnHand } from '../netting/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { QUANTITY_TOLERANCE } from './ingredient-need.ts';
import type { IngredientNeed } from './ingredient-need.ts';

/** Goods a site has, or that are already ordered and due. Base unit of the ingredient. */
export interface IngredientStock {
  readonly id: string;
  readonly siteId: string;
  readonly ingredientId: string;
  readonly quantityBase: number;
  /** First date it can be used: the delivery date of goods due; left out for goods on the shelf. */
  readonly usableFromDate?: ServiceDate;
  /** Last date it may be used; left out when it is not stated on the goods. */
  readonly useByDate?: ServiceDate;
}

/** What stock gives to one dated need. */
export interface StockCover {
  readonly siteId: string;
  readonly ingredientId: string;
  readonly needDate: ServiceDate;
  readonly stockId: string;
  readonly quantityBase: number;
}

export interface NetIngredientNeeds {
  /** What is still to be bought, in the order given; needs that stock covers whole are left out. */
  readonly needs: readonly IngredientNeed[];
  readonly covers: readonly StockCover[];
  /** Stock that no need takes, with what is left of it. */
  readonly leftovers: readonly IngredientStock[];
  /** Stock that was counted on although its use-by is not stated: someone must look at it. */
  readonly undatedIds: readonly string[];
}

const ALWAYS_MIN = Number.MIN_SAFE_INTEGER;
const NEVER_MIN = Number.MAX_SAFE_INTEGER;
const minuteOf = (date: ServiceDate): number => Date.parse(`${date}T00:00:00Z`) / 60_000;

/**
 * Takes stock in date and goods due off the needs of each site and ingredient, first-expiring
 * first-out. The certain part of a need is covered first, so what is left to buy is certain only
 * as far as the bookings alone exceed the stock.
 *
 * Errors: `invalid-date` for a date that is none, `out-of-range` for a negative or broken quantity,
 * a certain part above the whole, or a stock id given twice for one site and ingredient.
 */
export function netIngredientNeeds(
  needs: readonly IngredientNeed[],
  stock: readonly IngredientStock[],
): Result<NetIngredientNeeds> {
  const checked = checkIngredientNeeds(needs);
  if (!checked.ok) return checked;
  for (const lot of stock) {
    for (const date of [lot.usableFromDate, lot.useByDate]) {
      const parsed = date === undefined ? null : parseServiceDate(date);
      if (parsed && !parsed.ok) return parsed;
    }
  }
  const groups = new Map<string, { needs: number[]; stock: IngredientStock[] }>();
  const groupOf = (siteId: string, ingredientId: string) => {
    const key = JSON.stringify([siteId, ingredientId]);
    const found = groups.get(key) ?? { needs: [], stock: [] };
    groups.set(key, found);
    return found;
  };
  for (const [index, need] of needs.entries()) {
    groupOf(need.siteId, need.ingredientId).needs.push(index);
  }
  for (const lot of stock) groupOf(lot.siteId, lot.ingredientId).stock.push(lot);

  const netByIndex = new Map<number, number>();
  const covers: StockCover[] = [];
  const leftovers: IngredientStock[] = [];
  const undated = new Set<string>();
  for (const group of groups.values()) {
    const byId = new Map(group.stock.map((lot) => [lot.id, lot]));
    const result = netNeeds({
      needs: group.needs.flatMap((index) => {
        const need = needs[index];
        if (!need) return [];
        const atMin = minuteOf(need.needDate);
        return [{ id: String(index), atMin, untilMin: atMin, quantity: need.quantityBase }];
      }),
      lots: group.stock.map(toLotOnHand),
    });
    if (!result.ok) return result;
    for (const { needId, lotId, quantity } of result.value.allocations) {
      const need = needs[Number(needId)];
      const lot = byId.get(lotId);
      if (!need || !lot) continue;
      const { siteId, ingredientId, needDate } = need;
      covers.push({ siteId, ingredientId, needDate, stockId: lotId, quantityBase: quantity });
      if (lot.useByDate === undefined) undated.add(lotId);
    }
    for (const need of result.value.net) netByIndex.set(Number(need.id), need.quantity);
    for (const left of result.value.leftovers) {
      const lot = byId.get(left.id);
      if (lot) leftovers.push({ ...lot, quantityBase: left.quantity });
    }
  }
  const open = needs.flatMap((need, index) => {
    const quantityBase = netByIndex.get(index) ?? 0;
    if (quantityBase <= need.quantityBase * QUANTITY_TOLERANCE) return [];
    const covered = need.quantityBase - quantityBase;
    return [{ ...need, quantityBase, certainBase: Math.max(0, need.certainBase - covered) }];
  });
  return ok({ needs: open, covers, leftovers, undatedIds: [...undated] });
}

function toLotOnHand(lot: IngredientStock): LotOnHand {
  return {
    id: lot.id,
    quantity: lot.quantityBase,
    availableFromMin: lot.usableFromDate === undefined ? ALWAYS_MIN : minuteOf(lot.usableFromDate),
    useByMin: lot.useByDate === undefined ? NEVER_MIN : minuteOf(lot.useByDate),
  };
}

/** Checks dates and quantities of needs. Errors `invalid-date`, `out-of-range`, with the position. */
export function checkIngredientNeeds(needs: readonly IngredientNeed[]): Result<true> {
  for (const [index, need] of needs.entries()) {
    const date = parseServiceDate(need.needDate);
    if (!date.ok) return err({ ...date.error, path: ['needs', index, 'needDate'] });
    const { quantityBase, certainBase } = need;
    const fine =
      Number.isFinite(quantityBase) &&
      quantityBase >= 0 &&
      certainBase >= 0 &&
      certainBase <= quantityBase * (1 + QUANTITY_TOLERANCE);
    if (!fine) {
      return err(
        coreError('out-of-range', 'A need is zero or more, and no less than its booked part.', {
          path: ['needs', index, 'quantityBase'],
          detail: { quantityBase, certainBase, ingredientId: need.ingredientId },
        }),
      );
    }
  }
  return ok(true);
}
