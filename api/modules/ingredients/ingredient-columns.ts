import {
  numberCell,
  wordsCell,
  yesNoCell,
  type CsvProblem,
  type CsvRecord,
} from '../platform/index.ts';
import { merge, part, put, type Body, type Column } from './body-column.ts';
import { COMPOSITION_COLUMNS } from './composition-columns.ts';
import type { Ingredient, IngredientInput } from './ingredients.ports.ts';

const NUTRIENTS = {
  energy_kcal: 'energyKcal',
  fat_g: 'fatG',
  saturates_g: 'saturatesG',
  carbohydrate_g: 'carbohydrateG',
  carbohydrate_by_difference_g: 'carbohydrateByDifferenceG',
  sugars_g: 'sugarsG',
  fibre_g: 'fibreG',
  protein_g: 'proteinG',
  salt_g: 'saltG',
  sodium_mg: 'sodiumMg',
  water_g: 'waterG',
  alcohol_g: 'alcoholG',
} as const;

const text = (name: string): Column => ({
  pointer: `/${name}`,
  set: (body, cell) => {
    body[name] = cell === '' ? null : cell;
    return undefined;
  },
});

const plainNumber = (name: string): Column => ({
  pointer: `/${name}`,
  set: (body, cell) => put(numberCell(cell), (value) => (body[name] = value)),
});

/** A figure that makes the member it stands in; an empty cell takes the member away. */
const figure = (name: string, key: string, whenEmpty: Body | null): Column => ({
  pointer: `/${name}/${key}`,
  set: (body, cell) =>
    put(numberCell(cell), (value) => {
      if (value === null) body[name] = whenEmpty;
      else merge(body, name, { [key]: value });
    }),
});

const sourceOf = (name: string): Column => ({
  pointer: `/${name}/source`,
  set: (body, cell) => {
    if (part(body, name) !== null) merge(body, name, { source: cell === '' ? null : cell });
    else if (cell !== '') return 'A source is given without its figure.';
    return undefined;
  },
});

/** An empty cell declares nothing; 'none' declares that there is none. */
const codes = (key: 'contains' | 'mayContain'): Column => ({
  pointer: `/allergens/${key}`,
  set: (body, cell) => {
    if (cell === '' && part(body, 'allergens') === null) return undefined;
    const words = cell.toLowerCase() === 'none' ? [] : wordsCell(cell);
    if (cell === '' && key === 'contains') body.allergens = null;
    else merge(body, 'allergens', { contains: [], ...part(body, 'allergens'), [key]: words });
    return undefined;
  },
});

const measures: Column = {
  pointer: '/measures',
  set: (body, cell) => {
    const found: Body[] = [];
    // A measure that stays as it is keeps its source: the column has no room for it.
    const before = (body.measures ?? []) as IngredientInput['measures'];
    for (const item of cell.split(/[;|]/).filter((one) => one.trim() !== '')) {
      const [name = '', grams = ''] = item.split('=').map((side) => side.trim());
      const massG = numberCell(grams);
      if ('message' in massG || massG.value === null || name === '') {
        return 'Write measures as name=grams, separated by semicolons: sheet=2; cup=125.';
      }
      const same = before.find((one) => one.name === name && one.massG === massG.value);
      found.push({ name, massG: massG.value, source: same?.source ?? null });
    }
    body.measures = found;
    return undefined;
  },
};

const months: Column = {
  pointer: '/seasonMonths',
  set: (body, cell) => {
    const found = wordsCell(cell.replaceAll(',', ' ')).map(numberCell);
    const bad = found.find((month) => 'message' in month);
    if (bad && 'message' in bad) return 'Write months as numbers: 5 6 7.';
    body.seasonMonths = found.flatMap((month) => ('value' in month ? [month.value] : []));
    return undefined;
  },
};

const nutrient = (key: string): Column => ({
  pointer: `/nutrition/${key}`,
  set: (body, cell) =>
    put(numberCell(cell), (value) => {
      if (value === null && part(body, 'nutrition') === null) return;
      merge(body, 'nutrition', { [key]: value });
    }),
});

