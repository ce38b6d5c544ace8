import { z } from 'zod';

const Figure = z.object({ value: z.number(), text: z.string() });

export const NutritionSchema = z
  .object({
    versionId: z.string(),
    versionNumber: z.number().int(),
    recipeId: z.string(),
    name: z.string(),
    /** Components are those in force on this date. */
    serviceDate: z.string(),
    status: z.enum(['complete', 'incomplete']),
    portionMassG: z.number().nullable(),
    rows: z.array(
      z.object({
        id: z.string(),
        label: z.string(),
        ofWhich: z.boolean(),
        per100g: Figure.nullable(),
        perPortion: Figure.nullable(),
        referenceIntakeFraction: z.number().nullable(),
        missing: z.array(z.string()).meta({ description: 'Names of what keeps it unknown.' }),
      }),
    ),
    sharedByMass: z.array(z.string()),
    ingredientList: z
      .object({
        text: z.string(),
        segments: z.array(z.object({ text: z.string(), emphasised: z.boolean() })),
        notDeclared: z
          .array(z.string())
          .meta({ description: 'While any are named here the list must not be used.' }),
      })
      .nullable(),
    ingredientListMissing: z.string().nullable(),
    notice: z.string(),
  })
  .meta({ id: 'VersionNutrition' });
