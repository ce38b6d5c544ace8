import { z } from 'zod';
import { BREACH_KINDS, CORRECTION_IDS } from '../../core/safety/index.ts';
import { MOST_MINUTES_AGO } from '../platform/index.ts';
import { DECISIONS } from './safety.ports.ts';

export const MinutesAgo = z.number().min(0).max(MOST_MINUTES_AGO).meta({
  description:
    'How many minutes ago it happened. The service counts back from its own clock, so that the clock of a tablet does not matter.',
});

export const ReadingBody = z
  .strictObject({
    temperature: z.strictObject({ value: z.number(), unit: z.enum(['Cel', '[degF]']) }),
    minutesAgo: MinutesAgo.default(0),
    offHeatMinutesAgo: MinutesAgo.nullable()
      .default(null)
      .meta({ description: 'When it came off the heat, where the first reading is late.' }),
    note: z.string().trim().max(200).nullable().default(null),
  })
  .meta({ id: 'TemperatureReadingBody' });

export const StrikeBody = z
  .strictObject({ reason: z.string().trim().min(3).max(200) })
  .meta({ id: 'StrikeOutBody' });
export const CorrectBody = z
  .strictObject({
    correction: z.enum(CORRECTION_IDS),
    note: z.string().trim().max(200).nullable().default(null),
  })
  .meta({ id: 'BreachCorrectionBody' });
export const DecideBody = z
  .strictObject({
    decision: z.enum(DECISIONS),
    reason: z.string().trim().min(3).max(200),
  })
  .meta({ id: 'BreachDecisionBody' });

const GroundsSchema = z
  .object({ kind: z.enum(['law', 'guidance', 'common practice']), source: z.string() })
  .meta({ id: 'Grounds' });
const LimitShape = { celsius: z.number(), fahrenheit: z.number().nullable(), text: z.string() };
const CoolingLimitSchema = z.object({
  from: z.object(LimitShape).nullable(),
  targets: z.array(z.object({ to: z.object(LimitShape), withinMin: z.number() })),
  grounds: GroundsSchema,
});
const HoldingLimitSchema = z.object({
  limit: z.object(LimitShape),
  grounds: GroundsSchema,
  toleranceMin: z.number().nullable(),
  toleranceGrounds: GroundsSchema.nullable(),
});
export const RuleSetSchema = z
  .object({
    id: z.enum(['uk', 'eu', 'us']),
    name: z.string(),
    cooling: z.object({ cooked: CoolingLimitSchema, ambient: CoolingLimitSchema }),
    cold: HoldingLimitSchema,
    hot: HoldingLimitSchema,
    reheat: z.object({ to: z.object(LimitShape), text: z.string(), grounds: GroundsSchema }),
    dateCap: z.object({ days: z.number(), text: z.string(), grounds: GroundsSchema }).nullable(),
    remarks: z.array(z.string()),
    notice: z.string(),
  })
  .meta({ id: 'SafetyRuleSet' });

export const ReadingSchema = z
  .object({
    id: z.string(),
    celsius: z.number(),
    read: z.object({ value: z.number(), unit: z.string() }),
    at: z.string(),
    offHeatAt: z.string().nullable(),
    enteredAt: z.string(),
    by: z.string(),
    byYou: z.boolean(),
    note: z.string().nullable(),
    struck: z.object({ at: z.string(), by: z.string(), reason: z.string() }).nullable(),
  })
  .meta({ id: 'TemperatureReading' });

export const BreachSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    taskId: z.string().nullable(),
    lotId: z.string().nullable(),
    kind: z.enum(BREACH_KINDS),
    round: z.number().int(),
    ruleSet: z.string(),
    message: z.string(),
    foundAt: z.string(),
    foundBy: z.string(),
    correction: z
      .object({
        id: z.enum(CORRECTION_IDS),
        note: z.string().nullable(),
        at: z.string(),
        by: z.string(),
      })
      .nullable(),
    decision: z
      .object({ what: z.enum(DECISIONS), reason: z.string(), at: z.string(), by: z.string() })
      .nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'SafetyBreach' });

export const RecordSchema = z
  .object({
    siteId: z.string(),
    kind: z.enum(BREACH_KINDS),
    ruleSet: RuleSetSchema,
    /** The limit that applies to this record, in one sentence. */
    limit: z.string(),
    state: z.enum(['no-readings', 'under-way', 'met', 'within', 'tolerated', 'breach']),
    rounds: z.array(
      z.object({
        round: z.number().int(),
        verdict: z.string(),
        readings: z.array(ReadingSchema),
        findings: z.array(
          z.object({
            state: z.string(),
            message: z.string(),
            dueAt: z.string().nullable(),
            toText: z.string().nullable(),
          }),
        ),
        remarks: z.array(z.string()),
      }),
    ),
    struck: z.array(ReadingSchema),
    breaches: z.array(BreachSchema),
    corrections: z.array(
      z.object({
        id: z.enum(CORRECTION_IDS),
        text: z.string(),
        beginsAnew: z.boolean(),
        grounds: GroundsSchema,
      }),
    ),
    notice: z.string(),
  })
  .meta({ id: 'SafetyRecord' });

export const OverviewSchema = z
  .object({
    siteId: z.string(),
    ruleSet: RuleSetSchema,
    breaches: z.array(BreachSchema),
    held: z.array(
      z.object({
        lotId: z.string(),
        item: z.object({ id: z.string(), name: z.string() }),
        amount: z.object({ value: z.number(), unit: z.string() }),
        useBy: z.string(),
        reason: z.string(),
      }),
    ),
    cooling: z.array(
      z.object({
        taskId: z.string(),
        name: z.string(),
        makeDate: z.string(),
        state: z.enum(['no-readings', 'under-way', 'met', 'breach']),
        next: z.object({ toText: z.string(), dueAt: z.string() }).nullable(),
      }),
    ),
    notice: z.string(),
  })
  .meta({ id: 'SafetyOverview' });