const nutritionSource: Column = {
  pointer: '/nutrition/source',
  set: (body, cell) => {
    if (cell !== '') merge(body, 'nutrition', { source: cell });
    return undefined;
  },
};

const notBought: Column = {
  pointer: '/notBought',
  set: (body, cell) => put(yesNoCell(cell), (value) => (body.notBought = value)),
};

/** Columns in the order they are read: a figure before its source. */
const COLUMNS: Readonly<Record<string, Column>> = {
  name: text('name'),
  base_unit: text('baseUnit'),
  category: text('category'),
  storage: text('storage'),
  shelf_life_days: plainNumber('shelfLifeDays'),
  density_g_per_ml: figure('density', 'gPerMl', null),
  density_source: sourceOf('density'),
  piece_mass_g: figure('pieceMass', 'massG', null),
  piece_mass_source: sourceOf('pieceMass'),
  trim_yield: figure('trimYield', 'fraction', { fraction: 1, source: null }),
  trim_yield_source: sourceOf('trimYield'),
  measures,
  contains: codes('contains'),
  may_contain: codes('mayContain'),
  sulphites_mg_per_kg: {
    pointer: '/allergens/sulphitesMgPerKg',
    set: (body, cell) =>
      put(numberCell(cell), (value) => {
        if (part(body, 'allergens') !== null) merge(body, 'allergens', { sulphitesMgPerKg: value });
      }),
  },
  season_months: months,
  nutrition_source: nutritionSource,
  ...Object.fromEntries(Object.entries(NUTRIENTS).map(([name, key]) => [name, nutrient(key)])),
  ...COMPOSITION_COLUMNS,
  not_bought: notBought,
  note: text('note'),
};

export const INGREDIENT_COLUMNS = {
  required: ['name', 'base_unit'],
  optional: Object.keys(COLUMNS).filter((name) => name !== 'name' && name !== 'base_unit'),
} as const;

/** The body of an ingredient as it stands. */
export function bodyOf(ingredient: Ingredient): IngredientInput {
  return {
    name: ingredient.name,
    category: ingredient.category,
    baseUnit: ingredient.baseUnit,
    storage: ingredient.storage,
    shelfLifeDays: ingredient.shelfLifeDays,
    density: ingredient.density,
    pieceMass: ingredient.pieceMass,
    measures: ingredient.measures,
    trimYield: ingredient.trimYield,
    partOf: ingredient.partOf,
    gelatine: ingredient.gelatine,
    allergens: ingredient.allergens,
    nutrition: ingredient.nutrition,
    composition: ingredient.composition,
    seasonMonths: ingredient.seasonMonths,
    withdrawn: ingredient.withdrawn,
    notBought: ingredient.notBought,
    note: ingredient.note,
  };
}

/** Lays a row over a body; columns that the file does not have stay as they are. */
export function layOver(
  base: IngredientInput | null,
  record: CsvRecord,
): { readonly raw: unknown; readonly problems: readonly CsvProblem[] } {
  const raw: Body = { ...base };
  const problems: CsvProblem[] = [];
  for (const [column, { set }] of Object.entries(COLUMNS)) {
    const cell = record.cells[column];
    if (cell === undefined) continue;
    if (base === null && cell === '' && column !== 'name' && column !== 'base_unit') continue;
    const message = set(raw, cell);
    if (message !== undefined) problems.push({ row: record.row, column, message });
  }
  return { raw, problems };
}

/** The column that answers for a pointer into the body: the longest that fits. */
export function columnAt(pointer: string): string | null {
  const found = Object.entries(COLUMNS)
    .filter(([, column]) => pointer === column.pointer || pointer.startsWith(`${column.pointer}/`))
    .sort(([, a], [, b]) => b.pointer.length - a.pointer.length)[0];
  if (found) return found[0];
  const under = Object.entries(COLUMNS).find(([, column]) =>
    column.pointer.startsWith(`${pointer}/`),
  );
  return under && pointer !== '' ? under[0] : null;
}
