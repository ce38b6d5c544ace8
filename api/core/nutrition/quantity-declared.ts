import type { RecipeGraph } from '../recipe-graph/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { unitMasses } from './item-mass.ts';
import { usersFirst, weighedAmounts } from './weighed-amounts.ts';

/** The declared quantity of an ingredient or component, or of several as one category. */
export interface QuantityDeclared {
  readonly itemIds: readonly string[];
  /** Weighed in, g per 100 g of the product: of the bowl, or of the finished weight where moisture is lost. */
  readonly percent: number;
  readonly basis: 'mixing-bowl' | 'finished-weight';
  /** Above 100 % the law has the weight used per 100 g of product stated instead. */
  readonly text: string;
}

/**
 * Quantitative declaration of ingredients (QUID): weight at the time of use over the weight of all
 * ingredients; over the finished weight where cooking took moisture away.
 *
 * @param itemIds  what is declared as one figure: an ingredient, a category of them, a component
 *                 (as it weighs when it is used)
 * @returns errors `missing-component` for an unknown item, `missing-ingredient` where none of what
 *          is declared is in it, `out-of-range` where one is part of another, `no-density` where a
 *          mass is not known, `recipe-cycle` where the content cannot be told
 *
 * Source: Article 22 and Annex VIII of Regulation (EU) 1169/2011; Commission Notice 2017/C 393/05.
 * Whole per cents, below 5 % to the half: from memory of the notice.
 */
export function quantityDeclared(
  graph: RecipeGraph,
  itemId: string,
  itemIds: readonly string[],
  massPerBaseUnit: (itemId: string) => number | undefined = () => undefined,
): Result<QuantityDeclared> {
  if (!graph.items.has(itemId)) {
    return err(
      coreError('missing-component', `${itemId} is not among the recipes.`, { detail: { itemId } }),
    );
  }
  const masses = unitMasses(graph, massPerBaseUnit);
  const held = weighedAmounts(graph, itemId, masses);
  if (held.untold.length > 0) {
    return err(
      coreError('recipe-cycle', 'What is in a by-product cannot be told.', {
        detail: { itemIds: held.untold },
      }),
    );
  }
  const counted = new Set(itemIds);
  for (const id of counted) {
    const inside = usersFirst(graph, id).order.find((below) => below !== id && counted.has(below));
    if (inside === undefined) continue;
    return err(
      coreError('out-of-range', `${nameOf(graph, inside)} would be counted twice.`, {
        path: ['itemIds'],
        detail: { itemId: inside, inside: id },
      }),
    );
  }
  let bowlG = 0;
  for (const [id, quantity] of held.ingredients) {
    const unitMassG = masses.get(id);
    if (unitMassG === undefined) return err(noMass(graph, id));
    bowlG += quantity * unitMassG;
  }
  let askedG = 0;
  for (const id of counted) {
    const unitMassG = masses.get(id);
    if (unitMassG === undefined && held.items.has(id)) return err(noMass(graph, id));
    askedG += (held.items.get(id) ?? 0) * (unitMassG ?? 0);
  }
  if (askedG === 0) {
    return err(
      coreError('missing-ingredient', 'Nothing of what is to be declared is in it.', {
        path: ['itemIds'],
        detail: { itemIds },
      }),
    );
  }
  const finishedG = masses.get(itemId);
  if (finishedG === undefined) return err(noMass(graph, itemId));
  // A billionth lighter is arithmetic noise, not baking.
  const lost = finishedG < bowlG * (1 - 1e-9);
  const percent = (askedG / (lost ? finishedG : bowlG)) * 100;
  return ok({
    itemIds,
    percent,
    basis: lost ? 'finished-weight' : 'mixing-bowl',
    text: percent > 100 ? `${Math.round(percent)} g per 100 g of product` : `${rounded(percent)} %`,
  });
}

function rounded(percent: number): number {
  return percent < 5 ? Math.round(percent * 2) / 2 : Math.round(percent);
}

function noMass(graph: RecipeGraph, itemId: string) {
  return coreError('no-density', `${nameOf(graph, itemId)} needs a density or a piece's mass.`, {
    detail: { itemId },
  });
}

function nameOf(graph: RecipeGraph, itemId: string): string {
  return graph.items.get(itemId)?.name ?? itemId;
}
