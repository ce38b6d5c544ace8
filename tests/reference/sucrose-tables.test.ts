import { describe, expect, it } from 'vitest';
import {
  WATER_DENSITY_20C_G_PER_ML,
  baumeFromBrix,
  brixFromApparentSg,
  brixOf,
  massOfSyrup,
  saturationBrix,
  sgFromBaume,
  sucroseDensityGPerMl,
  sucroseForBrix,
} from '../../api/core/sugar/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: CRC Handbook sucrose table at 20 °C, four figures (0 to 50 °Bx, read second-hand); 60 and
 * 65 °Bx NBS Circular 440 / Plato, from memory. 37.5 °Bx by the NBS polynomial only. Density g/ml and
 * g sucrose per litre; tolerance 0.0002 g/ml.
 */
describe('density of sucrose solutions at 20 °C', () => {
  it.each([
    [0, 0.9982, 0],
    [10, 1.0381, 103.8],
    [20, 1.081, 216.2],
    [30, 1.127, 338.1],
    [37.5, 1.1637, 436.4],
    [40, 1.1764, 470.6],
    [50, 1.2296, 614.8],
    [60, 1.28646, 771.9],
    [65, 1.31633, 855.6],
  ])('%d °Bx weighs %d g/ml and holds %d g sugar per litre', (brix, densityGPerMl, perLitre) => {
    expect(Math.abs(unwrap(sucroseDensityGPerMl(brix)) - densityGPerMl)).toBeLessThan(0.0002);
    const litre = unwrap(massOfSyrup(1000, brix));
    expect(Math.abs(litre.sucroseG - perLitre)).toBeLessThan(0.15);
  });

  /* NBS polynomial, published with its end point: S = 1.17874 at 40 °Bx; S = 1.04003 at 10 °Bx. */
  it('the polynomial gives 10.00 and 40.00 °Bx at its published points', () => {
    expect(brixFromApparentSg(1.04003)).toBeCloseTo(10, 2);
    expect(brixFromApparentSg(1.17874)).toBeCloseTo(40, 2);
    expect(brixFromApparentSg(1)).toBeCloseTo(0, 2);
  });

  /* Between the table values: NBS Circular 440 / Plato, 55 °Bx 1.25754, from memory. */
  it('55 °Bx is interpolated to 1.2575 g/ml', () => {
    expect(Math.abs(unwrap(sucroseDensityGPerMl(55)) - 1.25754)).toBeLessThan(0.0002);
  });
});

/*
 * Source: F. Mohos, Confectionery and Chocolate Engineering (2010), Table A2.1, °Brix to °Baumé at
 * 20 °C (modulus 145), read second-hand: the rows it prints to two places, and those to one. Its 27.5
 * at 50, 30.2 at 55 do not follow the formula and are left out.
 */
describe('°Brix to °Baumé', () => {
  it.each([
    [10, 5.57],
    [15, 8.34],
    [60, 32.49],
    [65, 35.04],
  ])('%d °Bx is %d °Bé to a twentieth', (brix, baume) => {
    expect(Math.abs(unwrap(baumeFromBrix(brix)) - baume)).toBeLessThan(0.05);
  });

  it.each([
    [5, 2.8],
    [20, 11.1],
    [25, 13.8],
    [30, 16.6],
    [35, 19.3],
    [40, 22],
    [45, 24.6],
    [70, 37.6],
  ])('%d °Bx is %d °Bé to a tenth', (brix, baume) => {
    expect(Math.abs(unwrap(baumeFromBrix(brix)) - baume)).toBeLessThan(0.1);
  });

  /* Computed from SG = 145/(145 − °Bé), the definition in the CRC Handbook. */
  it.each([
    [18, 1.1417],
    [28, 1.2393],
    [30, 1.2609],
    [32, 1.2832],
    [36, 1.3303],
  ])('%d °Bé is a specific gravity of %d', (degrees, sg) => {
    expect(unwrap(sgFromBaume({ degrees, modulus: 145 }))).toBeCloseTo(sg, 4);
  });

  it('specific gravity is against water of 0.998203 g/ml', () => {
    expect(WATER_DENSITY_20C_G_PER_ML).toBe(0.998203);
  });
});

/*
 * Source: Mohos 2010, Tables A2.2 and A2.3 (Antokolskaya 1964; Sokolovsky 1958), read second-hand:
 * per cent by mass, and g per 100 g water. The printed 80.84 at 90 °C is off the curve of its neighbours.
 */
describe('solubility of sucrose', () => {
  it.each([
    [0, 64.18, 179.2],
    [10, 65.58, 190.5],
    [20, 67.09, 203.9],
    [30, 68.7, 219.9],
    [40, 70.42, 238.1],
    [50, 72.25, 260.4],
    [60, 74.18, 287.3],
    [70, 76.22, 320.5],
    [80, 78.36, 362.1],
    [100, 82.97, 487.2],
  ])('at %d °C: %d %% by mass, %d g per 100 g water', (temperatureC, percent, per100gWater) => {
    const brix = unwrap(saturationBrix(temperatureC));
    expect(Math.abs(brix - percent)).toBeLessThan(0.01);
    expect(Math.abs(unwrap(sucroseForBrix(100, brix)) - per100gWater)).toBeLessThan(0.5);
  });
});

/* By definition of °Brix (per cent sucrose by mass). */
describe('syrups by definition', () => {
  it.each([
    [300, 500, 37.5],
    [100, 100, 50],
    [135, 100, 57.4],
    [200, 100, 66.7],
  ])('%d g sugar to %d g water is %d °Bx', (sugarG, waterG, brix) => {
    expect(unwrap(brixOf(sugarG, waterG))).toBeCloseTo(brix, 1);
  });
});
