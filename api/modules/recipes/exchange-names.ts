import type { ExchangedVersion, ExchangeProblem } from './exchange.ports.ts';
import type { Recipe, RecipeVersion, VersionInput, VersionToSave } from './recipes.ports.ts';
import { toInput } from './write-version.ts';

/** Names are compared without regard to case. */
export const nameKey = (name: string): string => name.trim().toLowerCase();

/** A version with names in place of ids. */
export function exchanged(
  version: RecipeVersion,
  names: ReadonlyMap<string, string>,
): ExchangedVersion {
  const nameOf = (id: string | null): string | null => (id === null ? null : (names.get(id) ?? id));
  const { lines, byProducts, ...fields } = toInput(version);
  return {
    ...fields,
    lines: lines.map(({ ingredientId, componentId, ...line }) => ({
      ingredient: nameOf(ingredientId),
      component: nameOf(componentId),
      ...line,
    })),
    byProducts: byProducts.map(({ componentId, ...byProduct }) => ({
      component: names.get(componentId) ?? componentId,
      ...byProduct,
    })),
  };
}

/** A version of a file with ids in place of names; names nobody knows become problems and ''. */
export function withIds(
  version: ExchangedVersion,
  at: string,
  ingredients: ReadonlyMap<string, string>,
  components: ReadonlyMap<string, string>,
  problems: ExchangeProblem[],
): VersionInput {
  const idOf = (name: string, known: ReadonlyMap<string, string>, pointer: string): string => {
    const id = known.get(nameKey(name));
    if (id === undefined) problems.push({ pointer, message: `There is no ${name}.` });
    return id ?? '';
  };
  const { lines, byProducts, ...fields } = version;
  return {
    ...fields,
    lines: lines.map(({ ingredient, component, ...line }, i) => ({
      ...line,
      ingredientId:
        ingredient === null
          ? null
          : idOf(ingredient, ingredients, `${at}/version/lines/${i}/ingredient`),
      componentId:
        component === null
          ? null
          : idOf(component, components, `${at}/version/lines/${i}/component`),
    })),
    byProducts: byProducts.map(({ component, ...byProduct }, i) => ({
      ...byProduct,
      componentId: idOf(component, components, `${at}/version/byProducts/${i}/component`),
    })),
  };
}

/** What stands for a version of the file while others are read. */
export function standIn(recipe: Recipe, input: VersionInput): RecipeVersion {
  return {
    id: '',
    recipeId: recipe.id,
    number: 0,
    status: 'draft',
    firstServiceDate: null,
    withdrawnFrom: null,
    ...input,
    output: { amount: { value: 1, unit: recipe.baseUnit }, quantity: 1 },
    lines: [],
    steps: [],
    byProducts: [],
    createdBy: '',
    createdAt: new Date(0),
    submittedBy: null,
    submittedAt: null,
    publishedBy: null,
    publishedAt: null,
    rev: 0,
  };
}

/** The same once the version has been read. */
export function standInOf(recipe: Recipe, version: VersionToSave): RecipeVersion {
  return {
    ...standIn(recipe, toInput(version)),
    output: version.output,
    lines: version.lines.map((line, i) => ({ ...line, id: String(i) })),
    byProducts: version.byProducts.map((byProduct, i) => ({ ...byProduct, id: String(i) })),
  };
}
