import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  countVessels,
  planBatches,
  planLoads,
  roundLines,
  scaleRecipe,
} from '../../../api/core/scaling/index.ts';
import type {
  BatchRule,
  ExactLine,
  RecipeToScale,
  ScalableLine,
} from '../../../api/core/scaling/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);

describe('planBatches', () => {
  const total = (rule: BatchRule, factor: number) =>
    unwrap(planBatches(factor, rule)).map((group) => [group.count, group.factor]);

  it('makes whole, half and multiple batches between minimum and maximum', () => {
    expect(total({ min: 1, max: 4, multiple: 1 }, 2.3)).toEqual([[1, 3]]);
    expect(total({ min: 0.5, max: 4, multiple: 0.5 }, 2.3)).toEqual([[1, 2.5]]);
    expect(total({ min: 0.5, max: 4, multiple: 0.5 }, 0.1)).toEqual([[1, 0.5]]);
    expect(total({ min: 0.5, max: 4, multiple: 0.5 }, 9)).toEqual([[3, 3]]);
    expect(total({ min: 1, max: 4, multiple: 1 }, 10)).toEqual([
      [1, 4],
      [2, 3],
    ]);
    expect(total({ min: 1, multiple: 1 }, 250)).toEqual([[1, 250]]);
  });

  it('raises batches that would fall under the minimum', () => {
    expect(total({ min: 3, max: 4, multiple: 1 }, 5)).toEqual([[2, 3]]);
  });

  it('does not add a step for the noise of binary fractions', () => {
    expect(total({ min: 0.1, max: 10, multiple: 0.1 }, 0.1 * 3)).toEqual([[1, 0.3]]);
  });

  const rule = fc
    .record({
      multiple: fc.constantFrom(0.25, 0.5, 1, 2, 6),
      low: fc.integer({ min: 0, max: 6 }),
      span: fc.integer({ min: 0, max: 10 }),
    })
    .map(({ multiple, low, span }) => ({
      multiple,
      min: low * multiple,
      max: Math.max(1, low + span) * multiple,
    }));

  it('reaches the request with the fewest batches, each permitted, none too many steps', () => {
    fc.assert(
      fc.property(rule, fc.double({ min: 0.01, max: 500, noNaN: true }), (batches, factor) => {
        const groups = unwrap(planBatches(factor, batches));
        const count = groups.reduce((sum, group) => sum + group.count, 0);
        const sum = groups.reduce((made, group) => made + group.count * group.factor, 0);
        expect(sum).toBeGreaterThanOrEqual(factor - 1e-6);
        for (const group of groups) {
          expect(group.count).toBeGreaterThan(0);
          expect(group.factor).toBeGreaterThanOrEqual(
            Math.max(batches.min, batches.multiple) - 1e-9,
          );
          expect(group.factor).toBeLessThanOrEqual(batches.max + 1e-9);
          const steps = group.factor / batches.multiple;
          expect(Math.abs(steps - Math.round(steps))).toBeLessThan(1e-9);
        }
        /* One batch fewer could not make it, even at the maximum. */
        if (count > 1) expect((count - 1) * batches.max).toBeLessThan(factor + 1e-6);
        /* Nothing is made beyond the next step, unless the minimum forces it. */
        const smallest = count * Math.max(batches.min, batches.multiple);
        expect(sum).toBeLessThan(Math.max(factor + batches.multiple, smallest + 1e-9) + 1e-6);
        const factors = groups.map((group) => group.factor);
        expect(Math.max(...factors) - Math.min(...factors)).toBeLessThanOrEqual(
          batches.multiple + 1e-9,
        );
      }),
      { numRuns: 1000 },
    );
  });

  it('refuses rules that permit nothing and requests that mean nothing', () => {
    expect(kindOf(planBatches(1, { min: 1, max: 1, multiple: 2 }))).toBe('infeasible');
    expect(kindOf(planBatches(1, { min: 3, max: 2, multiple: 1 }))).toBe('infeasible');
    expect(kindOf(planBatches(1, { min: 0, max: 2, multiple: 0 }))).toBe('out-of-range');
    expect(kindOf(planBatches(1, { min: -1, max: 2, multiple: 1 }))).toBe('out-of-range');
    expect(kindOf(planBatches(0, { min: 0, max: 2, multiple: 1 }))).toBe('out-of-range');
    expect(kindOf(planBatches(NaN, { min: 0, max: 2, multiple: 1 }))).toBe('out-of-range');
    expect(kindOf(planBatches(20_001, { min: 1, max: 2, multiple: 1 }))).toBe('out-of-range');
  });
});

