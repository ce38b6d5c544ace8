import { Duration } from 'luxon';
import {
  displayAmount,
  findUnit,
  formatAmount,
  parseAmount,
  parseAmountLine,
  type BaseUnit,
} from '../../core/quantity/index.ts';
import type { ExchangedLine, ExchangedRecipe, ExchangeProblem } from './exchange.ports.ts';
import { nameKey } from './exchange-names.ts';
import type { Larder } from './larder.ts';
import type { RecipeKind, StepInput, WrittenAmount } from './recipes.ports.ts';
import type { NamedVersion } from './versions.service.ts';

/** A recipe in the vocabulary of schema.org (type Recipe), as JSON-LD. */
export interface SchemaOrgRecipe {
  readonly '@context': 'https://schema.org';
  readonly '@type': 'Recipe';
  readonly identifier: string;
  readonly name: string;
  readonly version: number;
  readonly datePublished?: string;
  readonly description?: string;
  readonly recipeYield: string;
  readonly recipeIngredient: readonly string[];
  readonly recipeInstructions: readonly {
    readonly '@type': 'HowToStep';
    readonly position: number;
    readonly text: string;
  }[];
  /** Working time and all the time, ISO 8601. */
  readonly prepTime: string;
  readonly totalTime: string;
}

/** A version as schema.org has it. Yields, batch sizes and storage have no place there. */
export function toSchemaOrg({ version, recipe, items }: NamedVersion): SchemaOrgRecipe {
  const working = version.steps.reduce((sum, step) => sum + step.workingMin, 0);
  const waiting = version.steps.reduce((sum, step) => sum + step.waitingMin, 0);
  return {
    '@context': 'https://schema.org',
    '@type': 'Recipe',
    identifier: version.id,
    name: recipe.name,
    version: version.number,
    ...(version.firstServiceDate === null ? {} : { datePublished: version.firstServiceDate }),
    ...(version.note === null ? {} : { description: version.note }),
    recipeYield: displayAmount(version.output.quantity, recipe.baseUnit).text,
    recipeIngredient: version.lines.map((line) => {
      const name = items.get(line.ingredientId ?? line.componentId ?? '')?.name ?? '';
      return `${formatAmount(line.amount)} ${name}`;
    }),
    recipeInstructions: version.steps.map(({ text }, i) => ({
      '@type': 'HowToStep',
      position: i + 1,
      text,
    })),
    prepTime: inIso(working),
    totalTime: inIso(working + waiting),
  };
}

function inIso(minutes: number): string {
  return minutes === 0
    ? 'PT0M'
    : (Duration.fromObject({ minutes }).shiftTo('hours', 'minutes').toISO() ?? 'PT0M');
}

/** What schema.org does not say and a recipe here needs. */
export interface SchemaOrgSettings {
  readonly kind: RecipeKind;
  readonly station: string;
  readonly shelfLifeMin: number;
}

/** The parts of a schema.org recipe that are read; everything else is left alone. */
export interface ReadableRecipe {
  readonly name: string;
  readonly description: string | null;
  readonly yields: readonly string[];
  readonly ingredients: readonly string[];
  readonly steps: readonly string[];
  readonly prepTime: string | null;
  readonly cookTime: string | null;
  readonly totalTime: string | null;
}

/**
 * Turns a schema.org recipe into one of ours. Ingredient texts are read by the grammar of amounts and
 * matched to ingredients and components by name. The working time stands on the first step, what is
 * left of the total on the last: schema.org has times for the whole only.
 */
