import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { Id } from '../../http/wire.ts';
import { requireSite } from '../platform/index.ts';
import { DateQuery } from './dish-costs.schema.ts';
import { NutritionSchema } from './nutrition.schema.ts';
import type { NutritionService, VersionNutrition } from './nutrition.service.ts';

function toBody({ version, name, date, table, list, ...found }: VersionNutrition) {
  const named = (ids: readonly string[]): string[] => ids.map((id) => found.nameOf(id));
  return {
    versionId: version.id,
    versionNumber: version.number,
    recipeId: version.recipeId,
    name,
    serviceDate: date,
    status: table.status,
    portionMassG: table.portionMassG,
    rows: table.rows.map(({ missingItemIds, ...row }) => ({
      ...row,
      missing: named(missingItemIds),
    })),
    sharedByMass: named(found.sharedByMass),
    ingredientList: list && {
      text: list.segments.map((s) => (s.emphasised ? s.text.toUpperCase() : s.text)).join(''),
      segments: list.segments.map((segment) => ({ ...segment })),
      notDeclared: named(list.notDeclaredItemIds),
    },
    ingredientListMissing: found.listMissing,
    notice: table.notice,
  };
}

/** /v1/recipe-versions/:versionId/nutrition. */
export function nutritionRoutes(
  service: NutritionService,
  today: () => string,
): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/recipe-versions/:versionId/nutrition',
      {
        config: { access: 'signed-in' },
        schema: {
          tags: ['dishes'],
          summary: 'Nutrition declaration and list of ingredients of what a version makes',
          params: z.object({ versionId: z.string() }),
          querystring: DateQuery.extend({ site: Id.optional() }),
          response: { 200: NutritionSchema },
        },
      },
      async (request) => {
        const { params, query } = request;
        if (query.site !== undefined) requireSite(actorOf(request), query.site);
        const on = query.on ?? today();
        return toBody(await service.ofVersion(params.versionId, on, query.site));
      },
    );
  };
}
