import type { z } from 'zod';
import { totalChange } from '../../core/ordering/index.ts';
import type { OpenCutoff, OrderGrouping } from '../../core/ordering/index.ts';
import { amountOf, named, rounded } from './order-body.ts';
import type { OrderBook } from './order-book.ts';
import type { ComparedGroup } from './order-views.service.ts';
import type { OrderCutoffsSchema, OrderGroupsSchema } from './orders.schema.ts';

function nameOf(by: OrderGrouping, key: string, book: OrderBook): string {
  if (by === 'supplier') return book.suppliers.get(key)?.name ?? key;
  return by === 'site' ? (book.sites.get(key)?.name ?? key) : key;
}

export function toGroupsBody(
  by: OrderGrouping,
  groups: readonly ComparedGroup[],
  book: OrderBook,
): z.infer<typeof OrderGroupsSchema> {
  return {
    by,
    groups: groups.map(({ group, before, differences }) => {
      const money = (amount: string) => ({ amount: rounded(amount), currency: group.currency });
      const maybe = (id: string, value: number | null) =>
        value === null ? null : amountOf(book, id, value);
      return {
        key: group.key,
        name: nameOf(by, group.key, book),
        orderIds: [...group.orderIds],
        goods: money(group.goodsValue),
        deliveryCharges: money(group.deliveryCharges),
        total: money(group.total),
        ingredients: group.ingredients.map((ordered) => ({
          ingredient: named(book.ingredients, ordered.ingredientId),
          amount: amountOf(book, ordered.ingredientId, ordered.quantityBase),
          certain: amountOf(book, ordered.ingredientId, ordered.certainBase),
          value: money(ordered.value),
        })),
        lastWeek: before && {
          total: money(before.total),
          changeFraction: totalChange(before, group),
          changes: differences.map(({ ingredientId, beforeBase, nowBase, changeFraction }) => ({
            ingredient: named(book.ingredients, ingredientId),
            before: maybe(ingredientId, beforeBase),
            now: maybe(ingredientId, nowBase),
            changeFraction,
          })),
        },
      };
    }),
  };
}

export function toCutoffsBody(
  cutoffs: readonly OpenCutoff[],
  book: OrderBook,
): z.infer<typeof OrderCutoffsSchema> {
  return {
    items: cutoffs.map((cutoff) => ({
      orderId: cutoff.orderId,
      supplier: named(book.suppliers, cutoff.supplierId),
      site: named(book.sites, cutoff.siteId),
      deliveryDate: cutoff.deliveryDate,
      cutoffAt: new Date(cutoff.cutoffMin * 60_000).toISOString(),
      minutesLeft: cutoff.minutesLeft,
      onSiteClock: { date: cutoff.onSiteClock.date, time: cutoff.onSiteClock.time },
    })),
  };
}
