import { describe, expect, it } from 'vitest';
import {
  SWEETENERS,
  balanceFrozenBase,
  freezingPointC,
  frozenFractionAt,
} from '../../api/core/frozen-base/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: H. D. Goff and R. W. Hartel, Ice Cream, 7th ed. (2013), chapter 6, worked examples 13 and
 * 14 and Table 6.2 (the same example as in H. D. Goff's University of Guelph sheet on freezing curves);
 * read second-hand. Mix: 10 % milk solids not fat, 2 % whey solids, 12 % sucrose, 4 % 42 DE corn syrup
 * solids, 60 % water; the remaining 12 % is fat.
 */
const mix = unwrap(
  balanceFrozenBase([
    {
      name: 'Mix of the worked example',
      massG: 100,
      composition: {
        fat: 0.12,
        msnf: 0.1,
        wheySolids: 0.02,
        sugars: { sucrose: 0.12, 'glucose-syrup-42de': 0.04 },
      },
    },
  ]),
);

describe('worked example of the ice cream handbook', () => {
  it('sucrose equivalent 22.18 per 100 g mix, 36.97 per 100 g water', () => {
    expect(mix.sucroseEquivalentPercent).toBeCloseTo(22.18, 10);
    expect(mix.sucroseEquivalentPer100gWater).toBeCloseTo(36.97, 2);
    expect(mix.totalSolidsPercent).toBeCloseTo(40, 10);
  });

  it('the mix starts to freeze at -2.74 °C', () => {
    expect(Math.abs(mix.freezingPointC + 2.74)).toBeLessThan(0.01);
  });

  /* Table 6.2. Its 80 % row lies beyond the printed sucrose table (184.83 g per 100 g water). */
  it.each([
    [10, 3.06],
    [20, 3.45],
    [30, 4.01],
    [40, 4.76],
    [50, 5.87],
    [60, 7.63],
    [70, 10.79],
    [75, 13.16],
  ])('%d %% of the water is frozen at %d °C below zero', (percent, depressionC) => {
    const point = unwrap(freezingPointC(mix.solutes, percent / 100));
    /* The handbook reads its table by hand: within two hundredths of a degree. */
    expect(Math.abs(point + depressionC)).toBeLessThan(0.02);
    const fraction = unwrap(frozenFractionAt(mix.solutes, -depressionC));
    expect(Math.abs(fraction * 100 - percent)).toBeLessThan(0.3);
  });

  it('beyond the printed table nothing is extrapolated', () => {
    expect(freezingPointC(mix.solutes, 0.8).ok).toBe(false);
  });

  /* Source: W. M. A. Mullan, Dairy Science and Food Technology: 65 to 70 % frozen at serving. */
  it('it is served between about 9 and 11 °C below zero', () => {
    expect(mix.serving?.warmestC).toBeGreaterThan(-9.2);
    expect(mix.serving?.warmestC).toBeLessThan(-8.8);
    expect(Math.abs(Number(mix.serving?.coldestC) + 10.79)).toBeLessThan(0.02);
  });
});

/*
 * Source: the rule of the same chapter, 342 divided by the molecular weight, for single molecules:
 * glucose and fructose 180.16, sorbitol 182.17 g/mol; disaccharides 342.3.
 */
describe('freezing factors', () => {
  it.each([
    ['dextrose', 180.16],
    ['fructose', 180.16],
    ['sorbitol', 182.17],
    ['lactose', 342.3],
    ['maltose', 342.3],
    ['sucrose', 342.3],
  ] as const)('%s goes by its molecular weight', (kind, molecularWeight) => {
    expect(Math.abs(SWEETENERS[kind].freezingFactor - 342 / molecularWeight)).toBeLessThan(0.03);
  });
});

/* Source: Biester and Wood (University of Minnesota) as printed in Experimental Cookery, sucrose 100. */
describe('relative sweetness', () => {
  it.each([
    ['fructose', 173.3],
    ['sucrose', 100],
    ['dextrose', 74.3],
    ['maltose', 32.5],
    ['lactose', 16],
  ] as const)('%s is rated %d', (kind, rating) => {
    expect(SWEETENERS[kind].sweetnessFactor * 100).toBeCloseTo(rating, 10);
  });
});
