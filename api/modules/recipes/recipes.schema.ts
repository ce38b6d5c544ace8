import { z } from 'zod';
import { PageQuery, pageSchema } from '../../http/paging.ts';
import { Name, ServiceDate, WithArchived } from '../../http/wire.ts';

export const BaseUnitCode = z.enum(['g', 'ml', 'each']);
const Kind = z.enum(['component', 'dish']);

export const RecipeBody = z
  .strictObject({
    kind: Kind,
    name: Name,
    baseUnit: BaseUnitCode,
    station: z.string().trim().min(1).max(60),
  })
  .meta({ id: 'RecipeBody' });

export const RecipeSchema = z
  .object({ id: z.string(), ...RecipeBody.shape, archived: z.boolean(), rev: z.number().int() })
  .meta({ id: 'Recipe' });
export const RecipePage = pageSchema(RecipeSchema, 'Recipe');

const RecipeName = z
  .object({ id: z.string(), name: z.string(), kind: Kind })
  .meta({ id: 'RecipeName' });
export const UsedInSchema = z
  .object({
    serviceDate: z.string(),
    direct: z.array(RecipeName),
    all: z.array(RecipeName),
  })
  .meta({ id: 'UsedIn' });

export const RecipeQuery = PageQuery.extend({
  archived: WithArchived,
  kind: Kind.optional(),
  search: z.string().trim().min(1).max(120).optional(),
});
export const RecipeParams = z.object({ recipeId: z.string() });
/** `on` is the service date; today where it is left out. */
export const OnQuery = z.object({ on: ServiceDate.optional() });
