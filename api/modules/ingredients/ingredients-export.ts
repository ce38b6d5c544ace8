import { toCsv, type CsvCell } from '../../core/exports/index.ts';
import { compositionCells } from './composition-columns.ts';
import { INGREDIENT_COLUMNS } from './ingredient-columns.ts';
import type { Ingredient } from './ingredients.ports.ts';

const list = (codes: readonly string[]): string => (codes.length === 0 ? 'none' : codes.join(' '));

/** One ingredient by the columns of the import. */
function cellsOf(row: Ingredient): Readonly<Record<string, CsvCell>> {
  const { nutrition, allergens } = row;
  return {
    name: row.name,
    base_unit: row.baseUnit,
    category: row.category,
    storage: row.storage,
    shelf_life_days: row.shelfLifeDays,
    density_g_per_ml: row.density?.gPerMl ?? null,
    density_source: row.density?.source ?? null,
    piece_mass_g: row.pieceMass?.massG ?? null,
    piece_mass_source: row.pieceMass?.source ?? null,
    trim_yield: row.trimYield.fraction,
    trim_yield_source: row.trimYield.source,
    measures: row.measures.map(({ name, massG }) => `${name}=${massG}`).join('; '),
    contains: allergens && list(allergens.contains),
    may_contain: allergens && list(allergens.mayContain),
    sulphites_mg_per_kg: allergens?.sulphitesMgPerKg ?? null,
    season_months: row.seasonMonths.join(' '),
    nutrition_source: nutrition?.source ?? null,
    energy_kcal: nutrition?.energyKcal ?? null,
    fat_g: nutrition?.fatG ?? null,
    saturates_g: nutrition?.saturatesG ?? null,
    carbohydrate_g: nutrition?.carbohydrateG ?? null,
    carbohydrate_by_difference_g: nutrition?.carbohydrateByDifferenceG ?? null,
    sugars_g: nutrition?.sugarsG ?? null,
    fibre_g: nutrition?.fibreG ?? null,
    protein_g: nutrition?.proteinG ?? null,
    salt_g: nutrition?.saltG ?? null,
    sodium_mg: nutrition?.sodiumMg ?? null,
    water_g: nutrition?.waterG ?? null,
    alcohol_g: nutrition?.alcoholG ?? null,
    ...compositionCells(row.composition),
    not_bought: row.notBought ? 'yes' : 'no',
    note: row.note,
  };
}

/** Comma-separated values (RFC 4180) that the import reads back; parts of a piece have no columns. */
export function ingredientsCsv(rows: readonly Ingredient[]): string {
  const columns = [...INGREDIENT_COLUMNS.required, ...INGREDIENT_COLUMNS.optional];
  return toCsv(
    columns,
    rows.map((row) => {
      const cells = cellsOf(row);
      return columns.map((column) => cells[column] ?? null);
    }),
  );
}
