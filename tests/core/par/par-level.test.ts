import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cdf,
  pointCount,
  quantile,
  sumIndependent,
} from '../../../api/core/distributions/index.ts';
import type { CountDistribution } from '../../../api/core/distributions/index.ts';
import { demandOver, parLevel } from '../../../api/core/par/index.ts';
import type { ParInput } from '../../../api/core/par/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const eur = (amount: string) => ({ amount, currency: 'EUR' });
const costs = (short: string, waste: string) => ({ short: eur(short), waste: eur(waste) });
const day: CountDistribution = { kind: 'negative-binomial', mean: 12, size: 4 };
const newsvendor = (extra: Partial<ParInput> = {}) =>
  unwrap(
    parLevel({ policy: { kind: 'newsvendor' }, demand: day, costs: costs('6', '2'), ...extra }),
  );
const centsOf = (money: { amount: string } | null): number => Number(money?.amount ?? NaN);
const anyDemand = fc.oneof(
  fc.record({
    kind: fc.constant('negative-binomial' as const),
    mean: fc.double({ min: 0.5, max: 60, noNaN: true }),
    size: fc.double({ min: 0.5, max: 50, noNaN: true }),
  }),
  fc.record({
    kind: fc.constant('poisson' as const),
    mean: fc.double({ min: 0.5, max: 60, noNaN: true }),
  }),
);
const anyCosts = fc
  .tuple(fc.integer({ min: 1, max: 2000 }), fc.integer({ min: 1, max: 2000 }))
  .map(([short, waste]) => costs((short / 100).toFixed(2), (waste / 100).toFixed(2)));

describe('a par that weighs running out against waste', () => {
  it('is the smallest number whose chance of being enough is Cu ÷ (Cu + Co)', () => {
    const par = newsvendor();
    expect(par.criticalFraction).toBe(0.75);
    expect(par.quantity).toBe(quantile(day, 0.75));
    expect(cdf(day, par.quantity - 1)).toBeLessThan(0.75);
  });

  it('costs no more than any other number, with or without leftover that keeps (property)', () => {
    fc.assert(
      fc.property(
        anyDemand,
        fc.option(anyDemand, { nil: undefined }),
        anyCosts,
        fc.integer({ min: 0, max: 150 }),
        (demand, laterDemand, cost, other) => {
          const base = {
            demand,
            costs: cost,
            ...(laterDemand === undefined ? {} : { laterDemand }),
          };
          const best = unwrap(parLevel({ ...base, policy: { kind: 'newsvendor' } }));
          const fixed = unwrap(parLevel({ ...base, policy: { kind: 'fixed', quantity: other } }));
          // Past the 1 in 10 000 nothing more is made: that far out the costs are level to a cent.
          expect(centsOf(best.expectedCost)).toBeLessThanOrEqual(
            centsOf(fixed.expectedCost) + 0.02 * Number(cost.short.amount) + 1e-9,
          );
        },
      ),
      { numRuns: 80 },
    );
  });

  it('shortfall, waste and what is carried over add up with the demand (property)', () => {
    fc.assert(
      fc.property(anyDemand, anyDemand, fc.integer({ min: 0, max: 120 }), (demand, later, q) => {
        const par = unwrap(
          parLevel({ policy: { kind: 'fixed', quantity: q }, demand, laterDemand: later }),
        );
        // Made − sold = left; sold = demand − shortfall.
        const left = par.expectedCarriedOver + par.expectedWaste;
        expect(left).toBeCloseTo(q - demand.mean + par.expectedShortfall, 6);
        expect(par.expectedShortfall).toBeGreaterThanOrEqual(0);
        expect(par.expectedCarriedOver).toBeGreaterThanOrEqual(-1e-9);
        const sum = par.terms.reduce((a, t) => a + t.value * t.factor, 0);
        expect(sum).toBeCloseTo(q, 9);
      }),
      { numRuns: 80 },
    );
  });

  it('counts no waste for what the next service will use, and so holds more', () => {
    const thrown = newsvendor();
    const kept = newsvendor({ laterDemand: pointCount(1000) });
    expect(kept.expectedWaste).toBeCloseTo(0, 9);
    expect(kept.quantity).toBeGreaterThan(thrown.quantity);
    const some = newsvendor({ laterDemand: pointCount(4) });
    expect(some.quantity).toBeGreaterThan(thrown.quantity);
    expect(some.quantity).toBeLessThan(kept.quantity);
    expect(newsvendor({ laterDemand: pointCount(0) }).quantity).toBe(thrown.quantity);
  });

  it('lasts the review period plus the lead time: demand of its services added up', () => {
    const three = demandOver([day, day, day]);
    expect(three.mean).toBe(36);
    const par = newsvendor({ demand: three });
    expect(par.quantity).toBeLessThan(3 * newsvendor().quantity);
    expect(par.quantity).toBe(quantile(sumIndependent([day, day, day]), 0.75));
  });

  it('says what 10% more and 10% less would cost, and neither is cheaper', () => {
    const par = newsvendor({ demand: { kind: 'negative-binomial', mean: 50, size: 8 } });
    expect(par.tenPercentLess.quantity).toBe(Math.round(par.quantity * 0.9));
    expect(par.tenPercentMore.quantity).toBe(Math.round(par.quantity * 1.1));
    for (const variant of [par.tenPercentLess, par.tenPercentMore]) {
      expect(centsOf(variant.extraCost)).toBeGreaterThanOrEqual(0);
      expect(centsOf(variant.expectedCost) - centsOf(par.expectedCost)).toBeCloseTo(
        centsOf(variant.extraCost),
        6,
      );
    }
    expect(par.tenPercentLess.expectedShortfall).toBeGreaterThan(par.expectedShortfall);
    expect(par.tenPercentMore.expectedWaste).toBeGreaterThan(par.expectedWaste);
  });
});

