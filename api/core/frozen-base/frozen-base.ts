import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { freezingPointC } from './freezing-point.ts';
import type { Solutes } from './freezing-point.ts';
import {
  ALCOHOL_FREEZING_FACTOR,
  LACTOSE_IN_MSNF,
  LACTOSE_IN_WHEY_SOLIDS,
  SWEETENERS,
} from './sweeteners.ts';
import type { SweetenerKind } from './sweeteners.ts';

/**
 * What an ingredient of a frozen base is made of, as fractions of its mass; what they leave of 1 is
 * water. Lactose inside milk and whey solids is counted from them: give `sugars.lactose` only for
 * lactose added as such.
 */
export interface FrozenComposition {
  readonly fat?: number;
  /** Milk solids not fat. */
  readonly msnf?: number;
  readonly wheySolids?: number;
  readonly sugars?: Readonly<Partial<Record<SweetenerKind, number>>>;
  readonly alcohol?: number;
  readonly salt?: number;
  /** Fibre, cocoa, egg, stabiliser: solids that neither sweeten nor lower the freezing point. */
  readonly otherSolids?: number;
}

/** An ingredient of a frozen base. */
export interface FrozenIngredient {
  readonly name: string;
  readonly massG: number;
  readonly composition: FrozenComposition;
}

/** The balance of a mix. Percentages are by mass of the mix. */
export interface FrozenBase {
  readonly massG: number;
  readonly waterPercent: number;
  /** Everything but water and alcohol. */
  readonly totalSolidsPercent: number;
  readonly fatPercent: number;
  /** Milk solids not fat, with whey solids. */
  readonly msnfPercent: number;
  readonly alcoholPercent: number;
  /** Every sugar, with the lactose of milk and whey solids. */
  readonly sugarsPercent: Readonly<Partial<Record<SweetenerKind, number>>>;
  readonly totalSugarsPercent: number;
  /** Sweetness, as g sucrose per 100 g mix. */
  readonly sweetnessPercent: number;
  /** Freezing-point lowering, as g sucrose per 100 g mix. */
  readonly sucroseEquivalentPercent: number;
  /** The same, as g sucrose per 100 g water. */
  readonly sucroseEquivalentPer100gWater: number;
  readonly freezingPointC: number;
  /** What stays dissolved, per 100 g mix; for freezing curves. */
  readonly solutes: Solutes;
  /** Absent when the mix is too strong for the freezing table. */
  readonly serving?: ServingEstimate;
}

/** Where the mix is soft enough to serve: between these shares of its water frozen. */
export interface ServingEstimate {
  readonly warmestC: number;
  readonly coldestC: number;
  readonly frozenFractions: readonly [number, number];
}

/**
 * Around 65 to 70 % of the water frozen at the serving temperature (W. M. A. Mullan, Dairy Science
 * and Food Technology, freezing point curves). An estimate: air, fat and stabiliser soften too.
 */
export const SERVING_FROZEN_FRACTIONS: readonly [number, number] = [0.65, 0.7];

/**
 * Balances an ice cream or sorbet mix: solids, fat, milk solids, sugars by kind, sweetness, freezing
 * point and serving temperature by the sucrose-equivalent method (Goff and Hartel, Ice Cream, 7th ed.
 * 2013, pp. 181 to 184, read second-hand).
 * Errors: `out-of-range` for a fraction outside 0 to 1 or fractions that add up to more than 1 (the
 * path points at the ingredient), and for a mix beyond the freezing table; `missing-data` for no mix.
 */
