import type { Pack } from '../api/types.ts';
import { wholeList } from '../api/whole-list.ts';

/** What a supplier sells: its packs, their ingredients, and the categories of those, by name. */
export interface Sold {
  readonly packs: readonly { readonly id: string; readonly name: string }[];
  readonly ingredients: readonly { readonly id: string; readonly name: string }[];
  readonly categories: readonly string[];
}

interface IngredientHead {
  readonly id: string;
  readonly name: string;
  readonly category: string | null;
}

const byName = (a: { readonly name: string }, b: { readonly name: string }): number =>
  a.name.localeCompare(b.name);

/** @throws Problem, NoAnswer */
export async function soldBy(supplierId: string): Promise<Sold> {
  const packs = await wholeList<Pack>('/v1/packs', { supplierId, archived: 'false' });
  const ids = new Set(packs.map((pack) => pack.ingredientId));
  const known = await wholeList<IngredientHead>('/v1/ingredients');
  const ingredients = known.filter(({ id }) => ids.has(id)).sort(byName);
  const categories = ingredients.flatMap(({ category }) => (category === null ? [] : [category]));
  return {
    packs: [...packs].sort(byName),
    ingredients,
    categories: [...new Set(categories)].sort(),
  };
}
