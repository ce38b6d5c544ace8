import { z } from 'zod';
import { ServiceDate } from '../../http/wire.ts';

const MoneyOut = z.object({ amount: z.string(), currency: z.string() });
const Codes = z.array(z.string());

const AllergenDifference = z
  .object({
    addedContains: Codes,
    removedContains: Codes,
    addedMayContain: Codes,
    removedMayContain: Codes,
    newlyNotDeclared: Codes,
    addsRisk: z.boolean(),
  })
  .meta({ id: 'AllergenDifference' });

const Cost = z.object({
  status: z.enum(['complete', 'incomplete']),
  cost: MoneyOut.nullable(),
  knownCost: MoneyOut,
  missing: z.array(z.string()),
});

export const ImpactSchema = z
  .object({
    versionId: z.string(),
    versionNumber: z.number().int(),
    recipeId: z.string(),
    recipeName: z.string(),
    from: z.string(),
    to: z.string().nullable(),
    /** A second person has to publish it. */
    addsAllergens: z.boolean(),
    dishes: z.array(
      z.object({
        dishId: z.string(),
        name: z.string(),
        servedBefore: z.boolean(),
        allergens: AllergenDifference.nullable(),
        sites: z.array(
          z.object({
            siteId: z.string(),
            siteName: z.string(),
            from: z.string(),
            to: z.string().nullable(),
            menuNames: z.array(z.string()),
            serviceIds: z.array(z.string().nullable()),
            costBefore: Cost.nullable(),
            costAfter: Cost,
            /** Null while one of the two is not complete. */
            costChange: MoneyOut.nullable(),
            allergens: AllergenDifference.nullable(),
          }),
        ),
      }),
    ),
    notice: z.string(),
  })
  .meta({ id: 'VersionImpact' });

export const ImpactQuery = z.object({ from: ServiceDate.optional() });
