import type { NutrientAmounts } from './nutrients.ts';

/** Energy per gram. */
export interface EnergyFactor {
  readonly kJ: number;
  readonly kcal: number;
}

/**
 * Conversion factors of Annex XIV to Regulation (EU) 1169/2011. Kilojoules and kilocalories are
 * each added up by their own factors, not turned into one another.
 */
export const ENERGY_FACTORS = {
  carbohydrate: { kJ: 17, kcal: 4 },
  polyols: { kJ: 10, kcal: 2.4 },
  protein: { kJ: 17, kcal: 4 },
  fat: { kJ: 37, kcal: 9 },
  salatrims: { kJ: 25, kcal: 6 },
  alcohol: { kJ: 29, kcal: 7 },
  organicAcids: { kJ: 13, kcal: 3 },
  fibre: { kJ: 8, kcal: 2 },
  erythritol: { kJ: 0, kcal: 0 },
} as const satisfies Readonly<Record<string, EnergyFactor>>;

/**
 * Energy of the given amounts; null where fat, carbohydrate, protein or fibre is unknown.
 * Polyols lie inside carbohydrate and erythritol inside polyols, salatrims inside fat: each gram
 * is counted once, by its own factor.
 */
export function energyOf(amounts: NutrientAmounts): EnergyFactor | null {
  const { fat, carbohydrate, protein, fibre } = amounts;
  if (fat === null || carbohydrate === null || protein === null || fibre === null) return null;
  const polyols = amounts.polyols ?? 0;
  const erythritol = amounts.erythritol ?? 0;
  const salatrims = amounts.salatrims ?? 0;
  const grams: Readonly<Record<keyof typeof ENERGY_FACTORS, number>> = {
    carbohydrate: carbohydrate - polyols,
    polyols: polyols - erythritol,
    erythritol,
    protein,
    fat: fat - salatrims,
    salatrims,
    alcohol: amounts.alcohol ?? 0,
    organicAcids: amounts.organicAcids ?? 0,
    fibre,
  };
  let kJ = 0;
  let kcal = 0;
  for (const [carrier, factor] of Object.entries(ENERGY_FACTORS)) {
    const gram = grams[carrier as keyof typeof ENERGY_FACTORS];
    kJ += gram * factor.kJ;
    kcal += gram * factor.kcal;
  }
  return { kJ, kcal };
}
