import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  asPurchased,
  batchYield,
  chainYields,
  ediblePortion,
  fractionFromPercent,
  fractionFromRefuse,
} from '../../../api/core/yields/index.ts';
import type { YieldKind, YieldStep } from '../../../api/core/yields/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);
const step = (kind: YieldKind, fraction: number): YieldStep => ({
  kind,
  fraction,
  source: 'synthetic test',
});

const anyStep = fc
  .tuple(
    fc.constantFrom<YieldKind>('trim', 'peel', 'stone', 'evaporation', 'sieve', 'pan-loss'),
    fc.double({ min: 0.1, max: 1, noNaN: true }),
  )
  .map(([kind, fraction]) => step(kind, fraction));
const anyChain = fc.array(
  fc.oneof(
    anyStep,
    fc.double({ min: 0.1, max: 4, noNaN: true }).map((fraction) => step('cooking', fraction)),
  ),
  { maxLength: 5 },
);

describe('yield chains', () => {
  it('multiply, and show what is left after each step', () => {
    const chain = unwrap(
      chainYields([step('peel', 0.9), step('stone', 0.8), step('cooking', 0.5)]),
    );
    expect(chain.fraction).toBeCloseTo(0.36, 12);
    expect(chain.steps.map((one) => Number(one.cumulativeFraction.toFixed(6)))).toEqual([
      0.9, 0.72, 0.36,
    ]);
  });

  it('AP = EP / (trim · cooking): 720 g of cooked fruit at 0.9 and 0.8 asks for 1000 g', () => {
    expect(unwrap(asPurchased(720, [step('trim', 0.9), step('cooking', 0.8)]))).toBeCloseTo(
      1000,
      9,
    );
  });

  it('an empty chain keeps everything', () => {
    expect(unwrap(asPurchased(250, []))).toBe(250);
  });

  it('buying for a portion and preparing it gives the portion back', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 5000, noNaN: true }), anyChain, (edible, chain) => {
        const bought = unwrap(asPurchased(edible, chain));
        expect(unwrap(ediblePortion(bought, chain))).toBeCloseTo(edible, 6);
      }),
    );
  });

  it('without a gain in cooking at least the portion has to be bought', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 5000, noNaN: true }),
        fc.array(anyStep, { maxLength: 5 }),
        (edible, chain) => {
          expect(unwrap(asPurchased(edible, chain))).toBeGreaterThanOrEqual(edible);
        },
      ),
    );
  });

  it('the order of the steps does not change the result', () => {
    fc.assert(
      fc.property(anyChain, (chain) => {
        const backwards = unwrap(chainYields([...chain].reverse())).fraction;
        expect(backwards / unwrap(chainYields(chain)).fraction).toBeCloseTo(1, 12);
      }),
    );
  });

  it('refuses a yield of 0, below 0 or not a number, and losses that gain, at the step', () => {
    for (const fraction of [0, -0.1, NaN, Infinity, 1.01]) {
      const refused = chainYields([step('trim', 0.9), step('sieve', fraction)]);
      expect(kindOf(refused)).toBe('out-of-range');
      expect(!refused.ok && refused.error.path).toEqual([1, 'fraction']);
    }
    expect(kindOf(chainYields([step('cooking', 2.6)]))).toBe('ok');
    expect(kindOf(chainYields([step('cooking', 21)]))).toBe('out-of-range');
    expect(kindOf(chainYields(Array.from({ length: 400 }, () => step('trim', 0.1))))).toBe(
      'out-of-range',
    );
  });

  it('refuses a yield that does not say where it comes from', () => {
    expect(kindOf(chainYields([{ kind: 'trim', fraction: 0.9, source: ' ' }]))).toBe(
      'missing-data',
    );
  });

  it('refuses negative and absurd amounts', () => {
    expect(kindOf(asPurchased(-1, []))).toBe('out-of-range');
    expect(kindOf(ediblePortion(-1, []))).toBe('out-of-range');
    expect(kindOf(asPurchased(9e8, [step('trim', 0.1)]))).toBe('out-of-range');
  });
});

describe('percentages', () => {
  it('kept 92 % and refuse 8 % are the same yield', () => {
    expect(unwrap(fractionFromPercent(92))).toBeCloseTo(unwrap(fractionFromRefuse(8)), 12);
  });

  it('refuses percentages of 0, below 0 and over 100', () => {
    for (const percent of [0, -5, 101, NaN]) {
      expect(kindOf(fractionFromPercent(percent))).toBe('out-of-range');
    }
    for (const refuse of [100, -5, 101, NaN]) {
      expect(kindOf(fractionFromRefuse(refuse))).toBe('out-of-range');
    }
  });
});

describe('batchYield', () => {
  it('takes line losses first, then the losses of the steps from the whole bowl', () => {
    const batch = unwrap(
      batchYield(
        [
          { massG: 1000, yields: [step('stone', 0.9)] },
          { massG: 300, yields: [] },
        ],
        [step('evaporation', 0.75), step('sieve', 0.9)],
      ),
    );
    expect(batch.bowlG).toBeCloseTo(1200, 9);
    expect(batch.stepFraction).toBeCloseTo(0.675, 12);
    expect(batch.finishedG).toBeCloseTo(810, 9);
  });

  it('points at the line or step that is wrong', () => {
    const line = batchYield([{ massG: 10, yields: [step('trim', 2)] }], []);
    expect(!line.ok && line.error.path).toEqual(['lines', 0, 0, 'fraction']);
    const inStep = batchYield([{ massG: 10, yields: [] }], [step('sieve', 0)]);
    expect(!inStep.ok && inStep.error.path).toEqual(['steps', 0, 'fraction']);
  });
});
