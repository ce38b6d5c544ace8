import { z } from 'zod';
import { Amount, Id, Note, ServiceDate } from '../../http/wire.ts';
import { LINE_FREEDOMS, STEP_FREEDOMS } from './recipes.ports.ts';
import { RecipeSchema } from './recipes.schema.ts';

const MAX_LINES = 10_000;
const MAX_MIN = 60 * 24 * 60;
const Minutes = z.number().int().min(0).max(MAX_MIN);
const Fraction = z.number().gt(0).max(1);
const StorageKind = z.enum(['chilled', 'frozen', 'ambient']);

/** A number with a unit, or what a cook writes: '1½ tsp', '2 x 400 g tin'. */
const Written = z
  .union([Amount, z.string().trim().min(1).max(300)])
  .meta({ id: 'WrittenAmount', description: 'An amount, or its text as a cook writes it.' });

const Yields = z
  .array(
    z.strictObject({
      kind: z.enum(['trim', 'peel', 'stone', 'cooking', 'evaporation', 'sieve', 'pan-loss']),
      fraction: z
        .number()
        .gt(0)
        .max(20)
        .meta({ description: 'What is left of 1; only cooking may gain.' }),
      source: z.string().trim().min(1).max(300),
    }),
  )
  .max(20)
  .default([]);

export const LineBody = z.strictObject({
  ingredientId: Id.nullable().default(null),
  componentId: Id.nullable().default(null),
  amount: Written,
  trimYield: Fraction.nullable().default(null),
  cookingYield: z.number().gt(0).max(10).nullable().default(null),
  yields: Yields.meta({ description: 'Losses with their sources, in order.' }),
  siteMay: z
    .array(z.enum(LINE_FREEDOMS))
    .max(LINE_FREEDOMS.length)
    .default([])
    .meta({ description: 'What a site may do otherwise on this line.' }),
  perBatch: z.boolean().default(false),
  scaleStep: z.number().positive().max(100_000).nullable().default(null),
  note: Note.nullable().default(null),
});
const EquipmentUse = z.object({
  kind: z.string().trim().min(1).max(60),
  amount: z.number().positive().max(100_000),
});
const StepBody = z.strictObject({
  text: z.string().trim().min(1).max(4000),
  kind: z.string().trim().min(1).max(40).default('work'),
  workingMin: Minutes,
  waitingMin: Minutes.default(0),
  equipment: EquipmentUse.nullable().default(null),
  temperatureC: z.number().min(-60).max(1000).nullable().default(null),
  holdMaxMin: Minutes.nullable().default(null),
  cooling: z.boolean().default(false),
  yields: Yields.meta({ description: 'What is left of the whole batch, counted in the output.' }),
  siteMay: z
    .array(z.enum(STEP_FREEDOMS))
    .max(STEP_FREEDOMS.length)
    .default([])
    .meta({ description: 'What a site may do otherwise in this step.' }),
});
export const ByProductBody = z.strictObject({
  componentId: Id,
  amount: Written,
  shelfLifeMin: Minutes.min(1),
  storage: StorageKind.default('chilled'),
  mayStartBatch: z.boolean().default(false),
});
const Batches = z.number().positive().max(10_000);

export const VersionBody = z
  .strictObject({
    output: Written,
    pieceMassG: z.number().positive().max(1_000_000).nullable().default(null),
    densityGPerMl: z.number().positive().max(23).nullable().default(null),
    batch: z
      .strictObject({
        min: Batches,
        max: Batches.nullable().default(null),
        multiple: Batches,
      })
      .default({ min: 1, max: null, multiple: 1 }),
    shelfLifeMin: z
      .number()
      .int()
      .min(1)
      .max(3 * 366 * 1440),
    storage: StorageKind.default('chilled'),
    cautions: z.array(z.string().trim().min(1).max(500)).max(50).default([]),
    note: Note.nullable().default(null),
    lines: z.array(LineBody).max(MAX_LINES).default([]),
    steps: z.array(StepBody).max(300).default([]),
    byProducts: z.array(ByProductBody).max(50).default([]),
  })
  .meta({ id: 'RecipeVersionBody' });

