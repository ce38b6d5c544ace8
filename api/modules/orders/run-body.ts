import type { z } from 'zod';
import { missingGoods } from '../../core/ordering/index.ts';
import { amountOf, named, toOrderHeader } from './order-body.ts';
import type { OrderBook } from './order-book.ts';
import type { LastOrderRunsSchema, OrderRunSchema } from './orders.schema.ts';
import type { OrderShortfall } from './orders.ports.ts';
import type { LastOrderRun, OrderRun } from './orders.service.ts';

/** What a working-out came to, with names. */
export function toRunBody(run: OrderRun, book: OrderBook): z.infer<typeof OrderRunSchema> {
  return {
    orders: run.orders.map((order) => toOrderHeader(order, book)),
    ...outcomeBody(run, book),
  };
}

/** The last working-out of each site, with names. */
export function toLastRunsBody(
  runs: readonly LastOrderRun[],
  book: OrderBook,
): z.infer<typeof LastOrderRunsSchema> {
  return {
    items: runs.map(({ run, ofCurrentPlan }) => ({
      site: named(book.sites, run.siteId),
      workedOutAt: run.workedOutAt.toISOString(),
      workedOutBy: run.workedOutBy,
      days: run.days,
      ofCurrentPlan,
      ...outcomeBody(run, book),
    })),
    missing: missingGoods(runs.flatMap(({ run }) => run.shortfalls)).map((goods) => {
      const { ingredientId, firstDate, lastDate, whole, dishes, needs } = goods;
      return {
        ingredient: named(book.ingredients, ingredientId),
        amount: amountOf(book, ingredientId, goods.quantity),
        certain: amountOf(book, ingredientId, goods.certain),
        firstDate,
        lastDate,
        whole,
        dishes: [...dishes],
        needs: needs.map((need) => {
          const { ingredient: _one, dishes: _dishes, ...rest } = shortfallBody(need, book);
          return rest;
        }),
      };
    }),
  };
}

function shortfallBody(short: OrderShortfall, book: OrderBook) {
  return {
    site: named(book.sites, short.siteId),
    ingredient: named(book.ingredients, short.ingredientId),
    amount: amountOf(book, short.ingredientId, short.quantity),
    certain: amountOf(book, short.ingredientId, short.certain),
    needDate: short.needDate,
    reason: short.reason,
    nextFrom: short.nextFrom,
    message: short.message,
    whole: short.whole,
    dishes: [...short.dishes],
  };
}

function outcomeBody(run: Omit<OrderRun, 'orders'>, book: OrderBook) {
  return {
    shortfalls: run.shortfalls.map((short) => shortfallBody(short, book)),
    additions: run.additions.map((addition) => ({
      orderId: addition.orderId,
      orderNumber: addition.orderNumber,
      site: named(book.sites, addition.siteId),
      ingredient: named(book.ingredients, addition.ingredientId),
      added: addition.added.map(({ supplierId, deliveryDate, packId, packs }) => ({
        supplier: named(book.suppliers, supplierId),
        deliveryDate,
        pack: named(book.packs, packId),
        packs,
      })),
      short: amountOf(book, addition.ingredientId, addition.shortQuantity),
    })),
    warnings: [...run.warnings],
  };
}
