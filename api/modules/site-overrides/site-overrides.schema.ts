import { z } from 'zod';
import { Id, ServiceDate } from '../../http/wire.ts';
import { OVERRIDE_KINDS } from '../recipes/index.ts';

const MAX_MIN = 60 * 24 * 60;
const Minutes = z.number().int().min(0).max(MAX_MIN).nullable().default(null);
const Reason = z.string().trim().min(1).max(500);

export const OverrideBody = z
  .strictObject({
    recipeId: Id,
    what: z.enum(OVERRIDE_KINDS),
    lineId: Id.nullable().default(null),
    stepId: Id.nullable().default(null),
    ingredientId: Id.nullable().default(null).meta({ description: 'The local ingredient.' }),
    trimYield: z.number().gt(0).max(1).nullable().default(null),
    cookingYield: z.number().gt(0).max(10).nullable().default(null),
    temperatureC: z.number().min(-60).max(1000).nullable().default(null),
    workingMin: Minutes,
    waitingMin: Minutes,
    fromDate: ServiceDate,
    endsBefore: ServiceDate.nullable().default(null),
    reason: Reason,
  })
  .meta({
    id: 'SiteOverrideBody',
    description: 'Of the line or step of the version in force on the first date.',
  });

export const OverrideSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    recipeId: z.string(),
    recipeName: z.string(),
    what: z.enum(OVERRIDE_KINDS),
    label: z.string(),
    text: z.string().meta({ description: 'What it does, in a cook’s words.' }),
    ingredientId: z.string().nullable(),
    trimYield: z.number().nullable(),
    cookingYield: z.number().nullable(),
    temperatureC: z.number().nullable(),
    workingMin: z.number().int().nullable(),
    waitingMin: z.number().int().nullable(),
    fromDate: z.string(),
    endsBefore: z.string().nullable(),
    reason: z.string(),
    status: z.enum(['waiting', 'standing', 'refused']),
    addsAllergens: z.array(z.string()),
    holds: z.boolean().meta({ description: 'On the date asked about.' }),
    notHolding: z.string().nullable(),
    enteredBy: z.string(),
    enteredAt: z.string(),
    confirmedBy: z.string().nullable(),
    confirmedAt: z.string().nullable(),
    endReason: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'SiteOverride' });
export const OverrideList = z
  .object({ items: z.array(OverrideSchema) })
  .meta({ id: 'SiteOverrideList' });

export const EndBody = z
  .strictObject({ endsBefore: ServiceDate, reason: Reason })
  .meta({ id: 'EndOverrideBody' });
export const RefuseBody = z.strictObject({ reason: Reason }).meta({ id: 'RefuseOverrideBody' });

export const OverrideParams = z.object({ overrideId: z.string() });
export const SiteParams = z.object({ siteId: z.string() });
export const RecipeParams = z.object({ recipeId: z.string() });
export const OnQuery = z.object({ on: ServiceDate.optional() });