const YieldsOut = z.array(z.object({ kind: z.string(), fraction: z.number(), source: z.string() }));
const Weighed = {
  amount: z.object({ value: z.number(), unit: z.string() }),
  amountText: z.string().meta({ description: 'The amount as a cook writes it.' }),
  quantity: z.number().meta({ description: "In the item's base unit." }),
};
const nullable = { number: z.number().nullable(), text: z.string().nullable() };

export const VersionSchema = z
  .object({
    id: z.string(),
    recipeId: z.string(),
    recipe: RecipeSchema,
    number: z.number().int(),
    status: z.enum(['draft', 'in_review', 'published', 'withdrawn']),
    firstServiceDate: nullable.text,
    withdrawnFrom: nullable.text,
    output: z.object(Weighed),
    pieceMassG: nullable.number,
    densityGPerMl: nullable.number,
    batch: z.object({ min: z.number(), max: nullable.number, multiple: z.number() }),
    shelfLifeMin: z.number().int(),
    storage: StorageKind,
    cautions: z.array(z.string()),
    note: nullable.text,
    lines: z.array(
      z.object({
        id: z.string(),
        ingredientId: nullable.text,
        componentId: nullable.text,
        itemName: z.string(),
        baseUnit: z.string(),
        ...Weighed,
        trimYield: nullable.number,
        cookingYield: nullable.number,
        yields: YieldsOut,
        siteMay: z.array(z.string()),
        perBatch: z.boolean(),
        scaleStep: nullable.number,
        note: nullable.text,
      }),
    ),
    steps: z.array(
      z.object({
        id: z.string(),
        text: z.string(),
        kind: z.string(),
        workingMin: z.number().int(),
        waitingMin: z.number().int(),
        equipment: z.object({ kind: z.string(), amount: z.number() }).nullable(),
        temperatureC: nullable.number,
        holdMaxMin: nullable.number,
        cooling: z.boolean(),
        yields: YieldsOut,
        siteMay: z.array(z.string()),
      }),
    ),
    byProducts: z.array(
      z.object({
        id: z.string(),
        componentId: z.string(),
        itemName: z.string(),
        baseUnit: z.string(),
        ...Weighed,
        shelfLifeMin: z.number().int(),
        storage: StorageKind,
        mayStartBatch: z.boolean(),
      }),
    ),
    createdBy: z.string(),
    createdAt: z.string(),
    submittedBy: nullable.text,
    submittedAt: nullable.text,
    publishedBy: nullable.text,
    publishedAt: nullable.text,
    rev: z.number().int(),
  })
  .meta({ id: 'RecipeVersion' });
export const VersionList = z
  .object({ items: z.array(VersionSchema) })
  .meta({ id: 'RecipeVersionList' });

export const PublishBody = z
  .strictObject({ firstServiceDate: ServiceDate })
  .meta({ id: 'PublishBody' });
export const WithdrawBody = z
  .strictObject({ reason: z.string().trim().min(1).max(500) })
  .meta({ id: 'WithdrawBody' });

export const DifferenceSchema = z
  .object({
    recipeId: z.string(),
    recipeName: z.string(),
    from: z.object({ id: z.string(), number: z.number().int() }),
    to: z.object({ id: z.string(), number: z.number().int() }),
    changes: z.array(
      z.object({
        area: z.enum(['yield', 'lines', 'steps', 'keeping', 'batches', 'outputs', 'notes']),
        text: z.string(),
      }),
    ),
  })
  .meta({ id: 'RecipeVersionDifference' });

export const VersionParams = z.object({ versionId: z.string() });
export const DifferenceQuery = z.object({ from: Id.optional() });