export function fromSchemaOrg(
  source: ReadableRecipe,
  settings: SchemaOrgSettings,
  larder: Larder,
): { readonly recipe: ExchangedRecipe | null; readonly problems: readonly ExchangeProblem[] } {
  const problems: ExchangeProblem[] = [];
  const output = readYield(source.yields, settings.kind, problems);
  const lines = source.ingredients.flatMap(
    (text, i) => readLine(text, `/recipeIngredient/${i}`, larder, problems) ?? [],
  );
  const minutes = (text: string | null, field: string): number => {
    const read = text === null ? 0 : Duration.fromISO(text).as('minutes');
    if (Number.isFinite(read) && read >= 0) return Math.round(read);
    problems.push({ pointer: `/${field}`, message: 'Write the time as ISO 8601 has it: PT1H30M.' });
    return 0;
  };
  const working = minutes(source.prepTime, 'prepTime');
  const cooking = minutes(source.cookTime, 'cookTime');
  const total = Math.max(minutes(source.totalTime, 'totalTime'), working + cooking);
  if (!output || problems.length > 0) return { recipe: null, problems };
  const recipe: ExchangedRecipe = {
    kind: settings.kind,
    name: source.name,
    baseUnit: settings.kind === 'dish' ? 'each' : baseUnitOf(output.unit),
    station: settings.station,
    version: {
      output,
      pieceMassG: null,
      densityGPerMl: null,
      batch: { min: 1, max: null, multiple: 1 },
      shelfLifeMin: settings.shelfLifeMin,
      storage: 'chilled',
      cautions: [],
      note: source.description,
      lines,
      steps: stepsOf(source.steps, working, total - working),
      byProducts: [],
    },
  };
  return { recipe, problems };
}

function readYield(
  yields: readonly string[],
  kind: RecipeKind,
  problems: ExchangeProblem[],
): { readonly value: number; readonly unit: string } | null {
  for (const text of yields) {
    const portions = /(\d+)\s*(servings?|portions?|people|persons?|serves)?/i.exec(text);
    if (kind === 'dish' && portions?.[1]) return { value: Number(portions[1]), unit: 'each' };
    const amount = parseAmount(text.replace(/^(makes|serves|yields?)\s+/i, ''));
    if (kind === 'component' && amount.ok) {
      return { value: amount.value.value, unit: amount.value.unit };
    }
  }
  const message =
    kind === 'dish' ? 'Say how many portions it makes.' : 'Say how much it makes: 1.2 kg, 24 each.';
  problems.push({ pointer: '/recipeYield', message });
  return null;
}

function baseUnitOf(unit: string): BaseUnit {
  const dimension = findUnit(unit)?.dimension;
  return dimension === 'mass' ? 'g' : dimension === 'volume' ? 'ml' : 'each';
}

function readLine(
  text: string,
  pointer: string,
  larder: Larder,
  problems: ExchangeProblem[],
): ExchangedLine | null {
  const measures = [
    ...new Set([...larder.ingredients.values()].flatMap((i) => i.measures.map((m) => m.name))),
  ];
  const read = parseAmountLine(text, { measures });
  if (!read.ok) {
    problems.push({ pointer, message: read.error.message });
    return null;
  }
  const { amount, rest } = read.value;
  const item = findItem(rest, larder);
  if (!item) {
    const message = `There is no ingredient or component called ${rest.slice(0, 80) || '(nothing)'}.`;
    problems.push({ pointer, message });
    return null;
  }
  const written: WrittenAmount = { value: amount.value, unit: amount.unit };
  return {
    ...item,
    amount: written,
    trimYield: null,
    cookingYield: null,
    yields: [],
    siteMay: [],
    perBatch: false,
    scaleStep: null,
  };
}

/** By the whole text, else by what stands before a comma or bracket; that then becomes the note. */
function findItem(
  text: string,
  larder: Larder,
): Pick<ExchangedLine, 'ingredient' | 'component' | 'note'> | null {
  const [short = '', ...more] = text.split(/\s*[,(]\s*/);
  for (const [name, note] of [
    [text, null],
    [short, more.join(', ').replace(/\)$/, '') || null],
  ] as const) {
    const key = nameKey(name);
    for (const ingredient of larder.ingredients.values()) {
      if (nameKey(ingredient.name) === key && !ingredient.archived) {
        return { ingredient: ingredient.name, component: null, note };
      }
    }
    for (const recipe of larder.recipes.values()) {
      if (nameKey(recipe.name) === key && recipe.kind === 'component' && !recipe.archived) {
        return { ingredient: null, component: recipe.name, note };
      }
    }
  }
  return null;
}

function stepsOf(texts: readonly string[], workingMin: number, waitingMin: number): StepInput[] {
  return texts.map((text, i) => ({
    text,
    kind: 'work',
    workingMin: i === 0 ? workingMin : 0,
    waitingMin: i === texts.length - 1 ? waitingMin : 0,
    equipment: null,
    temperatureC: null,
    holdMaxMin: null,
    cooling: false,
    yields: [],
    siteMay: [],
  }));
}
