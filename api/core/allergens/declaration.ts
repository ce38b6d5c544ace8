import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { AllergenCode } from './allergen-codes.ts';
import { parseAllergenCode } from './allergen-codes.ts';

/**
 * What the supplier of an ingredient declares. Exceptions of the law (fully refined soya oil,
 * glucose syrup from wheat) are the supplier's to claim, by leaving the allergen out.
 */
export interface AllergenDeclaration {
  readonly contains: readonly AllergenCode[];
  readonly mayContain: readonly AllergenCode[];
  /** Total SO₂, mg per kg of the ingredient as used, where the supplier states it. */
  readonly sulphitesMgPerKg?: number;
}

/** By ingredient. Null or absent: nothing declared, which is not the same as nothing in it. */
export type AllergenDeclarations = ReadonlyMap<string, AllergenDeclaration | null>;

/**
 * Reads a declaration from plain texts. Errors: `invalid-code` as `parseAllergenCode`, with the
 * path; `out-of-range` for a sulphite amount below zero, above a kilogram in a kilogram, or of zero
 * where sulphites are declared.
 */
export function readDeclaration(raw: {
  readonly contains: readonly string[];
  readonly mayContain: readonly string[];
  readonly sulphitesMgPerKg?: number;
}): Result<AllergenDeclaration> {
  const read = (name: 'contains' | 'mayContain'): Result<AllergenCode[]> => {
    const codes: AllergenCode[] = [];
    for (const [index, text] of raw[name].entries()) {
      const code = parseAllergenCode(text);
      if (!code.ok) return err({ ...code.error, path: [name, index] });
      if (!codes.includes(code.value)) codes.push(code.value);
    }
    return ok(codes);
  };
  const contains = read('contains');
  if (!contains.ok) return contains;
  const mayContain = read('mayContain');
  if (!mayContain.ok) return mayContain;
  const mg = raw.sulphitesMgPerKg;
  if (mg !== undefined && !(mg >= 0 && mg <= 1e6)) {
    return err(
      coreError('out-of-range', 'Sulphites are 0 or more milligrams in a kilogram.', {
        path: ['sulphitesMgPerKg'],
        detail: { value: mg, unit: 'mg/kg' },
      }),
    );
  }
  if (mg === 0 && contains.value.includes('sulphites')) {
    return err(
      coreError('out-of-range', 'Sulphites are declared, so their amount cannot be 0.', {
        path: ['sulphitesMgPerKg'],
        detail: { value: mg, unit: 'mg/kg' },
      }),
    );
  }
  return ok({
    contains: contains.value,
    mayContain: mayContain.value,
    ...(mg === undefined ? {} : { sulphitesMgPerKg: mg }),
  });
}

/** mg of SO₂ per kg of an ingredient; 'unknown' where it bears sulphites of no stated amount. */
export function sulphitesOf(declared: AllergenDeclaration): number | 'unknown' | 'none' {
  const mgPerKg = declared.sulphitesMgPerKg ?? 0;
  if (mgPerKg > 0) return mgPerKg;
  return declared.contains.includes('sulphites') ? 'unknown' : 'none';
}