describe('roundLines', () => {
  const anyLine = fc.record({
    id: fc.string(),
    exact: fc.oneof(fc.constant(0), fc.double({ min: 0.01, max: 20_000, noNaN: true })),
    baseUnit: fc.constantFrom('g', 'ml', 'each'),
    scaleStep: fc.constantFrom(0.1, 0.5, 1, 2, 5, 10),
  }) as fc.Arbitrary<ExactLine & { scaleStep: number }>;
  const tolerance = fc.constantFrom(0.005, 0.02, 0.1);

  it('the total of the batch drifts by at most half a step per line, each line by less than a step', () => {
    fc.assert(
      fc.property(fc.array(anyLine, { maxLength: 40 }), tolerance, (lines, allowed) => {
        const rounded = roundLines(lines, allowed);
        const drift = rounded.reduce((sum, line) => sum + line.amount - line.exact, 0);
        const halfSteps = lines.reduce((sum, line) => sum + line.scaleStep / 2, 0);
        expect(Math.abs(drift)).toBeLessThanOrEqual(halfSteps + 1e-6);
        for (const line of rounded) {
          expect(Math.abs(line.amount - line.exact)).toBeLessThan((line.stepUsed ?? 0) + 1e-6);
        }
      }),
      { numRuns: 1000 },
    );
  });

  it('the total of lines on one scale drifts by at most half a step altogether', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 100, max: 5000, noNaN: true }), { minLength: 1, maxLength: 40 }),
        fc.constantFrom(0.5, 1, 2),
        (amounts, scaleStep) => {
          const rounded = roundLines(
            amounts.map((exact, index) => ({
              id: String(index),
              exact,
              baseUnit: 'g' as const,
              scaleStep,
            })),
            0.02,
          );
          const drift = rounded.reduce((sum, line) => sum + line.amount - line.exact, 0);
          expect(Math.abs(drift)).toBeLessThanOrEqual(scaleStep / 2 + 1e-6);
        },
      ),
    );
  });

  it('every amount is a whole number of steps', () => {
    fc.assert(
      fc.property(fc.array(anyLine, { maxLength: 20 }), tolerance, (lines, allowed) => {
        for (const line of roundLines(lines, allowed)) {
          const steps = line.amount / (line.stepUsed ?? NaN);
          expect(Math.abs(steps - Math.round(steps))).toBeLessThan(1e-6);
        }
      }),
    );
  });

  it('ratios of weights and volumes stay inside the tolerance; what does not says so', () => {
    fc.assert(
      fc.property(fc.array(anyLine, { maxLength: 40 }), tolerance, (lines, allowed) => {
        const rounded = roundLines(lines, allowed);
        for (const line of rounded) {
          const change = line.exact === 0 ? 0 : Math.abs(line.amount / line.exact - 1);
          expect(line.insideTolerance).toBe(change <= allowed);
          /* A thousandth of the coarsest step is 0.01: from 2 g up every line can be held. */
          if (line.baseUnit !== 'each' && line.exact >= 0.01 / allowed) {
            expect(line.insideTolerance).toBe(true);
          }
        }
        for (const one of rounded) {
          for (const other of rounded) {
            if (!one.insideTolerance || !other.insideTolerance) continue;
            if (one.exact === 0 || other.exact === 0) continue;
            const ratio = one.amount / other.amount / (one.exact / other.exact);
            expect(ratio).toBeLessThanOrEqual(((1 + allowed) / (1 - allowed)) * (1 + 1e-9));
          }
        }
      }),
    );
  });

  it('sends small weights to a finer scale and says so', () => {
    const [flour, gelatine] = roundLines(
      [
        { id: 'flour', exact: 1234.4, baseUnit: 'g', scaleStep: 1 },
        { id: 'gelatine', exact: 7.46, baseUnit: 'g', scaleStep: 1 },
      ],
      0.02,
    );
    expect([flour?.amount, flour?.finerScale]).toEqual([1234, false]);
    expect([gelatine?.amount, gelatine?.stepUsed, gelatine?.finerScale]).toEqual([7.5, 0.1, true]);
  });

  it('gives the steps to the largest remainders', () => {
    const rounded = roundLines(
      [100.4, 200.4, 300.4].map((exact, index) => ({
        id: String(index),
        exact: exact + index / 100,
        baseUnit: 'g' as const,
        scaleStep: 1,
      })),
      0.05,
    );
    expect(rounded.map((line) => line.amount)).toEqual([100, 200, 301]);
  });

  it('leaves lines without a step alone', () => {
    const [line] = roundLines([{ id: 'oil', exact: 12.3456, baseUnit: 'ml' }], 0.02);
    expect(line).toMatchObject({ amount: 12.3456, deviation: 0, finerScale: false });
  });
});