export function balanceFrozenBase(ingredients: readonly FrozenIngredient[]): Result<FrozenBase> {
  const sums = { massG: 0, fat: 0, msnf: 0, wheySolids: 0, alcohol: 0, salt: 0, otherSolids: 0 };
  const sugars = new Map<SweetenerKind, number>();
  for (const [index, ingredient] of ingredients.entries()) {
    const checked = checkIngredient(ingredient, index);
    if (!checked.ok) return checked;
    const { massG, composition } = ingredient;
    sums.massG += massG;
    sums.fat += massG * (composition.fat ?? 0);
    sums.msnf += massG * (composition.msnf ?? 0);
    sums.wheySolids += massG * (composition.wheySolids ?? 0);
    sums.alcohol += massG * (composition.alcohol ?? 0);
    sums.salt += massG * (composition.salt ?? 0);
    sums.otherSolids += massG * (composition.otherSolids ?? 0);
    for (const [kind, fraction] of sugarEntries(composition)) {
      sugars.set(kind, (sugars.get(kind) ?? 0) + massG * fraction);
    }
  }
  if (!(sums.massG > 0)) return err(coreError('missing-data', 'There is no mix to balance.'));
  const percent = (massG: number) => (100 * massG) / sums.massG;
  const addedSugarsG = [...sugars.values()].reduce((sum, massG) => sum + massG, 0);
  const solidsG =
    sums.fat + sums.msnf + sums.wheySolids + sums.salt + sums.otherSolids + addedSugarsG;
  const milkLactoseG = LACTOSE_IN_MSNF * sums.msnf + LACTOSE_IN_WHEY_SOLIDS * sums.wheySolids;
  if (milkLactoseG > 0) sugars.set('lactose', (sugars.get('lactose') ?? 0) + milkLactoseG);
  let sweetnessG = 0;
  let sucroseEquivalentG = sums.alcohol * ALCOHOL_FREEZING_FACTOR;
  for (const [kind, massG] of sugars) {
    sweetnessG += massG * SWEETENERS[kind].sweetnessFactor;
    sucroseEquivalentG += massG * SWEETENERS[kind].freezingFactor;
  }
  const waterG = Math.max(0, sums.massG - solidsG - sums.alcohol);
  const solutes: Solutes = {
    sucroseEquivalentG: percent(sucroseEquivalentG),
    milkSolidsG: percent(sums.msnf + sums.wheySolids),
    saltG: percent(sums.salt),
    waterG: percent(waterG),
  };
  const freezing = freezingPointC(solutes);
  if (!freezing.ok) return freezing;
  return ok({
    massG: sums.massG,
    waterPercent: solutes.waterG,
    totalSolidsPercent: percent(solidsG),
    fatPercent: percent(sums.fat),
    msnfPercent: solutes.milkSolidsG,
    alcoholPercent: percent(sums.alcohol),
    sugarsPercent: Object.fromEntries([...sugars].map(([kind, massG]) => [kind, percent(massG)])),
    totalSugarsPercent: percent(addedSugarsG + milkLactoseG),
    sweetnessPercent: percent(sweetnessG),
    sucroseEquivalentPercent: solutes.sucroseEquivalentG,
    sucroseEquivalentPer100gWater: (100 * solutes.sucroseEquivalentG) / solutes.waterG,
    freezingPointC: freezing.value,
    solutes,
    ...servingOf(solutes),
  });
}

function servingOf(solutes: Solutes): { serving?: ServingEstimate } {
  const [least, most] = SERVING_FROZEN_FRACTIONS;
  const warmest = freezingPointC(solutes, least);
  const coldest = freezingPointC(solutes, most);
  if (!warmest.ok || !coldest.ok) return {};
  return {
    serving: {
      warmestC: warmest.value,
      coldestC: coldest.value,
      frozenFractions: SERVING_FROZEN_FRACTIONS,
    },
  };
}

function sugarEntries(composition: FrozenComposition): [SweetenerKind, number][] {
  return Object.entries(composition.sugars ?? {}) as [SweetenerKind, number][];
}

function checkIngredient(ingredient: FrozenIngredient, index: number): Result<unknown> {
  const mass = checkRange(
    ingredient.massG,
    `The weight of ${ingredient.name} in g`,
    0,
    MAX_BASE_AMOUNT,
    { path: [index, 'massG'] },
  );
  if (!mass.ok) return mass;
  const { fat, msnf, wheySolids, alcohol, salt, otherSolids } = ingredient.composition;
  const plain = { fat, msnf, wheySolids, alcohol, salt, otherSolids };
  const parts = [...Object.entries(plain), ...sugarEntries(ingredient.composition)];
  let sum = 0;
  for (const [part, fraction = 0] of parts) {
    const checked = checkRange(fraction, `The ${part} fraction of ${ingredient.name}`, 0, 1, {
      path: [index, 'composition', part],
    });
    if (!checked.ok) return checked;
    sum += fraction;
  }
  // A declared composition may miss 1 by rounding in its last printed digit, never by more.
  return checkRange(sum, `The parts of ${ingredient.name} together`, 0, 1 + 1e-9, {
    path: [index, 'composition'],
  });
}
