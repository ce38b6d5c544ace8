import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { ALLERGEN_NOTICE } from '../../core/allergens/index.ts';
import { AllergenMatrixSchema, AllergenQuery, OneDishAllergens } from './dish-allergens.schema.ts';
import type {
  DishAllergens,
  DishAllergensService,
  NamedPresence,
} from './dish-allergens.service.ts';
import { DishParams, SiteParams } from './dish-costs.schema.ts';

const toWays = (ways: readonly (readonly string[])[]) => ways.map((way) => [...way]);
const toPresence = (presence: NamedPresence) => ({ ...presence, ways: toWays(presence.ways) });
const toDetail = (dish: DishAllergens) => ({
  ...dish,
  contains: dish.contains.map(toPresence),
  mayContain: dish.mayContain.map(toPresence),
  notDeclared: toWays(dish.notDeclared),
  versions: [...dish.versions],
});

/** What a site's dishes contain and may contain on a date. */
export function dishAllergensRoutes(
  service: DishAllergensService,
  today: () => string,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['dishes'];

    app.get(
      '/sites/:siteId/allergens',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Dishes offered on a date by the allergen groups of EU, UK or US law',
          params: SiteParams,
          querystring: AllergenQuery,
          response: { 200: AllergenMatrixSchema },
        },
      },
      async ({ params, query }) => {
        const date = query.on ?? today();
        const { site, matrix, dishes } = await service.matrix(params.siteId, date, query.rules);
        const details = new Map(dishes.map((dish) => [dish.dishId, dish]));
        return {
          siteId: site.id,
          siteName: site.name,
          serviceDate: matrix.serviceDate,
          rules: matrix.regime,
          groups: matrix.groups.map((group) => ({ ...group })),
          rows: matrix.rows.flatMap((row) => {
            const detail = details.get(row.dishId);
            if (!detail) return [];
            return {
              dishId: row.dishId,
              name: row.name,
              status: row.status,
              cells: row.cells.map((cell) => ({
                ...cell,
                kinds: [...cell.kinds],
                mayContainKinds: [...cell.mayContainKinds],
              })),
              detail: toDetail(detail),
            };
          }),
          notice: matrix.notice,
        };
      },
    );

    app.get(
      '/sites/:siteId/dishes/:dishId/allergens',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Allergens of one dish with the way each comes in',
          params: DishParams,
          querystring: AllergenQuery,
          response: { 200: OneDishAllergens },
        },
      },
      async ({ params, query }) => {
        const serviceDate = query.on ?? today();
        const found = await service.one(params.siteId, params.dishId, serviceDate, query.rules);
        return {
          siteId: found.site.id,
          serviceDate,
          rules: found.rules,
          dish: toDetail(found.dish),
          notice: ALLERGEN_NOTICE,
        };
      },
    );
  };
}
