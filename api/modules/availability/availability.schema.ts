import { z } from 'zod';
import { AmountOrZero, Money, ServiceDate } from '../../http/wire.ts';

const Named = z.object({ id: z.string(), name: z.string() });
export const MOST_DAYS = 92;

export const WarningsQuery = z.object({
  days: z.coerce.number().int().min(1).max(MOST_DAYS).default(28),
});
export const WarningsParams = z.object({ siteId: z.string() });

const SubstituteOffer = z
  .object({
    ingredient: Named,
    amount: AmountOrZero.nullable().describe('As purchased, in place of what is lacking.'),
    costChange: Money.nullable().describe('Against buying the original; null: no price known.'),
    yieldChange: z.number().describe('Kept after trimming, against the original; a fraction.'),
    allergenChange: z.enum(['none', 'fewer', 'more', 'not-declared']),
    containsAdded: z.array(z.string()),
    containsRemoved: z.array(z.string()),
    mayContainAdded: z.array(z.string()),
    mayContainRemoved: z.array(z.string()),
    allergenNames: z
      .array(z.object({ code: z.string(), label: z.string(), kind: z.string().nullable() }))
      .describe("The codes above in the words of the law at this site: 'Nuts' with 'almond'."),
    note: z.string().nullable(),
  })
  .meta({ id: 'SubstituteOffer' });

export const WarningsSchema = z
  .object({
    site: Named,
    from: z.string(),
    to: z.string(),
    notice: z.string(),
    items: z.array(
      z.object({
        ingredient: Named,
        reason: z.enum(['out-of-season', 'withdrawn', 'out-of-stock']),
        firstDate: z.string(),
        lastDate: z.string(),
        daysAhead: z.number().int(),
        covers: z.number().nullable().describe('Guests expected at the services concerned.'),
        amount: AmountOrZero.nullable(),
        dishes: z.array(
          z.object({
            dish: Named,
            services: z.array(
              z.object({
                date: z.string(),
                service: Named,
                covers: z.number().nullable(),
              }),
            ),
          }),
        ),
        substitutes: z.array(SubstituteOffer),
      }),
    ),
  })
  .meta({ id: 'AvailabilityWarnings' });

export const SubstitutesQuery = z.object({
  on: ServiceDate.optional(),
  quantity: z.coerce
    .number()
    .positive()
    .max(10_000_000)
    .default(1000)
    .describe('As purchased, in the base unit of the original.'),
});
export const SubstitutesParams = z.object({ siteId: z.string(), ingredientId: z.string() });
export const SiteSubstitutesSchema = z
  .object({
    site: Named,
    on: z.string(),
    ingredient: Named,
    amount: AmountOrZero,
    notice: z.string(),
    items: z.array(SubstituteOffer),
  })
  .meta({ id: 'SiteSubstitutes' });
