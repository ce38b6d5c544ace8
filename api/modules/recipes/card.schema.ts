import { z } from 'zod';

const CardAmount = z
  .object({ quantity: z.number(), baseUnit: z.enum(['g', 'ml', 'each']), text: z.string() })
  .meta({ id: 'CardAmount' });

const CardLine = z.object({
  itemId: z.string(),
  name: z.string(),
  kind: z.enum(['ingredient', 'component']),
  amount: CardAmount,
  asWritten: z.string().nullable(),
  perBatch: z.boolean(),
  finerScale: z.boolean(),
  note: z.string().nullable(),
});
const CardStep = z.object({
  text: z.string(),
  kind: z.string(),
  workingMin: z.number().int(),
  waitingMin: z.number().int(),
  temperatureC: z.number().nullable(),
  equipment: z.object({ kind: z.string(), amount: z.number() }).nullable(),
  holdMaxMin: z.number().nullable(),
  cooling: z.boolean(),
});

/** A recipe scaled for the bench. */
export const RecipeCardSchema = z
  .object({
    versionId: z.string(),
    versionNumber: z.number().int(),
    status: z.string(),
    firstServiceDate: z.string().nullable(),
    recipeId: z.string(),
    name: z.string(),
    station: z.string(),
    requestedBatches: z.number(),
    gives: CardAmount,
    byProducts: z.array(z.object({ name: z.string(), amount: CardAmount })),
    batches: z.array(
      z.object({
        count: z.number().int(),
        batches: z.number(),
        gives: CardAmount,
        lines: z.array(CardLine),
        steps: z.array(CardStep),
      }),
    ),
    storage: z.string(),
    shelfLifeMin: z.number().int(),
    cautions: z.array(z.string()),
    note: z.string().nullable(),
    notice: z.string(),
  })
  .meta({ id: 'RecipeCard' });

/** How many batches as written. */
export const CardQuery = z.object({ batches: z.coerce.number().positive().max(10_000).default(1) });
