import { z } from 'zod';
import { ServiceDate } from '../../http/wire.ts';

const Regime = z.enum(['eu', 'uk', 'us']);
const Names = z.array(z.string());

const Presence = z.object({
  groupId: z.string(),
  label: z.string(),
  code: z.string(),
  kind: z.string().nullable(),
  ways: z.array(Names),
});
export const DishAllergensSchema = z
  .object({
    dishId: z.string(),
    name: z.string(),
    status: z.enum(['declared', 'not-declared']),
    contains: z.array(Presence),
    mayContain: z.array(Presence),
    notDeclared: z.array(Names),
    sulphitesMgPerKg: z.number().nullable(),
    versions: z.array(
      z.object({ versionId: z.string(), recipeName: z.string(), number: z.number().int() }),
    ),
  })
  .meta({ id: 'DishAllergens' });

export const OneDishAllergens = z
  .object({
    siteId: z.string(),
    serviceDate: z.string(),
    rules: Regime,
    dish: DishAllergensSchema,
    notice: z.string(),
  })
  .meta({ id: 'OneDishAllergens' });

export const AllergenMatrixSchema = z
  .object({
    siteId: z.string(),
    siteName: z.string(),
    serviceDate: z.string(),
    rules: Regime,
    groups: z.array(z.object({ id: z.string(), label: z.string() })),
    rows: z.array(
      z.object({
        dishId: z.string(),
        name: z.string(),
        status: z.enum(['declared', 'not-declared']),
        cells: z.array(
          z.object({
            groupId: z.string(),
            status: z.enum(['contains', 'may-contain', 'not-declared', 'none-declared']),
            kinds: Names,
            mayContainKinds: Names,
            kindNotNamed: z.boolean(),
          }),
        ),
        detail: DishAllergensSchema,
      }),
    ),
    notice: z.string(),
  })
  .meta({ id: 'AllergenMatrix' });

export const AllergenQuery = z.object({ on: ServiceDate.optional(), rules: Regime.optional() });
