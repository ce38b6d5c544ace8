import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  MAX_BASE_AMOUNT,
  UNITS,
  adjustForFan,
  celsiusFromFahrenheit,
  celsiusFromGasMark,
  convert,
  densityFrom,
  densityFromWeighing,
  fahrenheitFromCelsius,
  findUnit,
  findUnitByWord,
  unitOf,
} from '../../../api/core/quantity/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);

describe('units', () => {
  it('every code is listed once and found by itself', () => {
    expect(new Set(UNITS.map((unit) => unit.code)).size).toBe(UNITS.length);
    for (const unit of UNITS) expect(findUnit(unit.code)).toBe(unit);
  });

  it('each, 1, ml and l are aliases of UCUM codes; codes are case-sensitive', () => {
    expect(findUnit('each')?.code).toBe('{each}');
    expect(findUnit('1')?.code).toBe('{each}');
    expect(findUnit('ml')?.code).toBe('mL');
    expect(findUnit('l')?.code).toBe('L');
    expect(findUnit('KG')).toBeUndefined();
    expect(kindOf(unitOf('constructor'))).toBe('unknown-unit');
    expect(kindOf(unitOf('__proto__'))).toBe('unknown-unit');
  });

  it('unmarked pints and fluid ounces are imperial, unmarked spoons metric (British kitchen)', () => {
    expect(findUnitByWord('pint')?.code).toBe('[pt_br]');
    expect(findUnitByWord('fl oz')?.code).toBe('[foz_br]');
    expect(findUnitByWord('Tbsp.')?.code).toBe('[tbs_m]');
    expect(findUnitByWord('US cups')?.code).toBe('[cup_us]');
    expect(findUnitByWord('cup')).toBeUndefined();
    expect(findUnitByWord('dozen')).toBeUndefined();
  });
});

describe('convert', () => {
  const proportional = UNITS.filter((unit) => unit.dimension !== 'temperature');
  const pairs = proportional.flatMap((from) =>
    proportional.filter((to) => to.dimension === from.dimension).map((to) => [from, to] as const),
  );

  it('there and back gives the same amount', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...pairs),
        fc.double({ min: 0, max: 1e5, noNaN: true }),
        ([from, to], value) => {
          const there = unwrap(convert(value, from.code, to.code));
          const back = unwrap(convert(there, to.code, from.code));
          expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * Math.max(1, value));
        },
      ),
    );
  });

  it('is the same directly and through a third unit', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...pairs),
        fc.constantFrom(...proportional),
        fc.double({ min: 0, max: 1e4, noNaN: true }),
        ([from, to], via, value) => {
          fc.pre(via.dimension === from.dimension);
          const direct = unwrap(convert(value, from.code, to.code));
          const through = unwrap(
            convert(unwrap(convert(value, from.code, via.code)), via.code, to.code),
          );
          expect(Math.abs(through - direct)).toBeLessThanOrEqual(1e-12 * Math.max(1, direct));
        },
      ),
    );
  });

  it('temperature is affine both ways', () => {
    fc.assert(
      fc.property(fc.double({ min: -200, max: 900, noNaN: true }), (celsius) => {
        const there = unwrap(fahrenheitFromCelsius(celsius));
        expect(unwrap(celsiusFromFahrenheit(there))).toBeCloseTo(celsius, 9);
        expect(there).toBeCloseTo(celsius * 1.8 + 32, 9);
      }),
    );
  });

  it('refuses another dimension, an unknown unit, and numbers no kitchen means', () => {
    expect(kindOf(convert(1, 'g', 'mL'))).toBe('dimension-mismatch');
    expect(kindOf(convert(1, 'Cel', 'g'))).toBe('dimension-mismatch');
    expect(kindOf(convert(1, 'g', 'stone'))).toBe('unknown-unit');
    expect(kindOf(convert(1, 'stone', 'g'))).toBe('unknown-unit');
    expect(kindOf(convert(-1, 'g', 'kg'))).toBe('out-of-range');
    expect(kindOf(convert(NaN, 'g', 'kg'))).toBe('out-of-range');
    expect(kindOf(convert(Infinity, 'g', 'kg'))).toBe('out-of-range');
    expect(kindOf(convert(MAX_BASE_AMOUNT + 1, 'g', 'kg'))).toBe('out-of-range');
    expect(kindOf(convert(MAX_BASE_AMOUNT / 1000, 'kg', 'g'))).toBe('ok');
    expect(kindOf(convert(-300, 'Cel', '[degF]'))).toBe('out-of-range');
    expect(kindOf(convert(-18, 'Cel', '[degF]'))).toBe('ok');
  });
});

describe('density', () => {
  it('takes mass per volume in any usual unit', () => {
    for (const [value, unit] of [
      [1.03, 'g/mL'],
      [1.03, 'kg/L'],
      [1030, 'g/L'],
      [1030, 'kg/m3'],
    ] as const) {
      expect(unwrap(densityFrom({ value, unit }))).toBeCloseTo(1.03, 12);
    }
  });

  it('refuses a density of the wrong dimension', () => {
    for (const unit of ['g', 'mL/g', 'g/each', 'mL', '']) {
      expect(kindOf(densityFrom({ value: 1, unit }))).toBe('dimension-mismatch');
    }
    const grams = { value: 10, unit: 'g' };
    const spoon = { value: 1, unit: '[tsp_m]' };
    expect(unwrap(densityFromWeighing(grams, spoon))).toBeCloseTo(2, 12);
    expect(kindOf(densityFromWeighing(spoon, grams))).toBe('dimension-mismatch');
    expect(kindOf(densityFromWeighing(grams, grams))).toBe('dimension-mismatch');
    expect(kindOf(densityFromWeighing(grams, { value: 0, unit: 'mL' }))).toBe('out-of-range');
  });

  it('refuses densities below or at zero and above any food', () => {
    for (const value of [0, -1, NaN, 30]) {
      expect(kindOf(densityFrom({ value, unit: 'g/mL' }))).toBe('out-of-range');
    }
  });
});

describe('oven', () => {
  it('160 °C is 320 °F', () => {
    expect(unwrap(fahrenheitFromCelsius(160))).toBeCloseTo(320, 10);
  });

  it('a fan oven is set 20 °C lower (common practice, no source), and back', () => {
    expect(unwrap(adjustForFan(180, 'still', 'fan'))).toBe(160);
    expect(unwrap(adjustForFan(160, 'fan', 'still'))).toBe(180);
    expect(unwrap(adjustForFan(160, 'fan', 'fan'))).toBe(160);
    expect(kindOf(adjustForFan(5, 'still', 'fan'))).toBe('out-of-range');
    expect(kindOf(adjustForFan(NaN, 'still', 'fan'))).toBe('out-of-range');
  });

  it('gas mark 4 is 180 °C (from memory); marks between are refused', () => {
    expect(unwrap(celsiusFromGasMark(4))).toBe(180);
    expect(kindOf(celsiusFromGasMark(4.5))).toBe('out-of-range');
    expect(kindOf(celsiusFromGasMark(10))).toBe('out-of-range');
  });
});
