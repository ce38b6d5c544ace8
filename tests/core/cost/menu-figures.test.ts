import { describe, expect, it } from 'vitest';
import type { Costing } from '../../../api/core/cost/index.ts';
import { menuFigures, netOfTax, priceForTarget } from '../../../api/core/cost/index.ts';
import { roundMoney } from '../../../api/core/money/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const eur = (amount: string) => ({ amount, currency: 'EUR' });
const costing = (amount: string, change: Partial<Costing> = {}): Costing => ({
  itemId: 'tart',
  quantity: 1,
  date: '2026-03-14',
  currency: 'EUR',
  status: 'complete',
  cost: eur(amount),
  knownCost: eur(amount),
  missing: [],
  drivers: [],
  byProductItemIds: [],
  ...change,
});
const incomplete = costing('2.00', {
  status: 'incomplete',
  cost: null,
  missing: [{ itemId: 'x', name: 'Saffron', quantity: 1, reason: 'no-pack' }],
});

describe('menu figures', () => {
  it('are worked out on the price before tax', () => {
    const net = unwrap(netOfTax(eur('11.00'), '0.10'));
    expect(net).toEqual(eur('10'));
    expect(unwrap(menuFigures(costing('2.50'), net, '0.28'))).toMatchObject({
      status: 'complete',
      foodCostFraction: 0.25,
      margin: eur('7.5'),
      withinTarget: true,
    });
    expect(unwrap(menuFigures(costing('3.00'), net, '0.28')).withinTarget).toBe(false);
  });

  it('of an incomplete cost are bounds, not figures', () => {
    expect(unwrap(menuFigures(incomplete, eur('10'), '0.28'))).toMatchObject({
      status: 'incomplete',
      foodCostFraction: null,
      knownFoodCostFraction: 0.2,
      margin: null,
      marginAtMost: eur('8'),
      withinTarget: null,
    });
    expect(unwrap(menuFigures(incomplete, eur('5'), '0.28')).withinTarget).toBe(false);
  });

  it('suggest the price that meets a target', () => {
    const price = unwrap(priceForTarget(costing('2.50'), '0.25', '0.20'));
    expect(price).toEqual({ net: eur('10'), gross: eur('12') });
    expect(priceForTarget(incomplete, '0.25', '0.2')).toMatchObject({
      error: { kind: 'missing-data', message: 'No price yet for Saffron.' },
    });
    expect(priceForTarget(costing('1'), '0', '0.2')).toMatchObject({
      error: { kind: 'out-of-range' },
    });
  });

  it('are refused for two currencies, a price of nothing, more than a portion and a bad tax', () => {
    expect(menuFigures(costing('1'), { amount: '10', currency: 'GBP' })).toMatchObject({
      error: { kind: 'currency-mismatch' },
    });
    expect(menuFigures(costing('1'), eur('0'))).toMatchObject({ error: { kind: 'out-of-range' } });
    expect(menuFigures(costing('1', { quantity: 10 }), eur('5'))).toMatchObject({
      error: { kind: 'out-of-range', path: ['quantity'] },
    });
    expect(netOfTax(eur('10'), '20')).toMatchObject({ error: { kind: 'out-of-range' } });
    expect(netOfTax(eur('10'), 'x')).toMatchObject({ error: { kind: 'unreadable-amount' } });
  });
});

/*
 * Worked examples of kitchen mathematics, as published. Sources: 'Professional Cooking' extract at
 * johnnyskitchen.us, "Food Cost Percentages" (cost 1.60 at 40 %; price 6.75 at 35 %); G. Wall,
 * "Trade Calculations", objective 8 (2.13 at 5.95); MTH 81 lecture notes, chapter 11, holt.blue
 * (200 portions of asparagus at 173.89, food cost 25 %; stew 1.15 at 3.66, rounded up to a whole per cent).
 */
describe('published food-cost examples', () => {
  const usd = (amount: string) => ({ amount, currency: 'USD' });
  const dollars = (amount: string) => ({
    ...costing(amount),
    currency: 'USD',
    cost: usd(amount),
    knownCost: usd(amount),
  });

  it('a cost of 1.60 at 40 % asks for 4.00', () => {
    expect(unwrap(priceForTarget(dollars('1.60'), '0.40', '0')).net).toEqual(usd('4'));
  });

  it('a price of 6.75 at 35 % leaves 2.36 for the food', () => {
    const figures = unwrap(menuFigures(dollars('2.36'), usd('6.75')));
    expect(figures.foodCostFraction).toBeCloseTo(0.35, 3);
  });

  it('a portion of 2.13 at a price of 5.95 is 35.8 %', () => {
    const figures = unwrap(menuFigures(dollars('2.13'), usd('5.95')));
    expect(figures.foodCostFraction).toBeCloseTo(0.358, 3);
  });

  it('200 portions for 173.89 at 25 % sell at 3.48 each', () => {
    const portion = dollars('0.86945');
    expect(roundMoney(unwrap(priceForTarget(portion, '0.25', '0')).net)).toEqual(usd('3.48'));
  });

  it('a stew of 1.15 at 3.66 is 32 %, rounded up', () => {
    const figures = unwrap(menuFigures(dollars('1.15'), usd('3.66')));
    expect(Math.ceil((figures.foodCostFraction ?? NaN) * 100)).toBe(32);
  });
});
