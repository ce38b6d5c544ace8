import { z } from 'zod';
import { pageSchema } from '../../http/paging.ts';
import { Amount, AmountOrZero, Id, Note, ServiceDate } from '../../http/wire.ts';
import { YIELD_TARGETS } from './measured-yields.ports.ts';

const Kind = z.enum([
  'trim',
  'peel',
  'stone',
  'cooking',
  'evaporation',
  'sieve',
  'pan-loss',
  'batch',
]);

export const WeighingBody = z
  .strictObject({
    versionId: Id,
    target: z.enum(YIELD_TARGETS),
    lineId: Id.nullable().default(null),
    stepId: Id.nullable().default(null),
    kind: Kind.meta({ description: 'What took the weight away; batch for a whole batch.' }),
    before: Amount.nullable().default(null),
    after: AmountOrZero,
    batches: z
      .number()
      .positive()
      .max(10_000)
      .nullable()
      .default(null)
      .meta({ description: 'For a whole batch: how many as written were made.' }),
    measuredOn: ServiceDate,
    note: Note.nullable().default(null),
  })
  .meta({ id: 'WeighingBody' });

export const MeasuredYieldSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    recipeId: z.string(),
    versionId: z.string(),
    target: z.enum(YIELD_TARGETS),
    targetKey: z.string(),
    label: z.string(),
    kind: Kind,
    before: z.object({ value: z.number(), unit: z.string() }),
    after: z.object({ value: z.number(), unit: z.string() }),
    fraction: z.number(),
    measuredOn: z.string(),
    measuredBy: z.string(),
    recordedAt: z.string(),
    note: z.string().nullable(),
    status: z.enum(['recorded', 'accepted', 'rejected', 'withdrawn']),
    decidedBy: z.string().nullable(),
    decidedAt: z.string().nullable(),
    reason: z.string().nullable(),
    acceptedIn: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'MeasuredYield' });
export const MeasuredYieldPage = pageSchema(MeasuredYieldSchema, 'MeasuredYield');

const Spread = {
  n: z.number().int(),
  mean: z.number(),
  sd: z.number().nullable(),
  interval95: z.array(z.number()).nullable(),
};

export const RecipeYieldsSchema = z
  .object({
    recipeId: z.string(),
    recipeName: z.string(),
    /** The version being worked towards, whose standards stand beside the weighings. */
    workingVersion: z
      .object({ id: z.string(), number: z.number().int(), status: z.string() })
      .nullable(),
    weighed: z.array(
      z.object({
        target: z.enum(YIELD_TARGETS),
        targetKey: z.string(),
        kind: Kind,
        label: z.string(),
        currentFraction: z.number().nullable(),
        spread: z.object(Spread).nullable(),
        outlierNote: z.string().nullable(),
        sites: z.array(z.object({ siteId: z.string(), ...Spread })),
        proposal: z
          .object({
            proposedFraction: z.number(),
            n: z.number().int(),
            change: z.number().nullable(),
            clearlyDifferent: z.boolean().nullable(),
            advice: z.string(),
            source: z.string(),
          })
          .nullable(),
        noProposal: z.string().nullable(),
        samples: z.array(
          MeasuredYieldSchema.extend({ outlier: z.boolean().nullable() }).meta({
            id: 'JudgedMeasuredYield',
          }),
        ),
      }),
    ),
  })
  .meta({ id: 'RecipeMeasuredYields' });

export const ReasonBody = z
  .strictObject({ reason: z.string().trim().min(1).max(500) })
  .meta({ id: 'WeighingReasonBody' });

export const AcceptBody = z
  .strictObject({
    targetKey: z.string().min(1).max(120),
    kind: Kind,
    proposedFraction: z
      .number()
      .gt(0)
      .max(20)
      .meta({ description: 'As it was shown: another by now is refused.' }),
  })
  .meta({ id: 'AcceptYieldBody' });

export const AcceptedSchema = z
  .object({
    recipeId: z.string(),
    versionId: z.string(),
    versionNumber: z.number().int(),
    versionStatus: z.string(),
    label: z.string(),
    kind: Kind,
    from: z.number().nullable(),
    to: z.number(),
    outputBefore: z.number().meta({ description: "What a batch gave, in the recipe's base unit." }),
    outputAfter: z.number(),
  })
  .meta({ id: 'AcceptedYield' });

export const SampleParams = z.object({ sampleId: z.string() });
export const RecipeParams = z.object({ recipeId: z.string() });
export const SiteParams = z.object({ siteId: z.string() });
