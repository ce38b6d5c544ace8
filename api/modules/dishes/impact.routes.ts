import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { ALLERGEN_NOTICE, type AllergenChange } from '../../core/allergens/index.ts';
import type { Costing } from '../../core/cost/index.ts';
import { subtractMoney } from '../../core/money/index.ts';
import { ImpactQuery, ImpactSchema } from './impact.schema.ts';
import type { ImpactService, SiteImpact, VersionImpact } from './impact.service.ts';
import { leaving } from './site-prices.ts';

const toDifference = (change: AllergenChange | null) =>
  change && {
    addedContains: change.addedContains.map(({ code }) => code),
    removedContains: change.removedContains.map(({ code }) => code),
    addedMayContain: change.addedMayContain.map(({ code }) => code),
    removedMayContain: change.removedMayContain.map(({ code }) => code),
    newlyNotDeclared: [...change.newlyNotDeclared],
    addsRisk: change.addsRisk,
  };

const toCost = (costing: Costing) => ({
  status: costing.status,
  cost: costing.cost && leaving(costing.cost),
  knownCost: leaving(costing.knownCost),
  missing: costing.missing.map(({ name }) => name),
});

function costChange({ costBefore, costAfter }: SiteImpact) {
  if (!costBefore?.cost || !costAfter.cost) return null;
  const change = subtractMoney(costAfter.cost, costBefore.cost);
  return change.ok ? leaving(change.value) : null;
}

function toBody({ version, recipeName, from, to, dishes, addsAllergens }: VersionImpact) {
  return {
    versionId: version.id,
    versionNumber: version.number,
    recipeId: version.recipeId,
    recipeName,
    from,
    to,
    addsAllergens,
    dishes: dishes.map((dish) => ({
      dishId: dish.dishId,
      name: dish.name,
      servedBefore: dish.servedBefore,
      allergens: toDifference(dish.allergens),
      sites: dish.sites.map((impact) => ({
        siteId: impact.site.id,
        siteName: impact.site.name,
        from: impact.from,
        to: impact.to,
        menuNames: [...impact.menuNames],
        serviceIds: [...impact.serviceIds],
        costBefore: impact.costBefore && toCost(impact.costBefore),
        costAfter: toCost(impact.costAfter),
        costChange: costChange(impact),
        allergens: toDifference(impact.allergens),
      })),
    })),
    notice: ALLERGEN_NOTICE,
  };
}

/** /v1/recipe-versions/:versionId/impact: where a version is used, before it is published. */
export function impactRoutes(service: ImpactService, today: () => string): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/recipe-versions/:versionId/impact',
      {
        config: { access: ['lead', 'admin', 'purchasing'] },
        schema: {
          tags: ['recipes'],
          summary: 'Each dish, site and date a version changes, with cost and allergens',
          params: z.object({ versionId: z.string() }),
          querystring: ImpactQuery,
          response: { 200: ImpactSchema },
        },
      },
      async ({ params, query }) =>
        toBody(await service.ofVersion(params.versionId, query.from ?? today())),
    );
  };
}
