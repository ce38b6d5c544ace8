import { UcumLhcUtils } from '@lhncbc/ucum-lhc';
import { describe, expect, it } from 'vitest';
import { UNITS, convert } from '../../api/core/quantity/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: @lhncbc/ucum-lhc, the UCUM library of the US National Library of Medicine. Every code we
 * list is a UCUM code, so the overlap is the whole table. It calculates in binary floating point too:
 * compared with a relative tolerance of 1e-9 (absolute near 0, where temperatures cross it).
 */
const ucum = UcumLhcUtils.getInstance();
const TOLERANCE = 1e-9;

const pairs = UNITS.flatMap((from) =>
  UNITS.filter((to) => to.dimension === from.dimension).map((to) => [from.code, to.code] as const),
);

describe('conversions agree with the UCUM library', () => {
  it('every code of ours is a valid UCUM code', () => {
    for (const { code } of UNITS)
      expect([code, ucum.validateUnitString(code).status]).toEqual([code, 'valid']);
  });

  it('the overlap is the whole table: 5 mass, 18 volume, 1 count and 2 temperature units', () => {
    expect(UNITS).toHaveLength(26);
    expect(pairs).toHaveLength(5 * 5 + 18 * 18 + 1 + 2 * 2);
  });

  it.each([1, 0.25, 3, 37.5, 750])('%d of every unit to every other of its dimension', (value) => {
    for (const [from, to] of pairs) {
      const theirs = ucum.convertUnitTo(from, value, to);
      expect([from, to, theirs.status]).toEqual([from, to, 'succeeded']);
      const ours = unwrap(convert(value, from, to));
      const difference = Math.abs(ours - Number(theirs.toVal));
      expect(difference, `${value} ${from} in ${to}`).toBeLessThanOrEqual(
        TOLERANCE * Math.max(1e-3, Math.abs(ours)),
      );
    }
  });
});

/*
 * Source: exact definitions as published: international pound and ounce (NIST SP 811), US gallon of
 * 231 cubic inches (NIST Handbook 44), imperial gallon (UK Weights and Measures Act 1985), household
 * measures of US 21 CFR 101.9(b)(5)(viii).
 */
describe('exact factors as published', () => {
  it.each<[string, string, number]>([
    ['[lb_av]', 'g', 453.59237],
    ['[oz_av]', 'g', 28.349523125],
    ['[gal_us]', 'mL', 3785.411784],
    ['[qt_us]', 'mL', 946.352946],
    ['[pt_us]', 'mL', 473.176473],
    ['[cup_us]', 'mL', 236.5882365],
    ['[foz_us]', 'mL', 29.5735295625],
    ['[tbs_us]', 'mL', 14.78676478125],
    ['[tsp_us]', 'mL', 4.92892159375],
    ['[gal_br]', 'mL', 4546.09],
    ['[pt_br]', 'mL', 568.26125],
    ['[foz_br]', 'mL', 28.4130625],
    ['[tsp_m]', 'mL', 5],
    ['[tbs_m]', 'mL', 15],
    ['[foz_m]', 'mL', 30],
    ['[cup_m]', 'mL', 240],
  ])('1 %s is %s %d', (from, to, expected) => {
    expect(Math.abs(unwrap(convert(1, from, to)) / expected - 1)).toBeLessThan(1e-14);
  });

  /* Source: US FDA Food Code, printed °F and °C pairs; NIST SP 811 for the formula. */
  it.each([
    [-40, -40],
    [32, 0],
    [41, 5],
    [135, 57.22],
    [165, 73.89],
    [212, 100],
    [320, 160],
    [350, 176.67],
  ])('%d °F is %d °C', (fahrenheit, celsius) => {
    expect(unwrap(convert(fahrenheit, '[degF]', 'Cel'))).toBeCloseTo(celsius, 2);
  });
});