describe('moulds, trays and loads', () => {
  it('counts moulds, how full the last is, and rounds when there are too few', () => {
    expect(
      unwrap(countVessels(1000, { name: 'ring', fillBase: 80, pieces: 1, available: 6 })),
    ).toEqual({ name: 'ring', count: 13, pieces: 12, lastFilledFraction: 0.5, rounds: 3 });
    expect(unwrap(countVessels(960, { name: 'sheet of 24', fillBase: 960, pieces: 24 }))).toEqual({
      name: 'sheet of 24',
      count: 1,
      pieces: 24,
      lastFilledFraction: 1,
      rounds: 1,
    });
  });

  it('loads are as few as possible, of equal size, and hold the whole batch', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 50_000, noNaN: true }),
        fc.double({ min: 100, max: 9000, noNaN: true }),
        (amountBase, holdsBase) => {
          const plan = unwrap(planLoads(amountBase, { name: 'pan', holdsBase }));
          const [group] = plan.groups;
          expect(plan.groups).toHaveLength(1);
          expect(group?.amountBase).toBeLessThanOrEqual(holdsBase * (1 + 1e-6));
          expect(plan.count * Number(group?.amountBase)).toBeCloseTo(amountBase, 6);
          expect((plan.count - 1) * holdsBase).toBeLessThan(amountBase);
        },
      ),
    );
  });

  it('13 trays in an oven of 5 are loads of 5, 4 and 4', () => {
    const vessels = unwrap(countVessels(1300, { name: 'tray', fillBase: 100 }));
    const plan = unwrap(planLoads(1300, { name: 'oven', holdsVessels: 5 }, vessels));
    expect(plan).toEqual({
      name: 'oven',
      count: 3,
      groups: [
        { count: 1, amountBase: 500, vessels: 5 },
        { count: 2, amountBase: 400, vessels: 4 },
      ],
    });
  });

  it('refuses moulds and pans that hold nothing', () => {
    expect(kindOf(countVessels(100, { name: 'ring', fillBase: 0 }))).toBe('out-of-range');
    expect(kindOf(countVessels(100, { name: 'ring', fillBase: 10, available: 0 }))).toBe(
      'out-of-range',
    );
    expect(kindOf(planLoads(100, { name: 'pan', holdsBase: 0 }))).toBe('out-of-range');
    expect(kindOf(planLoads(100, { name: 'oven', holdsVessels: 0.5 }))).toBe('out-of-range');
  });
});

