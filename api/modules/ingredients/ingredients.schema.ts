import { z } from 'zod';
import { SWEETENER_KINDS } from '../../core/frozen-base/index.ts';
import { PageQuery, pageSchema } from '../../http/paging.ts';
import { Id, Name, Note, ServiceDate, WithArchived } from '../../http/wire.ts';

const Source = z.string().trim().min(1).max(300);
const BaseUnitCode = z.enum(['g', 'ml', 'each']);
const StorageKind = z.enum(['chilled', 'frozen', 'ambient']);
const MassG = z.number().positive().max(1_000_000);
const Months = z.array(z.number().int().min(1).max(12)).max(12);

const Codes = z.array(z.string().max(60)).max(60);
const mgPerKg = z.number().min(0).max(1_000_000);
const DeclaredBody = z
  .strictObject({
    contains: Codes,
    mayContain: Codes.default([]),
    sulphitesMgPerKg: mgPerKg.nullable().default(null),
  })
  .meta({
    id: 'AllergenDeclarationBody',
    description: 'Allergen groups, the kind after a colon: nuts:almond.',
  });
const Declared = z
  .object({
    contains: z.array(z.string()),
    mayContain: z.array(z.string()),
    sulphitesMgPerKg: mgPerKg.nullable(),
  })
  .meta({ id: 'AllergenDeclaration' });

const per100G = z.number().min(0).max(100);
const figures = {
  energyKcal: z.number().min(0).max(900),
  fatG: per100G,
  saturatesG: per100G,
  monounsaturatesG: per100G,
  polyunsaturatesG: per100G,
  carbohydrateG: per100G,
  carbohydrateByDifferenceG: per100G,
  sugarsG: per100G,
  starchG: per100G,
  polyolsG: per100G,
  erythritolG: per100G,
  salatrimsG: per100G,
  fibreG: per100G,
  proteinG: per100G,
  saltG: per100G,
  sodiumMg: z.number().min(0).max(40_000),
  organicAcidsG: per100G,
  alcoholG: per100G,
  waterG: per100G,
};
type Figures = typeof figures;
type Unknowable = { [K in keyof Figures]: z.ZodNullable<Figures[K]> };
type UnknowableByDefault = { [K in keyof Figures]: z.ZodDefault<z.ZodNullable<Figures[K]>> };
const mapFigures = <T>(map: (figure: z.ZodNumber) => unknown): T =>
  Object.fromEntries(Object.entries(figures).map(([name, f]) => [name, map(f)])) as T;

const NutritionBody = z
  .strictObject({
    source: Source,
    ...mapFigures<UnknowableByDefault>((f) => f.nullable().default(null)),
  })
  .meta({
    id: 'IngredientNutritionBody',
    description: 'Per 100 g edible portion. A member left out is unknown, never zero.',
  });
const NutritionSchema = z
  .object({ source: z.string(), ...mapFigures<Unknowable>((f) => f.nullable()) })
  .meta({ id: 'IngredientNutrition' });

const fraction = z.number().min(0).max(1);
const Sweetener = z.enum(SWEETENER_KINDS);
const SugarKinds = z.partialRecord(Sweetener, fraction);
const InMixKind = z.enum(['flour', 'dissolves', 'stays-whole', 'taken-out']);
const CompositionBody = z
  .strictObject({
    waterFraction: fraction.nullable().default(null),
    fatFraction: fraction.nullable().default(null),
    sugarsFraction: fraction.nullable().default(null),
    milkSolidsFraction: fraction.default(0),
    alcoholFraction: fraction.default(0),
    saltFraction: fraction.nullable().default(null),
    sugars: SugarKinds.nullable().default(null),
    ph: z.number().min(0).max(14).nullable().default(null),
    inMix: InMixKind.nullable().default(null),
    source: Source.nullable().default(null),
  })
  .meta({
    id: 'IngredientCompositionBody',
    description:
      'Fractions of mass, for balances. Sugars are dry, by kind, without the lactose inside milk solids; what is null is unknown, and water, fat, sugars and salt then come from the nutrition.',
  });
