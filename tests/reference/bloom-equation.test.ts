import { describe, expect, it } from 'vitest';
import { convertGelatine, equivalentMassG, gelatineAmount } from '../../api/core/setting/index.ts';
import type { GelatineForm } from '../../api/core/setting/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: c1·√B1 = c2·√B2 (GMIA Gelatin Handbook, from memory; consistent with Ward and Courts that
 * Bloom goes as about the square of concentration). Values worked out from the equation outside this
 * project, to three places; the linear rule, met in kitchens, for contrast.
 */
describe('gelatine of another Bloom, 10 g', () => {
  it.each([
    [200, 160, 11.18, 12.5],
    [200, 250, 8.944, 8],
    [160, 200, 8.944, 8],
    [140, 200, 8.367, 7],
    [225, 160, 11.859, 14.0625],
    [200, 235, 9.225, 8.511],
  ])('%d to %d Bloom is %d g (linear rule %d g)', (from, to, root, linear) => {
    expect(unwrap(equivalentMassG(10, from, to))).toBeCloseTo(root, 3);
    expect(unwrap(equivalentMassG(10, from, to, 'linear'))).toBeCloseTo(linear, 3);
  });

  /* Source: a published factor table gives 1.11 and 0.89 for the pair 200 and 160 (read second-hand). */
  it('agrees with a published factor table to two places or one unit of the second', () => {
    expect(Math.abs(unwrap(equivalentMassG(1, 200, 160)) - 1.11)).toBeLessThan(0.01);
    expect(Math.abs(unwrap(equivalentMassG(1, 160, 200)) - 0.89)).toBeLessThan(0.01);
  });

  /*
   * Common practice, no source: three professional sheets do the work of six small retail ones. With
   * a professional sheet of 3.3 g and a retail sheet of half that weight of equal Bloom it follows.
   */
  it('three sheets of 3.3 g are six of 1.65 g', () => {
    const sheet = (sheetMassG: number): GelatineForm => ({
      kind: 'sheet',
      grade: 'bronze',
      bloom: 140,
      sheetMassG,
    });
    const amount = unwrap(gelatineAmount(3, sheet(3.3)));
    expect(unwrap(convertGelatine(amount, sheet(1.65))).sheets?.rounded).toBe(6);
  });
});