describe('scaleRecipe', () => {
  /** A synthetic batter: 1000 g from 1020 g in the bowl. */
  const lines: ScalableLine[] = [
    { id: 'flour', amountBase: 400, baseUnit: 'g', scaleStep: 1 },
    { id: 'milk', amountBase: 500, baseUnit: 'ml', scaleStep: 5 },
    { id: 'eggs', amountBase: 2, baseUnit: 'each', scaleStep: 1 },
    { id: 'cinnamon stick', amountBase: 1, baseUnit: 'each', perBatch: true },
    { id: 'yeast', amountBase: 6.2, baseUnit: 'g', scaleStep: 1 },
  ];
  const recipe: RecipeToScale = {
    lines,
    baseYield: 1000,
    batches: { min: 0.5, max: 3, multiple: 0.5 },
    vessel: { name: 'tin', fillBase: 500, pieces: 8, available: 4 },
    loads: [{ name: 'oven', holdsVessels: 2 }],
  };

  it('scales lines with the batch, per-batch lines with the number of batches only', () => {
    const scaled = unwrap(scaleRecipe(recipe, { kind: 'yield', amountBase: 4200 }));
    expect(scaled.cards.map((card) => [card.count, card.factor])).toEqual([
      [1, 2.5],
      [1, 2],
    ]);
    expect(scaled.totalYieldBase).toBe(4500);
    const totals = Object.fromEntries(scaled.totals.map((total) => [total.id, total.amountBase]));
    expect(totals).toEqual({
      flour: 1800,
      milk: 2250,
      eggs: 9,
      'cinnamon stick': 2,
      yeast: 27.9,
    });
    expect(scaled.cards[0]?.vessels).toMatchObject({ count: 5, pieces: 40, rounds: 2 });
    expect(scaled.cards[0]?.loads[0]?.count).toBe(3);
    expect(scaled.outsideTolerance).toEqual([]);
  });

  it('says when pieces cannot be held: half a batch of three eggs is rounded and marked', () => {
    const scaled = unwrap(
      scaleRecipe(
        { ...recipe, lines: [{ id: 'eggs', amountBase: 3, baseUnit: 'each', scaleStep: 1 }] },
        { kind: 'factor', factor: 0.5 },
      ),
    );
    expect(scaled.cards[0]?.lines[0]).toMatchObject({ exact: 1.5, amount: 2 });
    expect(scaled.outsideTolerance).toEqual(['eggs']);
  });

  it('scales to whole tins, and to what is at hand of one line', () => {
    const tins = unwrap(scaleRecipe(recipe, { kind: 'vessels', count: 3 }));
    expect([tins.totalYieldBase, tins.cards[0]?.vessels?.count]).toEqual([1500, 3]);
    const flour = unwrap(
      scaleRecipe(recipe, { kind: 'from-line', lineId: 'flour', amountBase: 1150 }),
    );
    expect(flour.totalYieldBase).toBe(2500);
    expect(flour.totals[0]?.amountBase).toBe(1000);
  });

  it('unrounded lines keep their proportions to the yield at any size', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 200, noNaN: true }), (factor) => {
        const scaled = unwrap(scaleRecipe(recipe, { kind: 'factor', factor }));
        expect(scaled.totalYieldBase).toBeGreaterThanOrEqual(factor * 1000 - 1e-3);
        for (const card of scaled.cards) {
          for (const [index, line] of card.lines.entries()) {
            const source = lines[index];
            const expected =
              Number(source?.amountBase) * (source?.perBatch === true ? 1 : card.factor);
            expect(line.exact).toBeCloseTo(expected, 9);
          }
        }
      }),
    );
  });

  it('takes ten thousand lines and no more', () => {
    const many = (count: number): RecipeToScale => ({
      ...recipe,
      lines: Array.from({ length: count }, (_, index) => ({
        id: String(index),
        amountBase: 10 + (index % 97) / 7,
        baseUnit: 'g' as const,
        scaleStep: 0.1,
      })),
    });
    const scaled = unwrap(scaleRecipe(many(10_000), { kind: 'factor', factor: 1 }));
    expect(scaled.totals).toHaveLength(10_000);
    const drift = scaled.cards[0]?.lines.reduce((sum, line) => sum + line.amount - line.exact, 0);
    expect(Math.abs(Number(drift))).toBeLessThanOrEqual(0.1 / 2 + 1e-6);
    expect(kindOf(scaleRecipe(many(10_001), { kind: 'factor', factor: 1 }))).toBe('too-large');
  });

  it('refuses a yield of 0, negative lines, steps of 0 and requests that mean nothing', () => {
    const factor = { kind: 'factor', factor: 1 } as const;
    for (const baseYield of [0, -5, NaN]) {
      expect(kindOf(scaleRecipe({ ...recipe, baseYield }, factor))).toBe('out-of-range');
    }
    const bad = scaleRecipe(
      { ...recipe, lines: [{ id: 'flour', amountBase: -1, baseUnit: 'g' }] },
      factor,
    );
    expect(!bad.ok && bad.error.path).toEqual(['lines', 0, 'amountBase']);
    const step = scaleRecipe(
      { ...recipe, lines: [{ id: 'flour', amountBase: 1, baseUnit: 'g', scaleStep: 0 }] },
      factor,
    );
    expect(!step.ok && step.error.path).toEqual(['lines', 0, 'scaleStep']);
    expect(kindOf(scaleRecipe(recipe, { kind: 'yield', amountBase: 0 }))).toBe('out-of-range');
    expect(kindOf(scaleRecipe(recipe, { kind: 'factor', factor: -1 }))).toBe('out-of-range');
    expect(kindOf(scaleRecipe({ ...recipe, ratioTolerance: 0 }, factor))).toBe('out-of-range');
    const without: RecipeToScale = { lines, baseYield: 1000, batches: recipe.batches };
    expect(kindOf(scaleRecipe(without, { kind: 'vessels', count: 3 }))).toBe('missing-data');
    for (const lineId of ['nothing', 'cinnamon stick']) {
      expect(kindOf(scaleRecipe(recipe, { kind: 'from-line', lineId, amountBase: 100 }))).toBe(
        'missing-data',
      );
    }
    expect(
      kindOf(scaleRecipe(recipe, { kind: 'from-line', lineId: 'flour', amountBase: 100 })),
    ).toBe('infeasible');
  });
});
