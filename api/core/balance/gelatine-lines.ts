import {
  convertGelatine,
  findEnzymeFruit,
  settingCautions,
  type ConvertedGelatine,
  type GelatineForm,
  type SettingCaution,
} from '../setting/index.ts';
import { allResults, ok, type Result } from '../shared/result.ts';
import type { Mix, MixBook, MixRecipe } from './mix.ts';

/** Gelatine the group keeps: an ingredient with a Bloom value, and a weight where it is a sheet. */
export interface KnownGelatine {
  readonly itemId: string;
  readonly name: string;
  readonly bloom: number;
  readonly sheetMassG: number | null;
}

/** The other ways to weigh one gelatine line, of equal firmness. */
export interface GelatineLine {
  readonly itemId: string;
  readonly name: string;
  readonly massG: number;
  readonly bloom: number;
  readonly options: readonly (ConvertedGelatine & { readonly itemId: string })[];
  readonly text: string;
  readonly method: string;
}

const METHOD =
  'equal firmness: c₁·√B₁ = c₂·√B₂ (GMIA Gelatin Handbook, from memory); sheets to the nearest half';

/**
 * What to use for `massG` of a gelatine, in every form the group keeps, its own form first.
 * Errors: `out-of-range` for a Bloom value no gelatine has.
 */
export function gelatineLine(
  line: KnownGelatine,
  massG: number,
  kept: readonly KnownGelatine[],
): Result<GelatineLine> {
  const forms = [line, ...kept.filter((one) => one.itemId !== line.itemId)];
  const options = allResults(
    forms.map((form) => {
      const converted = convertGelatine({ massG, bloom: line.bloom }, formOf(form));
      return converted.ok ? ok({ ...converted.value, itemId: form.itemId }) : converted;
    }),
  );
  if (!options.ok) return options;
  return ok({
    itemId: line.itemId,
    name: line.name,
    massG,
    bloom: line.bloom,
    options: options.value,
    text: `use ${options.value.map((option) => option.text).join(' or ')}`,
    method: METHOD,
  });
}

function formOf({ name, bloom, sheetMassG }: KnownGelatine): GelatineForm {
  if (sheetMassG === null) return { kind: 'powder', bloom };
  // 'Gelatine sheets, gold' is said as 'gold'.
  return { kind: 'sheet', grade: name.split(',').at(-1)?.trim() ?? name, bloom, sheetMassG };
}

/** From a tenth of the mix on, sour ingredients make it sour. Common practice, no source. */
const SOUR_SHARE = 0.1;
/** Fruit enzymes are spoilt by cooking through at this heat. From memory. */
const COOKED_THROUGH_C = 80;
const BOILS_C = 98;
const ETHANOL_G_PER_ML = 0.789;

/**
 * Fruit whose enzymes spoil a set, by name. What another recipe cooks through on its way in is safe;
 * this recipe's own lines may go in raw even where it heats others.
 */
function rawFruit(recipe: MixRecipe, book: MixBook, above: readonly string[] = []): string[] {
  const found = recipe.lines.flatMap(({ itemId }): string[] => {
    const name = book.nameOf(itemId);
    if (book.ingredient(itemId)) return findEnzymeFruit(name) ? [name] : [];
    const inside = book.recipe(itemId);
    if (!inside || above.includes(inside.itemId)) return [];
    const cooked = inside.steps.some((step) => (step.temperatureC ?? 0) >= COOKED_THROUGH_C);
    return cooked ? [] : rawFruit(inside, book, [...above, recipe.itemId]);
  });
  return [...new Set(found)];
}

/** What weakens a gelatine set, as far as the recipe's data tell. */
export function gelatineCautions(
  recipe: MixRecipe,
  mix: Mix,
  book: MixBook,
): readonly SettingCaution[] {
  // By volume, the mix taken as 1 g/ml: an estimate, close enough for a caution.
  const ethanolMl = mix.partsG.alcohol / ETHANOL_G_PER_ML;
  const alcoholPercent = mix.massG > 0 ? (100 * ethanolMl) / mix.massG : 0;
  return settingCautions({
    acidic: mix.sourG >= SOUR_SHARE * mix.massG && mix.sourG > 0,
    alcoholPercent: Number(alcoholPercent.toFixed(0)),
    rawFruit: rawFruit(recipe, book),
    boiled: recipe.steps.some((step) => (step.temperatureC ?? 0) >= BOILS_C),
  });
}
