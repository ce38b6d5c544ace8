import { z } from 'zod';
import { AmountOrZero, Id, Note, ServiceDate, WithArchived } from '../../http/wire.ts';
import { PAR_RULES } from './par-levels.ports.ts';

const MoneyOut = z.object({ amount: z.string(), currency: z.string() });
const Days = z.number().int();
const ODDS =
  'The chance lies above 0 and below 1: no kitchen is sure to be without, or never short.';

export const ParRuleName = z.enum(PAR_RULES).meta({
  id: 'ParRule',
  description:
    'fixed: a quantity a person set. service_level: a chance of lasting until more can be ready. margin_against_waste: the margin lost on a portion short weighed against the cost of one thrown away.',
});

export const ParBody = z
  .strictObject({
    /** A dish or a component. */
    recipeId: Id,
    rule: ParRuleName,
    /** With the rule fixed: whole portions of a dish ({each}), an amount of a component. */
    fixed: AmountOrZero.nullable().default(null),
    /** With the rule service_level: above 0 and below 1. */
    serviceLevel: z.number().gt(0, ODDS).lt(1, ODDS).nullable().default(null),
    reviewDays: Days.min(1).max(14).default(1),
    leadDays: Days.min(0).max(14).default(0),
    validFrom: ServiceDate.nullable().default(null),
    validTo: ServiceDate.nullable().default(null),
    reason: Note.max(300).nullable().default(null),
  })
  .meta({ id: 'ParLevelBody' });

const Outcome = {
  quantity: AmountOrZero,
  portions: z.number(),
  chanceEnough: z.number(),
  expectedShortfall: z.number(),
  expectedCarriedOver: z.number(),
  expectedWaste: z.number(),
  expectedCost: MoneyOut.nullable(),
};
const Variant = z
  .object({
    ...Outcome,
    /** What it would cost above the par (below it: negative). */
    extraCost: MoneyOut.nullable(),
  })
  .meta({ id: 'ParVariant' });

export const ParAnswerSchema = z
  .object({
    ...Outcome,
    /** Base units in one portion; the portions below are of this size. */
    portionSize: z.number(),
    fromDate: z.string(),
    toDate: z.string(),
    meanDemand: z.number(),
    spreadDemand: z.number(),
    /** Chance of having enough that pays: margin ÷ (margin + waste). */
    criticalFraction: z.number().nullable(),
    costOfShort: MoneyOut.nullable(),
    costOfWaste: MoneyOut.nullable(),
    perServiceLevel: z.number(),
    keepsMin: z.number(),
    tenPercentLess: Variant,
    tenPercentMore: Variant,
    services: z.array(
      z.object({
        serviceId: z.string(),
        serviceName: z.string(),
        serviceDate: z.string(),
        forecastId: z.string(),
        portions: z.number(),
      }),
    ),
    notes: z.array(z.string()),
  })
  .meta({ id: 'ParAnswer', description: 'What a par is expected to lead to, in portions.' });

export const ParOverrideSchema = z
  .object({
    id: z.string(),
    parId: z.string(),
    serviceDate: z.string(),
    quantity: AmountOrZero,
    reason: z.string(),
    /** What the par said for that date when it was entered. */
    parQuantity: AmountOrZero.nullable(),
    enteredBy: z.string(),
    enteredAt: z.string(),
  })
  .meta({ id: 'ParOverride' });

export const ParSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    recipeId: z.string(),
    name: z.string(),
    kind: z.enum(['dish', 'component']),
    rule: ParRuleName,
    fixed: AmountOrZero.nullable(),
    serviceLevel: z.number().nullable(),
    reviewDays: z.number().int(),
    leadDays: z.number().int(),
    validFrom: z.string().nullable(),
    validTo: z.string().nullable(),
    reason: z.string().nullable(),
    enteredBy: z.string(),
    archived: z.boolean(),
    rev: z.number().int(),
    /** Null where nothing can be said just now; `cannotSay` says why. */
    answer: ParAnswerSchema.nullable(),
    cannotSay: z.string().nullable(),
    overrides: z.array(ParOverrideSchema),
  })
  .meta({ id: 'ParLevel' });

export const ParList = z.object({ items: z.array(ParSchema) }).meta({ id: 'ParLevelList' });

export const ParOverrideBody = z
  .strictObject({
    quantity: AmountOrZero,
    reason: z.string().trim().min(3, 'Say why in a few words.').max(300),
  })
  .meta({ id: 'ParOverrideBody' });

export const ScoredOverrides = z
  .object({
    items: z.array(
      z.object({
        ...ParOverrideSchema.shape,
        score: z
          .object({
            sold: AmountOrZero,
            soldOut: z.boolean(),
            /** Quantity less what was sold, base units: above 0 too much. */
            overrideError: z.number(),
            parError: z.number().nullable(),
            closer: z.enum(['override', 'par', 'equal']).nullable(),
          })
          .nullable(),
      }),
    ),
  })
  .meta({ id: 'ParOverrideList' });

export const SiteParams = z.object({ siteId: z.string() });
export const ParParams = z.object({ parId: z.string() });
export const ParDateParams = z.object({ parId: z.string(), serviceDate: ServiceDate });
export const ArchivedQuery = z.object({ archived: WithArchived });
export const DatesQuery = z.object({ from: ServiceDate, to: ServiceDate });
