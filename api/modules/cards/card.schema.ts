import { z } from 'zod';
import { Id, ServiceDate } from '../../http/wire.ts';
import { SiteChanges } from '../recipes/index.ts';

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
  oven: z.object({ fanC: z.number(), stillC: z.number() }).nullable().meta({
    description:
      'Bakes are written for a fan oven; 20 °C more without one. Common practice, no source.',
  }),
  equipment: z.object({ kind: z.string(), amount: z.number() }).nullable(),
  holdMaxMin: z.number().nullable(),
  cooling: z.boolean(),
  atSite: z
    .object({
      available: z.number(),
      loads: z.array(z.object({ count: z.number().int(), amount: z.number() })),
    })
    .nullable()
    .meta({
      description:
        'The equipment of the site asked for: loads that follow one another. None: it has none.',
    }),
});

const GelatineLineSchema = z
  .object({
    itemId: z.string(),
    name: z.string(),
    massG: z.number(),
    bloom: z.number(),
    options: z.array(
      z.object({
        itemId: z.string(),
        kind: z.enum(['sheet', 'powder']),
        grade: z.string().nullable(),
        bloom: z.number(),
        sheetMassG: z.number().nullable(),
        massG: z.number(),
        sheets: z
          .object({ exact: z.number(), rounded: z.number(), firmnessRatio: z.number() })
          .nullable(),
        text: z.string(),
      }),
    ),
    text: z.string(),
    method: z.string(),
  })
  .meta({ id: 'GelatineLine' });

const BalanceSectionSchema = z
  .object({
    kind: z.enum(['syrup', 'frozen-base', 'dough']),
    because: z.string(),
    figures: z.array(
      z.object({
        id: z.string(),
        label: z.string(),
        value: z.number().nullable(),
        unit: z.string(),
        decimals: z.number().int(),
        method: z.string(),
        missing: z.array(z.string()),
        reason: z.string().nullable(),
      }),
    ),
    percentages: z.array(
      z.object({
        itemId: z.string(),
        name: z.string(),
        percent: z.number(),
        isFlour: z.boolean(),
      }),
    ),
    notes: z.array(z.string()),
  })
  .meta({
    id: 'BalanceSection',
    description:
      'A figure that is null is not known: what is missing is named, or the reason given.',
  });

const MoneyOut = z.object({ amount: z.string(), currency: z.string() });
const CardPresence = z.object({
  code: z.string(),
  label: z.string(),
  kind: z.string().nullable(),
});
const CardAllergensSchema = z
  .object({
    rules: z.enum(['eu', 'uk', 'us']),
    status: z.enum(['declared', 'not-declared']),
    contains: z.array(CardPresence),
    mayContain: z.array(CardPresence),
    notDeclared: z.array(z.string()),
    notice: z.string(),
  })
  .meta({ id: 'CardAllergens' });
const CardCostSchema = z
  .object({
    status: z.enum(['complete', 'incomplete']),
    cost: MoneyOut.nullable(),
    knownCost: MoneyOut,
    perUnit: z.object({ quantity: z.number(), cost: MoneyOut }).nullable(),
    missing: z.array(z.object({ name: z.string(), reason: z.string() })),
  })
  .meta({ id: 'CardCost' });

/** A recipe scaled for the bench. */
export const BenchCardSchema = z
  .object({
    versionId: z.string(),
    versionNumber: z.number().int(),
    status: z.string(),
    firstServiceDate: z.string().nullable(),
    recipeId: z.string(),
    name: z.string(),
    station: z.string(),
    site: z.object({ id: z.string(), name: z.string() }).nullable(),
    serviceDate: z.string(),
    requestedBatches: z.number(),
    batchSizes: z.object({ min: z.number(), max: z.number().nullable(), multiple: z.number() }),
    gives: CardAmount,
    byProducts: z.array(z.object({ name: z.string(), amount: CardAmount })),
    batches: z.array(
      z.object({
        count: z.number().int(),
        batches: z.number(),
        gives: CardAmount,
        lines: z.array(CardLine),
        steps: z.array(CardStep),
        mass: z
          .object({
            inG: z.number().nullable(),
            outG: z.number().nullable(),
            keptFraction: z.number().nullable(),
            noMass: z.array(z.string()),
          })
          .nullable(),
        gelatine: z.array(GelatineLineSchema),
        balance: z.array(BalanceSectionSchema),
      }),
    ),
    storage: z.string(),
    shelfLifeMin: z.number().int(),
    cautions: z.array(z.string()),
    siteChanges: SiteChanges,
    note: z.string().nullable(),
    gelatineCautions: z.array(z.object({ id: z.string(), text: z.string(), source: z.string() })),
    allergens: CardAllergensSchema.nullable(),
    cost: CardCostSchema.nullable(),
    figuresMissing: z
      .string()
      .nullable()
      .meta({ description: 'Why mass, balance, allergens and cost are not there.' }),
    notice: z.string(),
  })
  .meta({ id: 'RecipeCard' });

const Batches = z.coerce.number().positive().max(10_000).default(1);
const SiteAndDate = { site: Id.optional(), on: ServiceDate.optional() };

/** How many batches as written, for which site and service date. */
export const CardQuery = z.object({ batches: Batches, ...SiteAndDate });
