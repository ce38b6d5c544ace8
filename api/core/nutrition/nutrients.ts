import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';

/**
 * What is known of 100 g of an ingredient, edible part. A member left out is unknown, never zero;
 * of the special carriers at the end (polyols, alcohol and so on) one left out counts as none,
 * since data sets name them only where they are.
 */
export interface NutrientData {
  readonly source?: string;
  readonly fatG?: number;
  readonly saturatesG?: number;
  readonly monounsaturatesG?: number;
  readonly polyunsaturatesG?: number;
  /** As the law has it: metabolised, polyols included, fibre not. */
  readonly carbohydrateG?: number;
  /** What is left when water, protein, fat, ash and alcohol are taken off: fibre included. */
  readonly carbohydrateByDifferenceG?: number;
  readonly sugarsG?: number;
  readonly starchG?: number;
  readonly fibreG?: number;
  readonly proteinG?: number;
  readonly saltG?: number;
  readonly sodiumMg?: number;
  readonly polyolsG?: number;
  readonly erythritolG?: number;
  readonly salatrimsG?: number;
  readonly alcoholG?: number;
  readonly organicAcidsG?: number;
}

/** Figures that are carried through recipes, each in g. */
export const NUTRIENTS = [
  'fat',
  'saturates',
  'monounsaturates',
  'polyunsaturates',
  'carbohydrate',
  'sugars',
  'polyols',
  'starch',
  'fibre',
  'protein',
  'salt',
  'erythritol',
  'salatrims',
  'alcohol',
  'organicAcids',
] as const;
export type Nutrient = (typeof NUTRIENTS)[number];

/** Grams of each; null is unknown. */
export type NutrientAmounts = Readonly<Record<Nutrient, number | null>>;

/** Salt = sodium × 2.5. Source: Annex I, point 11, of Regulation (EU) 1169/2011. */
export const SALT_PER_SODIUM = 2.5;

/**
 * Reads data in the law's terms: carbohydrate by difference less fibre (and less organic acids,
 * where they are given, which the difference takes in), salt from sodium.
 *
 * Errors: `out-of-range` for an amount below zero or above 100 g in 100 g. Sugars above
 * carbohydrate are let stand: measured sugars may pass a carbohydrate got by difference.
 */
export function nutrientsPer100g(data: NutrientData): Result<NutrientAmounts> {
  const fault = findFault(data);
  if (fault !== undefined) return err(fault);
  const saltFromSodium =
    data.sodiumMg === undefined ? null : (data.sodiumMg / 1000) * SALT_PER_SODIUM;
  return ok({
    fat: data.fatG ?? null,
    saturates: data.saturatesG ?? null,
    monounsaturates: data.monounsaturatesG ?? null,
    polyunsaturates: data.polyunsaturatesG ?? null,
    carbohydrate: data.carbohydrateG ?? carbohydrateLessFibre(data),
    sugars: data.sugarsG ?? null,
    polyols: data.polyolsG ?? 0,
    starch: data.starchG ?? null,
    fibre: data.fibreG ?? null,
    protein: data.proteinG ?? null,
    salt: data.saltG ?? saltFromSodium,
    erythritol: data.erythritolG ?? 0,
    salatrims: data.salatrimsG ?? 0,
    alcohol: data.alcoholG ?? 0,
    organicAcids: data.organicAcidsG ?? 0,
  });
}

function carbohydrateLessFibre(data: NutrientData): number | null {
  const { carbohydrateByDifferenceG, fibreG, organicAcidsG = 0 } = data;
  if (carbohydrateByDifferenceG === undefined || fibreG === undefined) return null;
  // Published figures are rounded one by one, so the difference may fall a hair below zero.
  return Math.max(0, carbohydrateByDifferenceG - fibreG - organicAcidsG);
}

function findFault(data: NutrientData): CoreError | undefined {
  for (const [name, value] of Object.entries(data)) {
    if (typeof value !== 'number') continue;
    const largest = name === 'sodiumMg' ? 100_000 : 100;
    if (value >= 0 && value <= largest) continue;
    return coreError('out-of-range', `100 g cannot hold ${value} of ${name}.`, {
      path: [name],
      detail: { value, unit: name === 'sodiumMg' ? 'mg' : 'g' },
    });
  }
  return undefined;
}
