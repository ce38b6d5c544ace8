import { describe, expect, it } from 'vitest';
import { asPurchased, ediblePortion, fractionFromPercent } from '../../api/core/yields/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: open textbook "Bakery and Business Math", chapter 25, Yield Percents (Open Washington
 * Pressbooks).
 */
const prepared = (percent: number) =>
  [
    {
      kind: 'trim',
      fraction: unwrap(fractionFromPercent(percent)),
      source: 'Bakery and Business Math, ch. 25',
    },
  ] as const;

describe('yield percents of the textbook', () => {
  it('32 oz of sliced pears at 78 % ask for 41.03 oz', () => {
    expect(unwrap(asPurchased(32, prepared(78)))).toBeCloseTo(41.03, 2);
  });

  it('5000 g of strawberries at 87 % leave 4350 g', () => {
    expect(unwrap(ediblePortion(5000, prepared(87)))).toBeCloseTo(4350, 9);
  });
});

/* Source: USDA Food Buying Guide for Child Nutrition Programs, apples cored, unpeeled: 0.91 lb per lb (read second-hand). */
describe('yields of the USDA Food Buying Guide', () => {
  it('10 lb of cored apples ask for 10.99 lb', () => {
    expect(unwrap(asPurchased(10, prepared(91)))).toBeCloseTo(10.99, 2);
  });
});