const CompositionSchema = z
  .object({
    waterFraction: fraction.nullable(),
    fatFraction: fraction.nullable(),
    sugarsFraction: fraction.nullable(),
    milkSolidsFraction: fraction,
    alcoholFraction: fraction,
    saltFraction: fraction.nullable(),
    sugars: SugarKinds.nullable(),
    ph: z.number().nullable(),
    inMix: InMixKind.nullable(),
    source: z.string().nullable(),
  })
  .meta({ id: 'IngredientComposition' });

const sourced = { source: Source.nullable().default(null) };

export const IngredientBody = z
  .strictObject({
    name: Name,
    category: z.string().trim().min(1).max(60).nullable().default(null),
    baseUnit: BaseUnitCode,
    storage: StorageKind.default('ambient'),
    shelfLifeDays: z.number().int().min(0).max(3650).nullable().default(null),
    density: z
      .strictObject({ gPerMl: z.number(), ...sourced })
      .nullable()
      .default(null),
    pieceMass: z
      .strictObject({ massG: MassG, ...sourced })
      .nullable()
      .default(null),
    measures: z
      .array(z.strictObject({ name: z.string().trim().min(1).max(40), massG: MassG, ...sourced }))
      .max(50)
      .default([]),
    trimYield: z
      .strictObject({ fraction: z.number().gt(0).max(1), ...sourced })
      .default({ fraction: 1, source: null }),
    partOf: z
      .strictObject({
        pieceId: Id,
        group: z.string().trim().min(1).max(40),
        order: z.number().int().min(1).max(20).default(1),
        yieldPerPiece: z.number().positive().max(1_000_000),
        ...sourced,
      })
      .nullable()
      .default(null),
    gelatine: z
      .strictObject({
        bloom: z.number().int().min(1).max(400),
        sheetMassG: z.number().positive().max(100).nullable().default(null),
      })
      .nullable()
      .default(null),
    allergens: DeclaredBody.nullable().default(null),
    nutrition: NutritionBody.nullable().default(null),
    composition: CompositionBody.nullable().default(null),
    seasonMonths: Months.default([]),
    withdrawn: z
      .strictObject({ from: ServiceDate, reason: Note.nullable().default(null) })
      .nullable()
      .default(null),
    notBought: z.boolean().default(false),
    note: Note.nullable().default(null),
  })
  .meta({ id: 'IngredientBody' });

const source = { source: z.string().nullable() };
export const IngredientSchema = z
  .object({
    id: z.string(),
    name: z.string(),
    category: z.string().nullable(),
    baseUnit: BaseUnitCode,
    storage: StorageKind,
    shelfLifeDays: z.number().int().nullable(),
    density: z.object({ gPerMl: z.number(), ...source }).nullable(),
    pieceMass: z.object({ massG: z.number(), ...source }).nullable(),
    measures: z.array(z.object({ name: z.string(), massG: z.number(), ...source })),
    trimYield: z.object({ fraction: z.number(), ...source }),
    partOf: z
      .object({
        pieceId: z.string(),
        group: z.string(),
        order: z.number().int(),
        yieldPerPiece: z.number(),
        ...source,
      })
      .nullable(),
    gelatine: z.object({ bloom: z.number(), sheetMassG: z.number().nullable() }).nullable(),
    allergens: Declared.nullable(),
    nutrition: NutritionSchema.nullable(),
    composition: CompositionSchema.nullable(),
    seasonMonths: z.array(z.number().int()),
    withdrawn: z.object({ from: z.string(), reason: z.string().nullable() }).nullable(),
    notBought: z.boolean(),
    note: z.string().nullable(),
    archived: z.boolean(),
    rev: z.number().int(),
  })
  .meta({ id: 'Ingredient' });

export const IngredientPage = pageSchema(IngredientSchema, 'Ingredient');
export const IngredientList = z
  .object({ items: z.array(IngredientSchema) })
  .meta({ id: 'IngredientList' });
export const IngredientUseList = z
  .object({
    items: z.array(
      z.object({
        recipeId: z.string(),
        recipeName: z.string(),
        versionId: z.string(),
        versionNumber: z.number().int(),
        status: z.string(),
      }),
    ),
  })
  .meta({ id: 'IngredientUseList' });

export const IngredientQuery = PageQuery.extend({
  archived: WithArchived,
  search: z.string().trim().min(1).max(120).optional(),
});
export const IngredientParams = z.object({ ingredientId: z.string() });
