import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/**
 * How masses of different Bloom grades are set equal. 'square-root' (the default): c1·√B1 = c2·√B2,
 * because firmness goes as the square of concentration (GMIA Gelatin Handbook, from memory;
 * consistent with Ward and Courts). 'linear': m1·B1 = m2·B2, met in kitchens and at sellers; it
 * corrects more than the square root does.
 */
export type BloomRule = 'square-root' | 'linear';

/** Gelatine is sold from 50 to 300 Bloom (GMIA Gelatin Handbook 2012, read second-hand). */
export const BLOOM_RANGE = { min: 50, max: 300 } as const;

/** Passes a Bloom value inside the range gelatine is sold in. Error: `out-of-range`. */
export function checkBloom(bloom: number): Result<number> {
  return checkRange(bloom, 'A Bloom value', BLOOM_RANGE.min, BLOOM_RANGE.max);
}

/**
 * The mass in g of gelatine of `toBloom` that sets as firmly as `massG` of `fromBloom`.
 * Errors: `out-of-range` for a mass below 0 or a Bloom value no gelatine has.
 */
export function equivalentMassG(
  massG: number,
  fromBloom: number,
  toBloom: number,
  rule: BloomRule = 'square-root',
): Result<number> {
  const mass = checkRange(massG, 'The weight of gelatine in g', 0, MAX_BASE_AMOUNT);
  if (!mass.ok) return mass;
  for (const bloom of [fromBloom, toBloom]) {
    const checked = checkBloom(bloom);
    if (!checked.ok) return checked;
  }
  const ratio = fromBloom / toBloom;
  return ok(massG * (rule === 'square-root' ? Math.sqrt(ratio) : ratio));
}

/**
 * The level of setting of a mix: g per litre, as if the gelatine were of `referenceBloom` (200 by
 * default), so that recipes with different gelatines can be compared.
 * Errors: `out-of-range`.
 */
export function settingLevelGPerL(
  massG: number,
  bloom: number,
  volumeMl: number,
  referenceBloom = 200,
): Result<number> {
  const volume = checkRange(volumeMl, 'The volume in ml', 0, MAX_BASE_AMOUNT, { above: true });
  if (!volume.ok) return volume;
  const mass = equivalentMassG(massG, bloom, referenceBloom);
  return mass.ok ? ok((mass.value / volumeMl) * 1000) : mass;
}

/**
 * How professional sheets and the small sheets of the shops compare: three of the first do the work
 * of six of the second. Common practice, no source; by weight and Bloom where they are known.
 */
export const SHEET_EXCHANGE = { professional: 3, retail: 6 } as const;

/** A number of sheets of one size as the number of the other that does the same work (common practice, no source). Error: `out-of-range`. */
export function exchangeSheets(
  count: number,
  from: keyof typeof SHEET_EXCHANGE,
  to: keyof typeof SHEET_EXCHANGE,
): Result<number> {
  const checked = checkRange(count, 'A number of sheets', 0, MAX_BASE_AMOUNT);
  return checked.ok ? ok((count / SHEET_EXCHANGE[from]) * SHEET_EXCHANGE[to]) : checked;
}
