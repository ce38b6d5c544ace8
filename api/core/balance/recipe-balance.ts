import { doughFigures, doughLines } from './dough-figures.ts';
import type { BalanceSection } from './figures.ts';
import { frozenFigures } from './frozen-figures.ts';
import { finishedMix, isHeated, mixOf, type Mix, type MixBook, type MixRecipe } from './mix.ts';
import { syrupFigures } from './syrup-figures.ts';

/** A recipe at the size at hand: its lines as weighed, and all that it then gives. */
export interface RecipeToBalance extends MixRecipe {
  readonly kind: 'component' | 'dish';
  readonly storage: 'chilled' | 'frozen' | 'ambient';
  readonly holdsGelatine: boolean;
}

/** Shares of a mix that tell what it is. Common practice, no source. */
export const TELLING_SHARES = {
  /** A mix of which flour is less than this is thickened with it, no dough. */
  doughFlour: 0.15,
  /** A syrup is sugars, water and alcohol to this share or more, and holds this much sugar. */
  syrupSolution: 0.94,
  syrupSugars: 0.05,
  syrupFat: 0.01,
  frozenWater: 0.35,
  frozenSugars: 0.08,
} as const;

/**
 * The balances that a recipe's own data call for: baker's percentages where flour is a large part of
 * it; syrup figures where everything in it dissolves and it is sugar and water; the balance of a
 * frozen base where it is kept frozen and is no dough, nothing baked and nothing set with gelatine.
 * A dish is plated, not balanced. Nothing applies to a recipe without a known mass.
 */
export function recipeBalance(recipe: RecipeToBalance, book: MixBook): readonly BalanceSection[] {
  if (recipe.kind === 'dish' || recipe.lines.length === 0) return [];
  const mix = mixOf(recipe.lines, book);
  if (mix.massG <= 0) return [];
  const notes = mix.noMass.map((name) => `${name} has no known weight and is left out.`);
  const dough = doughSection(recipe, mix, book);
  if (dough) return [{ ...dough, notes }];
  const frozen = isFrozenBase(recipe, mix);
  if (frozen) {
    return [
      {
        kind: 'frozen-base',
        because: 'It is kept frozen, and nothing in it is baked or set with gelatine.',
        figures: frozenFigures(mix),
        percentages: [],
        notes,
      },
    ];
  }
  if (!isSyrup(recipe, mix)) return [];
  const finished =
    recipe.outputMassG === null ? null : finishedMix(mix, recipe.outputMassG, isHeated(recipe));
  const syrup = syrupFigures(mix, finished);
  return [
    {
      kind: 'syrup',
      because: 'Everything in it dissolves, and it is sugar and water.',
      figures: syrup.figures,
      percentages: [],
      notes: [...notes, ...syrup.notes],
    },
  ];
}

function doughSection(
  recipe: RecipeToBalance,
  mix: Mix,
  book: MixBook,
): Omit<BalanceSection, 'notes'> | null {
  const parts = doughLines(recipe.lines, book);
  const flourG = parts.reduce((sum, part) => sum + (part.isFlour ? part.massG : 0), 0);
  if (flourG < TELLING_SHARES.doughFlour * mix.massG) return null;
  const figures = doughFigures(parts, book);
  return (
    figures && {
      kind: 'dough',
      because: `Flour is ${Math.round((100 * flourG) / mix.massG)} % of it.`,
      ...figures,
    }
  );
}

function isFrozenBase(recipe: RecipeToBalance, mix: Mix): boolean {
  if (recipe.storage !== 'frozen' || recipe.holdsGelatine) return false;
  if (recipe.steps.some((step) => step.kind === 'bake')) return false;
  const waterShare = mix.partsG.water / mix.massG;
  const sweetShare = (mix.partsG.sugars + mix.partsG.alcohol) / mix.massG;
  const unknown = mix.unknown.water.length > 0 || mix.unknown.sugars.length > 0;
  // With something unknown in it nothing speaks against it: the figures then say what is missing.
  return (
    unknown ||
    (waterShare >= TELLING_SHARES.frozenWater && sweetShare >= TELLING_SHARES.frozenSugars)
  );
}

function isSyrup({ storage, holdsGelatine, steps }: RecipeToBalance, mix: Mix): boolean {
  if (storage === 'frozen' || holdsGelatine || mix.whole.length > 0) return false;
  if (steps.some((step) => step.kind === 'bake')) return false;
  const { water, sugars, alcohol, fat } = mix.partsG;
  if (fat > TELLING_SHARES.syrupFat * mix.massG) return false;
  if (sugars < TELLING_SHARES.syrupSugars * mix.massG) return false;
  // A cordial nobody has described may hide in it: then the figures name it as missing.
  if (mix.unsaid.length > 0) return water > 0 && mix.unsaid.length < 3;
  return water > 0 && water + sugars + alcohol >= TELLING_SHARES.syrupSolution * mix.massG;
}
