import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { highsSolver } from '../../../api/core/milp/index.ts';
import {
  choosePacks,
  goodsDue,
  lateAdditions,
  netIngredientNeeds,
} from '../../../api/core/ordering/index.ts';
import type { OrderRecord } from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { day, need, offer, problem, slot } from './problem-builder.ts';

const solver = highsSolver();
const lot = (id: string, quantityBase: number, useByDay?: number, fromDay?: number) => ({
  id,
  siteId: 'lake',
  ingredientId: 'cream',
  quantityBase,
  ...(useByDay === undefined ? {} : { useByDate: day(useByDay) }),
  ...(fromDay === undefined ? {} : { usableFromDate: day(fromDay) }),
});

describe('needs less stock', () => {
  it('uses lots in date first-expiring first and leaves the rest to be bought', () => {
    const needs = [need('cream', 2, 5), need('cream', 6, 5), need('cream', 9, 5)];
    const net = unwrap(netIngredientNeeds(needs, [lot('late', 6, 8), lot('early', 4, 3)]));
    expect(net.covers.map((c) => [c.needDate, c.stockId, c.quantityBase])).toEqual([
      [day(2), 'early', 4],
      [day(2), 'late', 1],
      [day(6), 'late', 5],
    ]);
    expect(net.needs.map((n) => [n.needDate, n.quantityBase])).toEqual([[day(9), 5]]);
    expect(net.leftovers).toEqual([]);
  });

  it('counts goods due from their date and names lots without a use-by', () => {
    const needs = [need('cream', 2, 5), need('cream', 6, 5)];
    const net = unwrap(netIngredientNeeds(needs, [lot('due', 10, 20, 4), lot('undated', 1)]));
    expect(net.needs.map((n) => [n.needDate, n.quantityBase])).toEqual([[day(2), 4]]);
    expect(net.undatedIds).toEqual(['undated']);
    expect(net.leftovers).toMatchObject([{ id: 'due', quantityBase: 5 }]);
  });

  it('covers the booked part first, so what is left to buy is certain only beyond the stock', () => {
    const needs = [need('cream', 2, 10, { certainBase: 6 })];
    const left = (stock: number) =>
      unwrap(netIngredientNeeds(needs, [lot('a', stock)])).needs[0]?.certainBase;
    expect(left(4)).toBe(2);
    expect(left(8)).toBe(0);
  });

  it('keeps sites and ingredients apart', () => {
    const needs = [need('cream', 2, 5, { siteId: 'hill' }), need('milk', 2, 5)];
    expect(unwrap(netIngredientNeeds(needs, [lot('a', 50)])).needs).toHaveLength(2);
  });

  it('refuses broken needs, stock and dates', () => {
    const fine = [need('cream', 2, 5)];
    expect(netIngredientNeeds([need('cream', 2, NaN)], []).ok).toBe(false);
    expect(netIngredientNeeds(fine, [lot('a', -1)]).ok).toBe(false);
    expect(netIngredientNeeds(fine, [lot('a', 1), lot('a', 1)]).ok).toBe(false);
    expect(netIngredientNeeds(fine, [{ ...lot('a', 1), useByDate: 'soon' }])).toMatchObject({
      ok: false,
      error: { kind: 'invalid-date' },
    });
  });

  it('loses nothing: needs are covered or still open, stock is used or left', () => {
    const dayOf = fc.integer({ min: 1, max: 20 });
    const quantity = fc.integer({ min: 1, max: 50 });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(dayOf, quantity), { maxLength: 8 }),
        fc.array(fc.tuple(quantity, dayOf, dayOf), { maxLength: 6 }),
        (wanted, held) => {
          const needs = wanted.map(([d, q]) => need('cream', d, q));
          const stock = held.map(([q, until, from], i) => lot(`s${i}`, q, until, from));
          const net = unwrap(netIngredientNeeds(needs, stock));
          const sum = (list: readonly { quantityBase: number }[]) =>
            list.reduce((total, item) => total + item.quantityBase, 0);
          expect(sum(net.covers) + sum(net.needs)).toBeCloseTo(sum(needs), 9);
          expect(sum(net.covers) + sum(net.leftovers)).toBeCloseTo(sum(stock), 9);
        },
      ),
    );
  });
});

describe('a change of plan after the cutoff', () => {
  const sent: OrderRecord = {
    orderId: 'o1',
    number: 'A-000001',
    supplierId: 'A',
    siteId: 'lake',
    deliveryDate: day(3),
    cutoffMin: 0,
    currency: 'EUR',
    deliveryCharge: '0',
    state: 'sent',
    version: 3,
    lines: [
      {
        lineId: 'c5',
        offerId: 'c5',
        ingredientId: 'cream',
        packBase: 5,
        plannedPacks: 2,
        packs: 2,
        pricePerPack: '9',
        certainBase: 0,
        handChange: null,
        confirmedPacks: null,
      },
    ],
    receipts: [],
    history: [],
  };

  it('shows an addition with the next delivery and names what is missing until then', async () => {
    // 10 are on the way for day 3; the covers rise to 8 and 9 for days 4 and 6; next delivery: day 5.
    const needs = [need('cream', 4, 12, { certainBase: 3 }), need('cream', 6, 9)];
    const due = goodsDue([sent], () => 6);
    const net = unwrap(netIngredientNeeds(needs, due));
    expect(net.needs.map((n) => [n.needDate, n.quantityBase])).toEqual([
      [day(4), 2],
      [day(6), 9],
    ]);
    const plan = unwrap(
      await choosePacks(
        problem({
          needs: net.needs,
          offers: [offer('c5', 'cream', 5, '9', { shelfLifeDays: 6 })],
          slots: [slot(5)],
        }),
        solver,
      ),
    );
    expect(lateAdditions([sent], plan)).toEqual([
      {
        orderId: 'o1',
        siteId: 'lake',
        ingredientId: 'cream',
        added: [{ supplierId: 'A', deliveryDate: day(5), offerId: 'c5', packs: 2 }],
        shortfalls: [
          expect.objectContaining({
            needDate: day(4),
            quantityBase: 2,
            reason: 'past-cutoff',
            nextDelivery: expect.objectContaining({ deliveryDate: day(5) }),
          }),
        ],
      },
    ]);
    expect(lateAdditions([{ ...sent, state: 'cancelled' }], plan)).toEqual([]);
  });
});
