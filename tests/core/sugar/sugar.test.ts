import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  BAUME_MODULI,
  MAX_DENSITY_BRIX,
  POLYNOMIAL_MAX_BRIX,
  SUCROSE_DENSITY_TABLE,
  baumeFromBrix,
  baumeFromSg,
  brixFromBaume,
  brixFromDensity,
  brixOf,
  massOfSyrup,
  saturationBrix,
  sgFromBaume,
  sucroseDensityGPerMl,
  sucroseForBrix,
  syrupOf,
  waterToDilute,
} from '../../../api/core/sugar/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);
const brix = fc.double({ min: 0, max: MAX_DENSITY_BRIX, noNaN: true });

describe('density of sucrose solutions', () => {
  it('rises with strength', () => {
    fc.assert(
      fc.property(brix, brix, (one, other) => {
        fc.pre(Math.abs(one - other) > 1e-6);
        const [weak, strong] = one < other ? [one, other] : [other, one];
        expect(unwrap(sucroseDensityGPerMl(weak))).toBeLessThan(
          unwrap(sucroseDensityGPerMl(strong)),
        );
      }),
    );
  });

  it('is undone by brixFromDensity', () => {
    fc.assert(
      fc.property(brix, (strength) => {
        const density = unwrap(sucroseDensityGPerMl(strength));
        expect(unwrap(brixFromDensity(density))).toBeCloseTo(strength, 6);
      }),
    );
  });

  it('water is 0 °Bx, whichever of its printed densities is read', () => {
    for (const density of [0.998203, 0.9982, 0.99821]) {
      expect(unwrap(brixFromDensity(density))).toBeCloseTo(0, 6);
    }
    expect(unwrap(brixFromBaume({ degrees: 0, modulus: 145 }))).toBeCloseTo(0, 6);
  });

  it('polynomial and table meet within 0.0001 g/ml', () => {
    const below = unwrap(sucroseDensityGPerMl(POLYNOMIAL_MAX_BRIX));
    const above = unwrap(sucroseDensityGPerMl(POLYNOMIAL_MAX_BRIX + 1e-9));
    expect(above - below).toBeGreaterThan(0);
    expect(above - below).toBeLessThan(1e-4);
  });

  it('bends the same way between table values as they do: no wiggle from the interpolation', () => {
    for (let strength = 42; strength <= 69; strength += 1) {
      const at = (offset: number) => unwrap(sucroseDensityGPerMl(strength + offset));
      expect(at(1) - 2 * at(0) + at(-1)).toBeGreaterThan(0);
    }
    expect(SUCROSE_DENSITY_TABLE).toHaveLength(9);
  });

  it('is refused outside 0 to 70 °Bx', () => {
    for (const strength of [-1, 70.1, NaN]) {
      expect(kindOf(sucroseDensityGPerMl(strength))).toBe('out-of-range');
    }
    expect(kindOf(brixFromDensity(0.9))).toBe('out-of-range');
    expect(kindOf(brixFromDensity(1.4))).toBe('out-of-range');
  });
});

describe('Baumé', () => {
  it('is undone with the same modulus', () => {
    fc.assert(
      fc.property(brix, fc.constantFrom(...Object.values(BAUME_MODULI)), (strength, modulus) => {
        const degrees = unwrap(baumeFromBrix(strength, modulus));
        expect(unwrap(brixFromBaume({ degrees, modulus }))).toBeCloseTo(strength, 2);
      }),
    );
  });

  it('reads differently on another scale, so the modulus goes with the reading', () => {
    expect(unwrap(baumeFromSg(1.25, 145))).toBeCloseTo(29, 12);
    expect(unwrap(baumeFromSg(1.25, 144.3))).toBeCloseTo(28.86, 12);
    expect(unwrap(sgFromBaume({ degrees: 29, modulus: 145 }))).toBeCloseTo(1.25, 12);
    expect(kindOf(baumeFromSg(1.25, 100))).toBe('out-of-range');
    expect(kindOf(sgFromBaume({ degrees: -1, modulus: 145 }))).toBe('out-of-range');
    expect(kindOf(baumeFromSg(0.9))).toBe('out-of-range');
  });
});

describe('syrups', () => {
  it('300 g sugar to 500 g water is 37.5 °Bx', () => {
    const syrup = unwrap(syrupOf(300, 500));
    expect(syrup.brix).toBe(37.5);
    expect(syrup.supersaturated).toBe(false);
    expect(syrup.liquid?.volumeMl).toBeCloseTo(800 / 1.1637, 0);
  });

  it('2:1 sugar to water is under, 2.1:1 over what water holds at 20 °C', () => {
    expect(unwrap(syrupOf(200, 100)).supersaturated).toBe(false);
    expect(unwrap(syrupOf(210, 100)).supersaturated).toBe(true);
  });

  it('above 70 °Bx there is no volume, and it is not made up', () => {
    const syrup = unwrap(syrupOf(300, 100));
    expect(syrup.brix).toBe(75);
    expect(syrup.liquid).toBeUndefined();
  });

  it('the volume of a syrup gives its weight back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 2000, noNaN: true }),
        fc.double({ min: 1000, max: 5000, noNaN: true }),
        (sucroseG, waterG) => {
          const syrup = unwrap(syrupOf(sucroseG, waterG));
          const back = unwrap(massOfSyrup(syrup.liquid?.volumeMl ?? 0, syrup.brix));
          expect(back.massG).toBeCloseTo(sucroseG + waterG, 6);
          expect(back.sucroseG).toBeCloseTo(sucroseG, 6);
        },
      ),
    );
  });

  it('sucroseForBrix and brixOf undo each other', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 1e4, noNaN: true }),
        fc.double({ min: 0, max: 90, noNaN: true }),
        (waterG, strength) => {
          const sugarG = unwrap(sucroseForBrix(waterG, strength));
          expect(unwrap(brixOf(sugarG, waterG))).toBeCloseTo(strength, 9);
        },
      ),
    );
  });

  it('diluting keeps the sugar', () => {
    const water = unwrap(waterToDilute(1000, 60, 30));
    expect(water).toBeCloseTo(1000, 9);
    expect(kindOf(waterToDilute(1000, 30, 60))).toBe('infeasible');
    expect(kindOf(waterToDilute(1000, 30, 0))).toBe('out-of-range');
  });

  it('refuses percentages over 100, negative weights and an empty pan', () => {
    expect(kindOf(sucroseForBrix(500, 100))).toBe('out-of-range');
    expect(kindOf(sucroseForBrix(500, 120))).toBe('out-of-range');
    expect(kindOf(sucroseForBrix(500, -1))).toBe('out-of-range');
    expect(kindOf(brixOf(-1, 100))).toBe('out-of-range');
    expect(kindOf(syrupOf(100, -1))).toBe('out-of-range');
    expect(kindOf(brixOf(0, 0))).toBe('missing-data');
    expect(kindOf(saturationBrix(120))).toBe('out-of-range');
  });
});
