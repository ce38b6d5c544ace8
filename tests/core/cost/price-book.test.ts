import { describe, expect, it } from 'vitest';
import type { PriceBook, PricedPack } from '../../../api/core/cost/index.ts';
import { itemPrice, pricesInForce } from '../../../api/core/cost/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const pack = (change: Partial<PricedPack>): PricedPack => ({
  packId: 'p1',
  itemId: 'flour',
  quantityBase: 1000,
  currency: 'EUR',
  prices: [{ validFrom: '2026-01-01', amount: '1.00' }],
  ...change,
});
const perUnit = (book: PriceBook, date = '2026-03-14', currency = 'EUR'): string => {
  const price = unwrap(itemPrice(book, 'flour', date, currency));
  return price.kind === 'known' ? price.perBaseUnit.toString() : price.kind;
};

describe('the price of an ingredient', () => {
  it('is the latest not after the date', () => {
    const prices = [
      { validFrom: '2026-03-15', amount: '3.00' },
      { validFrom: '2026-01-01', amount: '1.00' },
      { validFrom: '2026-03-14', amount: '2.00' },
    ];
    const book = { packs: [pack({ prices })] };
    expect(perUnit(book, '2026-03-13')).toBe('0.001');
    expect(perUnit(book, '2026-03-14')).toBe('0.002');
    expect(perUnit(book, '2026-03-15')).toBe('0.003');
    expect(unwrap(itemPrice(book, 'flour', '2025-12-31', 'EUR'))).toEqual({
      kind: 'unknown',
      reason: 'no-price',
    });
  });

  it('is the habitual pack, else the cheapest per base unit', () => {
    const small = pack({ packId: 'small', quantityBase: 500 });
    const large = pack({ packId: 'large', quantityBase: 2000 });
    expect(perUnit({ packs: [small, large] })).toBe('0.0005');
    expect(perUnit({ packs: [large, { ...small, isDefault: true }] })).toBe('0.002');
  });

  it('takes the price break that is usually reached, of the latest list', () => {
    const prices = [
      { validFrom: '2026-01-01', amount: '1.00' },
      { validFrom: '2026-01-01', amount: '0.80', minPacks: 4 },
      { validFrom: '2026-01-01', amount: '0.50', minPacks: 40 },
    ];
    expect(perUnit({ packs: [pack({ prices })] })).toBe('0.001');
    expect(perUnit({ packs: [pack({ prices })], packsAtOnce: 6 })).toBe('0.0008');
  });

  it('keeps the price of one pack where a break is entered alone, and ends breaks with a new list', () => {
    const prices = [
      { validFrom: '2026-01-01', amount: '1.00' },
      { validFrom: '2026-01-01', amount: '0.70', minPacks: 6 },
      { validFrom: '2026-02-01', amount: '0.80', minPacks: 4 },
      { validFrom: '2026-03-01', amount: '0.75', minPacks: 4 },
      { validFrom: '2026-04-01', amount: '1.10' },
    ];
    const on = (date: string) =>
      pricesInForce(prices, date).map((price) => [price.minPacks ?? 1, price.amount]);
    expect(on('2025-12-31')).toEqual([]);
    expect(on('2026-02-15')).toEqual([
      [1, '1.00'],
      [4, '0.80'],
      [6, '0.70'],
    ]);
    expect(on('2026-03-01')).toEqual([
      [1, '1.00'],
      [4, '0.75'],
      [6, '0.70'],
    ]);
    expect(on('2026-04-01')).toEqual([[1, '1.10']]);
  });

  it('is converted only by a rate somebody entered, with its date', () => {
    const packs = [pack({ currency: 'GBP' })];
    expect(perUnit({ packs })).toBe('unknown');
    const rates = [
      { from: 'GBP', to: 'EUR', validFrom: '2026-02-01', rate: '1.20' },
      { from: 'GBP', to: 'EUR', validFrom: '2026-04-01', rate: '1.50' },
    ];
    expect(perUnit({ packs, rates }, '2026-01-31')).toBe('unknown');
    const price = unwrap(itemPrice({ packs, rates }, 'flour', '2026-03-14', 'EUR'));
    expect(price).toMatchObject({
      kind: 'known',
      basis: {
        packPrice: { amount: '1.00', currency: 'GBP' },
        conversion: { rate: '1.2', validFrom: '2026-02-01' },
      },
    });
    expect(price.kind === 'known' && price.perBaseUnit.toString()).toBe('0.0012');
  });

  it('may use a rate entered the other way round', () => {
    const packs = [pack({ currency: 'GBP' })];
    const rates = [{ from: 'EUR', to: 'GBP', validFrom: '2026-02-01', rate: '0.80' }];
    expect(perUnit({ packs, rates })).toBe('0.00125');
    const both = [{ from: 'GBP', to: 'EUR', validFrom: '2026-02-01', rate: '1.30' }, ...rates];
    expect(perUnit({ packs, rates: both })).toBe('0.0013');
  });

  it('is known to be nothing for what is free, and unknown for what nobody sells', () => {
    const book = { packs: [], freeItemIds: new Set(['water']) };
    expect(unwrap(itemPrice(book, 'water', '2026-03-14', 'EUR'))).toEqual({ kind: 'free' });
    expect(unwrap(itemPrice(book, 'flour', '2026-03-14', 'EUR'))).toEqual({
      kind: 'unknown',
      reason: 'no-pack',
    });
  });

  it.each([
    ['an empty pack', { packs: [pack({ quantityBase: 0 })] }, 'out-of-range'],
    [
      'a price below zero',
      { packs: [pack({ prices: [{ validFrom: '2026-01-01', amount: '-1' }] })] },
      'out-of-range',
    ],
    [
      'a price that is no number',
      { packs: [pack({ prices: [{ validFrom: '2026-01-01', amount: '1,20' }] })] },
      'unreadable-amount',
    ],
    [
      'a rate of nothing',
      {
        packs: [pack({ currency: 'GBP' })],
        rates: [{ from: 'GBP', to: 'EUR', validFrom: '2026-01-01', rate: '0' }],
      },
      'unreadable-amount',
    ],
  ])('is refused for %s', (_what, book, kind) => {
    expect(itemPrice(book, 'flour', '2026-03-14', 'EUR')).toMatchObject({
      ok: false,
      error: { kind },
    });
  });
});