describe('other ways to set a par', () => {
  it('a service level is the smallest number enough with that chance, and rises with it', () => {
    const at = (level: number) =>
      unwrap(parLevel({ policy: { kind: 'service-level', level }, demand: day }));
    const pars = [0.5, 0.8, 0.9, 0.95, 0.99].map((level) => at(level).quantity);
    expect(pars).toEqual([...pars].sort((a, b) => a - b));
    expect(at(0.9).chanceEnough).toBeGreaterThanOrEqual(0.9);
    expect(at(0.9).expectedCost).toBeNull();
  });

  it("a person's number stays as it is and is told what it leads to", () => {
    const par = unwrap(
      parLevel({ policy: { kind: 'fixed', quantity: 30 }, demand: day, costs: costs('6', '2') }),
    );
    expect(par.quantity).toBe(30);
    expect(par.expectedWaste).toBeGreaterThan(15);
    expect(centsOf(par.tenPercentLess.extraCost)).toBeLessThan(0);
  });
});

describe('bad input to a par', () => {
  it.each([
    [{ policy: { kind: 'newsvendor' }, demand: day }, 'missing-data'],
    [
      {
        policy: { kind: 'newsvendor' },
        demand: day,
        costs: { short: eur('1'), waste: { amount: '1', currency: 'GBP' } },
      },
      'currency-mismatch',
    ],
    [{ policy: { kind: 'newsvendor' }, demand: day, costs: costs('0', '0') }, 'out-of-range'],
    [{ policy: { kind: 'newsvendor' }, demand: day, costs: costs('-1', '2') }, 'out-of-range'],
    [{ policy: { kind: 'service-level', level: 1 }, demand: day }, 'out-of-range'],
    [{ policy: { kind: 'fixed', quantity: -1 }, demand: day }, 'out-of-range'],
    [
      { policy: { kind: 'fixed', quantity: 1 }, demand: { kind: 'poisson', mean: -2 } },
      'out-of-range',
    ],
  ] as const)('%j is refused as %s', (input, kind) => {
    const refused = parLevel(input as ParInput);
    expect(refused.ok ? 'ok' : refused.error.kind).toBe(kind);
  });
});
