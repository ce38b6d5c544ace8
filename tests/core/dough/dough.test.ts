import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bakersPercentages, waterForHydration, weighDough } from '../../../api/core/dough/index.ts';
import type { DoughLine } from '../../../api/core/dough/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);

const line = (id: string, massG: number, extra: Partial<DoughLine> = {}): DoughLine => ({
  id,
  name: id,
  massG,
  ...extra,
});
const flour = (massG: number, id = 'flour') => line(id, massG, { isFlour: true });
const water = (massG: number) => line('water', massG, { waterFraction: 1 });
const salt = (massG: number) => line('salt', massG, { waterFraction: 0 });

describe("baker's percentages", () => {
  it('take all flours together as 100 %', () => {
    const dough = unwrap(bakersPercentages([flour(800), flour(200, 'rye'), water(650), salt(20)]));
    expect(dough.lines.map((one) => one.percent)).toEqual([80, 20, 65, 2]);
    expect(dough.totalPercent).toBeCloseTo(167, 10);
    expect(dough.hydrationPercent).toBeCloseTo(65, 10);
  });

  it('count the water of milk and egg by their content, and name lines they know nothing of', () => {
    const dough = unwrap(
      bakersPercentages([
        flour(1000),
        water(100),
        line('milk', 400, { waterFraction: 0.88 }),
        line('egg', 200, { waterFraction: 0.76 }),
        line('purée', 50),
      ]),
    );
    expect(dough.addedWaterPercent).toBeCloseTo(10, 10);
    expect(dough.hydrationPercent).toBeCloseTo(10 + 35.2 + 15.2, 10);
    expect(dough.waterUnknown).toEqual(['purée']);
  });

  it('percentages and dough weight give the weights back', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 100, max: 5000, noNaN: true }), { minLength: 1, maxLength: 4 }),
        fc.array(fc.double({ min: 0, max: 3000, noNaN: true }), { maxLength: 6 }),
        (flours, others) => {
          const lines = [
            ...flours.map((massG, index) => flour(massG, `flour ${index}`)),
            ...others.map((massG, index) => line(`other ${index}`, massG)),
          ];
          const formula = unwrap(bakersPercentages(lines));
          const weighed = unwrap(
            weighDough(
              formula.lines.map((one, index) => ({ ...one, isFlour: index < flours.length })),
              formula.doughG,
            ),
          );
          for (const [index, one] of weighed.entries()) {
            expect(one.massG).toBeCloseTo(lines[index]?.massG ?? NaN, 6);
          }
        },
      ),
    );
  });

  it('the water for a hydration gives that hydration', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 100, max: 5000, noNaN: true }),
        fc.double({ min: 0, max: 0.4, noNaN: true }),
        fc.double({ min: 40, max: 100, noNaN: true }),
        (flourG, milkShare, hydration) => {
          const lines = (waterG: number) => [
            flour(flourG),
            line('milk', flourG * milkShare, { waterFraction: 0.88 }),
            water(waterG),
          ];
          const waterG = unwrap(waterForHydration(lines(1), hydration));
          expect(unwrap(bakersPercentages(lines(waterG))).hydrationPercent).toBeCloseTo(
            hydration,
            8,
          );
        },
      ),
    );
  });

  it('refuse a dough without flour, bad weights and water contents over 100 %', () => {
    expect(kindOf(bakersPercentages([water(100)]))).toBe('missing-data');
    expect(kindOf(bakersPercentages([flour(0), water(100)]))).toBe('missing-data');
    expect(kindOf(bakersPercentages([flour(-1)]))).toBe('out-of-range');
    const wet = bakersPercentages([flour(100), line('milk', 10, { waterFraction: 1.01 })]);
    expect(kindOf(wet)).toBe('out-of-range');
    expect(!wet.ok && wet.error.path).toEqual([1, 'waterFraction']);
  });

  it('refuse flours that do not make 100 %, and a hydration the eggs already pass', () => {
    expect(kindOf(weighDough([{ id: 'flour', percent: 90, isFlour: true }], 100))).toBe(
      'missing-data',
    );
    expect(kindOf(weighDough([{ id: 'flour', percent: -1, isFlour: true }], 100))).toBe(
      'out-of-range',
    );
    const eggs = line('egg', 900, { waterFraction: 0.76 });
    expect(kindOf(waterForHydration([flour(1000), eggs], 60))).toBe('infeasible');
    expect(kindOf(waterForHydration([flour(1000), line('purée', 10)], 60))).toBe('missing-data');
  });
});
