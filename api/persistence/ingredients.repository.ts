import type {
  AllergenDeclaration,
  Composition,
  Ingredient,
  IngredientInput,
  IngredientsRepository,
  Nutrition,
  NutritionFigures,
  Storage,
} from '../modules/ingredients/index.ts';
import { pageOf, type NewId } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type {
  HouseholdMeasure as MeasureRow,
  Ingredient as IngredientRow,
} from './generated/client.ts';
import { fromJson, fromOptionalDate, toNullableJson, toOptionalDate } from './row-values.ts';

type Row = IngredientRow & { readonly measures: readonly MeasureRow[] };
const withMeasures = { measures: { orderBy: { id: 'asc' } } } as const;
const taken = 'There is an ingredient of that name already.';

type KnownDeclaration = Partial<AllergenDeclaration>;
type KnownNutrition = Partial<Nutrition>;

/** A member a row was written without is unknown. */
const toDeclaration = (known: KnownDeclaration): AllergenDeclaration => ({
  contains: known.contains ?? [],
  mayContain: known.mayContain ?? [],
  sulphitesMgPerKg: known.sulphitesMgPerKg ?? null,
});

const UNKNOWN: NutritionFigures = {
  energyKcal: null,
  fatG: null,
  saturatesG: null,
  monounsaturatesG: null,
  polyunsaturatesG: null,
  carbohydrateG: null,
  carbohydrateByDifferenceG: null,
  sugarsG: null,
  starchG: null,
  polyolsG: null,
  erythritolG: null,
  salatrimsG: null,
  fibreG: null,
  proteinG: null,
  saltG: null,
  sodiumMg: null,
  organicAcidsG: null,
  alcoholG: null,
  waterG: null,
};
const toNutrition = ({ source = '', ...known }: KnownNutrition): Nutrition => ({
  ...UNKNOWN,
  ...known,
  source,
});

const toComposition = (known: Partial<Composition>): Composition => ({
  waterFraction: null,
  fatFraction: null,
  sugarsFraction: null,
  milkSolidsFraction: 0,
  alcoholFraction: 0,
  saltFraction: null,
  sugars: null,
  ph: null,
  inMix: null,
  source: null,
  ...known,
});

function toIngredient(row: Row): Ingredient {
  const withdrawnFrom = toOptionalDate(row.withdrawnFrom);
  return {
    id: row.id,
    name: row.name,
    category: row.category,
    baseUnit: row.baseUnit as Ingredient['baseUnit'],
    storage: row.storage as Storage,
    shelfLifeDays: row.shelfLifeDays,
    density:
      row.densityGPerMl === null ? null : { gPerMl: row.densityGPerMl, source: row.densitySource },
    pieceMass:
      row.pieceMassG === null ? null : { massG: row.pieceMassG, source: row.pieceMassSource },
    measures: row.measures.map(({ name, massG, source }) => ({ name, massG, source })),
    trimYield: { fraction: row.trimYield, source: row.trimYieldSource },
    partOf:
      row.partOfId === null || row.partYield === null
        ? null
        : {
            pieceId: row.partOfId,
            group: row.partGroup ?? '',
            order: row.partOrder ?? 1,
            yieldPerPiece: row.partYield,
            source: row.partYieldSource,
          },
    gelatine: row.bloom === null ? null : { bloom: row.bloom, sheetMassG: row.sheetMassG },
    allergens:
      row.allergens === null ? null : toDeclaration(fromJson<KnownDeclaration>(row.allergens)),
    nutrition: row.nutrition === null ? null : toNutrition(fromJson<KnownNutrition>(row.nutrition)),
    composition:
      row.composition === null
        ? null
        : toComposition(fromJson<Partial<Composition>>(row.composition)),
    seasonMonths: row.seasonMonths,
    withdrawn: withdrawnFrom === null ? null : { from: withdrawnFrom, reason: row.withdrawnReason },
    notBought: row.notBought,
    note: row.note,
    archived: row.archivedAt !== null,
    rev: row.rev,
  };
}

