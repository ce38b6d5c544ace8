import type { RecipeGraph } from '../recipe-graph/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { EnergyFactor } from './energy.ts';
import { energyOf } from './energy.ts';
import { unitMasses } from './item-mass.ts';
import type { Nutrient, NutrientAmounts, NutrientData } from './nutrients.ts';
import { NUTRIENTS, nutrientsPer100g } from './nutrients.ts';
import { weighedAmounts } from './weighed-amounts.ts';

export interface NutritionBook {
  /** By ingredient; null or absent: nothing known. */
  readonly nutrients: ReadonlyMap<string, NutrientData | null>;
  /** Mass of a base unit, g, for items in 'ml' and 'each', where it is known. */
  readonly massPerBaseUnit?: (itemId: string) => number | undefined;
}

/** Why a figure is missing: the ingredients that lack it. */
export interface MissingNutrient {
  readonly nutrient: Nutrient;
  readonly itemIds: readonly string[];
}

export interface NutritionFigures {
  readonly itemId: string;
  /** Mass of one base unit, g: of a portion for a dish. Null where it is not known. */
  readonly unitMassG: number | null;
  /** Null where the mass is not known; members null where something is missing. */
  readonly per100g: NutrientAmounts | null;
  readonly energyPer100g: EnergyFactor | null;
  /** Of one base unit: of a portion for a dish. */
  readonly perUnit: NutrientAmounts;
  readonly energyPerUnit: EnergyFactor | null;
  readonly missing: readonly MissingNutrient[];
  /** Ingredients, or the item itself, of unknown mass: no nutrients, or no figure per 100 g. */
  readonly noMassItemIds: readonly string[];
  /**
   * Recipes with more than one output on the way: their nutrients are shared out by mass, which is
   * an estimate (a syrup and its fruit are not alike).
   */
  readonly sharedByMassItemIds: readonly string[];
}

/**
 * Nutrients of an item through its recipes. A line brings what its weighed (edible) quantity
 * holds; what cooks away is water, so the nutrients of a batch stay and its mass is that of its
 * outputs. A per-batch line counts pro rata. Nothing is rounded.
 *
 * @returns ok: figures with nulls for what is missing; errors `missing-component` for an unknown
 *          item, `out-of-range` for data no food can have
 */
export function nutritionOf(
  graph: RecipeGraph,
  book: NutritionBook,
  itemId: string,
): Result<NutritionFigures> {
  if (!graph.items.has(itemId)) {
    return err(
      coreError('missing-component', `${itemId} is not among the recipes.`, { detail: { itemId } }),
    );
  }
  const masses = unitMasses(graph, book.massPerBaseUnit ?? (() => undefined));
  const held = weighedAmounts(graph, itemId, masses);
  const totals: Record<Nutrient, number> = zeroes();
  const lacking = new Map(NUTRIENTS.map((name) => [name, new Set(held.untold)]));
  for (const [id, quantity] of held.ingredients) {
    const massG = masses.get(id);
    const data = book.nutrients.get(id) ?? null;
    const known = data === null || massG === undefined ? null : nutrientsPer100g(data);
    if (known !== null && !known.ok) {
      return err({ ...known.error, path: [id, ...(known.error.path ?? [])] });
    }
    for (const name of NUTRIENTS) {
      const per100g = known?.value[name] ?? null;
      if (per100g === null || massG === undefined) lacking.get(name)?.add(id);
      else totals[name] += (per100g / 100) * quantity * massG;
    }
  }
  const perUnit = amounts((name) => ((lacking.get(name)?.size ?? 0) > 0 ? null : totals[name]));
  const unitMassG = masses.get(itemId) ?? null;
  const per100g =
    unitMassG === null
      ? null
      : amounts((name) => {
          const amount = perUnit[name];
          return amount === null ? null : (amount / unitMassG) * 100;
        });
  return ok({
    itemId,
    unitMassG,
    per100g,
    energyPer100g: per100g === null ? null : energyOf(per100g),
    perUnit,
    energyPerUnit: energyOf(perUnit),
    missing: NUTRIENTS.flatMap((nutrient) => {
      const itemIds = [...(lacking.get(nutrient) ?? [])];
      return itemIds.length > 0 ? [{ nutrient, itemIds }] : [];
    }),
    noMassItemIds: [itemId, ...held.ingredients.keys()].filter((id) => !masses.has(id)),
    sharedByMassItemIds: held.sharedByMass,
  });
}

function amounts(of: (name: Nutrient) => number | null): NutrientAmounts {
  return Object.fromEntries(
    NUTRIENTS.map((name) => [name, of(name)]),
  ) as unknown as NutrientAmounts;
}

function zeroes(): Record<Nutrient, number> {
  return Object.fromEntries(NUTRIENTS.map((name) => [name, 0])) as Record<Nutrient, number>;
}
