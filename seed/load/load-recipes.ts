import { addDays } from '../../api/core/calendar/index.ts';
import { toBaseAmount } from '../../api/core/quantity/index.ts';
import type { IngredientMeasures } from '../../api/core/quantity/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';
import type { Db } from '../../api/persistence/database.ts';
import { inChunks } from '../../api/persistence/chunks.ts';
import { fromOptionalDate } from '../../api/persistence/row-values.ts';
import type { DemoData, DemoRecipe, RecipeLine, RecipeVersion } from '../generator/types.ts';
import { ingredientId, recipeId, versionId } from './demo-keys.ts';

const CHUNK = 300;
const MIN_PER_HOUR = 60;

/** Recipes and by-products with every version; amounts go through the same conversion as a chef's. */
export async function loadRecipes(db: Db, data: DemoData, today: string): Promise<void> {
  const measures = measuresOf(data);
  const now = new Date(`${today}T00:00:00Z`);
  await db.recipe.createMany({
    data: [
      ...data.recipes.map((recipe) => ({
        id: recipeId(recipe.key),
        kind: recipe.kind,
        name: recipe.name,
        baseUnit: baseUnitOf(recipe),
        station: recipe.station,
      })),
      ...byProductsOf(data).map(({ byProduct, recipe }) => ({
        id: recipeId(byProduct.key),
        kind: 'component',
        name: byProduct.name,
        baseUnit: byProduct.unit,
        station: recipe.station,
      })),
    ],
  });
  const versions = data.recipes.flatMap((recipe) =>
    recipe.versions.map((version) => ({
      recipe,
      version,
      id: versionId(recipe.key, version.number),
    })),
  );
  await db.recipeVersion.createMany({
    data: versions.map(({ recipe, version, id }) => ({
      id,
      recipeId: recipeId(recipe.key),
      number: version.number,
      status: version.status,
      firstServiceDate: fromOptionalDate(
        version.firstServiceDaysAgo === null ? null : addDays(today, -version.firstServiceDaysAgo),
      ),
      outputValue: version.output.value,
      outputUnit: UCUM[version.output.unit],
      outputQuantity: version.output.value,
      pieceMassG: version.pieceMassG ?? null,
      batchMin: version.batch.min,
      batchMax: version.batch.max,
      batchMultiple: version.batch.multiple,
      shelfLifeMin: Math.round(version.shelfLifeHours * MIN_PER_HOUR),
      storage: version.storage,
      cautions: [...(version.cautions ?? [])],
      note: version.changeNote ?? null,
      createdBy: 'demo',
      publishedBy: version.status === 'published' ? 'demo' : null,
      publishedAt: version.status === 'published' ? now : null,
    })),
  });
  const lines = versions.flatMap(({ recipe, version, id }) =>
    version.lines.map((line, i) => ({
      id: `line_${recipe.key}-${version.number}-${i + 1}`,
      versionId: id,
      position: i,
      ...lineRow(line, measures, `${recipe.name}, line ${i + 1}`),
    })),
  );
  for (const chunk of inChunks(lines, CHUNK)) await db.recipeLine.createMany({ data: [...chunk] });
  const steps = versions.flatMap(({ recipe, version, id }) =>
    version.steps.map((step, i) => ({
      id: `step_${recipe.key}-${version.number}-${i + 1}`,
      versionId: id,
      position: i,
      text: step.text,
      kind: step.kind,
      workingMin: step.workingMin,
      waitingMin: step.waitingMin,
      equipmentKind: step.equipment?.kind ?? null,
      equipmentAmount: step.equipment?.amount ?? null,
      temperatureC: step.temperatureC ?? null,
      holdMaxMin: step.holdMaxMin ?? null,
      cooling: step.cooling ?? false,
    })),
  );
  for (const chunk of inChunks(steps, CHUNK)) await db.recipeStep.createMany({ data: [...chunk] });
  await db.recipeByProduct.createMany({ data: versions.flatMap(byProductRows) });
}

const UCUM = { g: 'g', ml: 'mL', each: '{each}' } as const;

function byProductRows({ version, id }: { version: RecipeVersion; id: string }) {
  return version.byProducts.map((byProduct, i) => ({
    id: `byp_${id.slice(4)}-${i + 1}`,
    versionId: id,
    componentId: recipeId(byProduct.key),
    value: byProduct.value,
    unit: UCUM[byProduct.unit],
    quantity: byProduct.value,
    shelfLifeMin: Math.round(byProduct.shelfLifeHours * MIN_PER_HOUR),
    mayStartBatch: byProduct.mayStartBatch,
    storage: byProduct.storage,
  }));
}

function baseUnitOf(recipe: DemoRecipe) {
  const [first] = recipe.versions;
  if (!first) throw new Error(`${recipe.name} has no version.`);
  return first.output.unit;
}

function byProductsOf(data: DemoData) {
  const seen = new Set<string>();
  return data.recipes.flatMap((recipe) =>
    recipe.versions.flatMap((version) =>
      version.byProducts.flatMap((byProduct) => {
        if (seen.has(byProduct.key)) return [];
        seen.add(byProduct.key);
        return [{ byProduct, recipe }];
      }),
    ),
  );
}

function measuresOf(data: DemoData): ReadonlyMap<string, IngredientMeasures> {
  const measures = new Map<string, IngredientMeasures>();
  for (const row of data.ingredients) {
    measures.set(row.key, {
      name: row.name,
      baseUnit: row.baseUnit,
      household: row.measures ?? [],
      ...(row.density ? { densityGPerMl: row.density.gPerMl } : {}),
      ...(row.pieceMass ? { pieceMassG: row.pieceMass.massG } : {}),
    });
  }
  for (const recipe of data.recipes) {
    const pieceMassG = recipe.versions.at(-1)?.pieceMassG;
    measures.set(recipe.key, {
      name: recipe.name,
      baseUnit: baseUnitOf(recipe),
      household: [],
      ...(pieceMassG === undefined ? {} : { pieceMassG }),
    });
  }
  for (const { byProduct } of byProductsOf(data)) {
    measures.set(byProduct.key, { name: byProduct.name, baseUnit: byProduct.unit, household: [] });
  }
  return measures;
}

function lineRow(
  line: RecipeLine,
  measures: ReadonlyMap<string, IngredientMeasures>,
  where: string,
) {
  const ingredient = 'ingredient' in line ? line.ingredient : null;
  const component =
    'component' in line ? line.component : 'byProduct' in line ? line.byProduct : null;
  const known = measures.get(ingredient ?? component ?? '');
  if (!known) throw new Error(`${where} names something that is not there.`);
  const base = toBaseAmount(line.amount, known);
  if (!base.ok) throw new Error(`${where}: ${base.error.message}`);
  return {
    ingredientId: ingredient === null ? null : ingredientId(ingredient),
    componentId: component === null ? null : recipeId(component),
    value: line.amount.value,
    unit: line.amount.unit,
    quantity: unwrap(base).value,
    trimYield: line.trimYield ?? null,
    cookingYield: line.cookingYield ?? null,
    perBatch: line.perBatch ?? false,
    note: line.note ?? null,
  };
}