function columns(input: IngredientInput) {
  return {
    name: input.name,
    category: input.category,
    baseUnit: input.baseUnit,
    storage: input.storage,
    shelfLifeDays: input.shelfLifeDays,
    densityGPerMl: input.density?.gPerMl ?? null,
    densitySource: input.density?.source ?? null,
    pieceMassG: input.pieceMass?.massG ?? null,
    pieceMassSource: input.pieceMass?.source ?? null,
    trimYield: input.trimYield.fraction,
    trimYieldSource: input.trimYield.source,
    partOfId: input.partOf?.pieceId ?? null,
    partGroup: input.partOf?.group ?? null,
    partOrder: input.partOf?.order ?? null,
    partYield: input.partOf?.yieldPerPiece ?? null,
    partYieldSource: input.partOf?.source ?? null,
    bloom: input.gelatine?.bloom ?? null,
    sheetMassG: input.gelatine?.sheetMassG ?? null,
    allergens: toNullableJson(input.allergens),
    nutrition: toNullableJson(input.nutrition),
    composition: toNullableJson(input.composition),
    seasonMonths: [...input.seasonMonths],
    withdrawnFrom: fromOptionalDate(input.withdrawn?.from),
    withdrawnReason: input.withdrawn?.reason ?? null,
    notBought: input.notBought,
    note: input.note,
  };
}

/** Ingredients with their measures. Updates return null when the revision is not current. */
export function createIngredientsRepository(db: Db, newId: NewId): IngredientsRepository {
  const find = async (id: string): Promise<Ingredient | null> => {
    const row = await db.ingredient.findUnique({ where: { id }, include: withMeasures });
    return row && toIngredient(row);
  };
  const measureRows = (ingredientId: string, input: IngredientInput) =>
    input.measures.map((measure) => ({ id: newId('msr'), ingredientId, ...measure }));

  return {
    find,
    async page({ limit, after }, { archived, search }) {
      const rows = await db.ingredient.findMany({
        where: {
          ...(archived ? {} : { archivedAt: null }),
          ...(after === undefined ? {} : { id: { gt: after } }),
          ...(search === undefined ? {} : { name: { contains: search, mode: 'insensitive' } }),
        },
        include: withMeasures,
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toIngredient), limit);
    },
    async all() {
      const rows = await db.ingredient.findMany({
        include: withMeasures,
        orderBy: { id: 'asc' },
      });
      return rows.map(toIngredient);
    },
    async findMany(ids) {
      const rows = await db.ingredient.findMany({
        where: { id: { in: [...new Set(ids)] } },
        include: withMeasures,
        orderBy: { id: 'asc' },
      });
      return rows.map(toIngredient);
    },
    async partsOf(pieceId) {
      const rows = await db.ingredient.findMany({
        where: { partOfId: pieceId },
        include: withMeasures,
        orderBy: [{ partOrder: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toIngredient);
    },
    async usesOf(id) {
      const rows = await db.recipeVersion.findMany({
        where: { lines: { some: { ingredientId: id } } },
        include: { recipe: true },
        orderBy: [{ id: 'desc' }],
      });
      return rows.map((row) => ({
        recipeId: row.recipeId,
        recipeName: row.recipe.name,
        versionId: row.id,
        versionNumber: row.number,
        status: row.status,
      }));
    },
    async holdsQuantities(id) {
      const counts = [
        await db.recipeLine.count({ where: { ingredientId: id } }),
        await db.pack.count({ where: { ingredientId: id } }),
        await db.stockLot.count({ where: { itemId: id } }),
        await db.ingredient.count({ where: { partOfId: id } }),
      ];
      return counts.some((count) => count > 0);
    },
    insert: (id, input) =>
      refuseDuplicates(taken, '/name', async () => {
        await db.ingredient.create({ data: { id, ...columns(input) } });
        await db.householdMeasure.createMany({ data: measureRows(id, input) });
        return saved(await find(id));
      }),
    update: (id, input, rev) =>
      refuseDuplicates(taken, '/name', async () => {
        const { count } = await db.ingredient.updateMany({
          where: { id, rev },
          data: { ...columns(input), rev: { increment: 1 } },
        });
        if (count === 0) return null;
        await db.householdMeasure.deleteMany({ where: { ingredientId: id } });
        await db.householdMeasure.createMany({ data: measureRows(id, input) });
        return find(id);
      }),
    async setArchived(id, archived, rev, at) {
      const { count } = await db.ingredient.updateMany({
        where: { id, rev },
        data: { archivedAt: archived ? at : null, rev: { increment: 1 } },
      });
      return count === 0 ? null : find(id);
    },
  };
}

function saved<T>(row: T | null): T {
  if (row === null) throw new Error('A row just written was not found.');
  return row;
}
