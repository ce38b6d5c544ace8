import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  densityOf,
  displayAmount,
  fromBaseAmount,
  toBaseAmount,
} from '../../../api/core/quantity/index.ts';
import type { BaseUnit, IngredientMeasures } from '../../../api/core/quantity/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);

/** Synthetic ingredients with round numbers. */
const syrup: IngredientMeasures = {
  name: 'Test syrup',
  baseUnit: 'g',
  densityGPerMl: 1.4,
  household: [{ name: 'tsp', massG: 8 }],
};
const plum: IngredientMeasures = {
  name: 'Test plum',
  baseUnit: 'each',
  pieceMassG: 60,
  household: [{ name: 'punnet', massG: 480 }],
};
const bare: IngredientMeasures = { name: 'Bare powder', baseUnit: 'g', household: [] };

const grams = (value: number, unit: string, measures: IngredientMeasures) =>
  unwrap(toBaseAmount({ value, unit }, measures)).value;

describe('toBaseAmount', () => {
  it('weight, volume by density, and pieces by piece weight', () => {
    expect(grams(2, 'kg', syrup)).toBe(2000);
    expect(grams(100, 'mL', syrup)).toBeCloseTo(140, 10);
    expect(grams(120, 'g', plum)).toBeCloseTo(2, 12);
    expect(grams(3, 'each', plum)).toBe(3);
  });

  it('a spoon weighed for the ingredient wins over its density, whatever the spoon is called', () => {
    for (const unit of ['tsp', 'teaspoons', '[tsp_m]']) expect(grams(2, unit, syrup)).toBe(16);
    expect(grams(1, '[tsp_us]', syrup)).toBeCloseTo(4.92892159375 * 1.4, 10);
  });

  it('a household measure converts to pieces and volumes through its weight', () => {
    expect(grams(1, 'punnets', plum)).toBe(8);
    expect(grams(7, 'tsp', { ...syrup, baseUnit: 'ml' })).toBeCloseTo(40, 10);
  });

  it('a weight never gives way to a household measure', () => {
    const odd = { ...bare, household: [{ name: 'g', massG: 5 }] };
    expect(grams(3, 'g', odd)).toBe(3);
  });

  it('without a density volume and weight do not convert, and the ingredient is named', () => {
    const refused = toBaseAmount({ value: 1, unit: '[cup_us]' }, bare);
    expect(kindOf(refused)).toBe('no-density');
    expect(!refused.ok && refused.error.message).toContain('Bare powder');
    expect(kindOf(toBaseAmount({ value: 3, unit: '{each}' }, bare))).toBe('no-piece-mass');
    expect(kindOf(toBaseAmount({ value: 3, unit: 'mL' }, plum))).toBe('no-density');
  });

  it('the largest weighed volume gives the density when none is stated', () => {
    const flour: IngredientMeasures = {
      ...bare,
      household: [
        { name: 'tsp', massG: 99 },
        { name: 'US cup', massG: 125 },
        { name: 'handful', massG: 700 },
      ],
    };
    expect(unwrap(densityOf(flour)).value).toBeCloseTo(125 / 236.5882365, 10);
    expect(grams(236.5882365, 'mL', flour)).toBeCloseTo(125, 9);
  });

  it('the steps say which factors were used', () => {
    const { steps } = unwrap(
      toBaseAmount({ value: 2, unit: '[tbs_m]' }, { ...plum, densityGPerMl: 1.2 }),
    );
    expect(steps).toEqual([
      '2 tbsp × 15 ml per tbsp = 30 ml',
      '30 ml × 1.2 g per ml (density of Test plum) = 36 g',
      '36 g ÷ 60 g per each (weight of one Test plum) = 0.6 each',
    ]);
  });

  it('refuses a sheet with no mass, a bad density and a bad piece weight', () => {
    const sheet = { ...bare, household: [{ name: 'sheet', massG: 0 }] };
    expect(kindOf(toBaseAmount({ value: 3, unit: 'sheets' }, sheet))).toBe('out-of-range');
    expect(kindOf(toBaseAmount({ value: 1, unit: 'mL' }, { ...bare, densityGPerMl: -1 }))).toBe(
      'out-of-range',
    );
    expect(kindOf(toBaseAmount({ value: 1, unit: 'g' }, { ...plum, pieceMassG: 0 }))).toBe(
      'out-of-range',
    );
  });

  it('refuses temperatures, unknown measures, negative and absurd amounts', () => {
    expect(kindOf(toBaseAmount({ value: 20, unit: 'Cel' }, syrup))).toBe('dimension-mismatch');
    expect(kindOf(toBaseAmount({ value: 1, unit: 'bunch' }, syrup))).toBe('unknown-unit');
    expect(kindOf(toBaseAmount({ value: -1, unit: 'g' }, syrup))).toBe('out-of-range');
    expect(kindOf(toBaseAmount({ value: -1, unit: 'tsp' }, syrup))).toBe('out-of-range');
    expect(kindOf(toBaseAmount({ value: 1e7, unit: 'kg' }, syrup))).toBe('out-of-range');
    expect(kindOf(toBaseAmount({ value: NaN, unit: 'g' }, syrup))).toBe('out-of-range');
  });

  it('fromBaseAmount undoes toBaseAmount for every unit and base', () => {
    const units = ['g', 'kg', '[lb_av]', 'mL', '[cup_us]', '{each}', 'tsp', 'sachet'];
    fc.assert(
      fc.property(
        fc.constantFrom(...units),
        fc.constantFrom<BaseUnit>('g', 'ml', 'each'),
        fc.double({ min: 0.2, max: 2, noNaN: true }),
        fc.double({ min: 1, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 1e4, noNaN: true }),
        (unit, baseUnit, densityGPerMl, pieceMassG, value) => {
          const measures: IngredientMeasures = {
            name: 'Anything',
            baseUnit,
            densityGPerMl,
            pieceMassG,
            household: [
              { name: 'tsp', massG: pieceMassG / 7 },
              { name: 'sachet', massG: pieceMassG * 3 },
            ],
          };
          const base = unwrap(toBaseAmount({ value, unit }, measures));
          expect(base.baseUnit).toBe(baseUnit);
          const back = unwrap(fromBaseAmount(base.value, unit, measures));
          expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-11 * Math.max(1, value));
        },
      ),
    );
  });
});

describe('displayAmount', () => {
  it('shows g below a kilogram and kg above, l and ml likewise', () => {
    expect(displayAmount(999.4, 'g').text).toBe('999 g');
    expect(displayAmount(999.6, 'g').text).toBe('1 kg');
    expect(displayAmount(1234.5678, 'ml')).toEqual({ value: 1.235, unit: 'L', text: '1.235 l' });
    expect(displayAmount(3.14159, 'g').text).toBe('3.14 g');
    expect(displayAmount(31.4159, 'ml').text).toBe('31.4 ml');
    expect(displayAmount(2.5, 'each').text).toBe('2.5 each');
    expect(displayAmount(0, 'g').text).toBe('0 g');
  });

  it('never moves an amount by more than half of its last shown digit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e6, noNaN: true }), (value) => {
        const shown = displayAmount(value, 'g');
        const inGrams = shown.unit === 'kg' ? shown.value * 1000 : shown.value;
        const half = value >= 99 ? 0.5 : value >= 9.9 ? 0.05 : 0.005;
        expect(Math.abs(inGrams - value)).toBeLessThanOrEqual(half * 1.000001);
      }),
    );
  });
});
