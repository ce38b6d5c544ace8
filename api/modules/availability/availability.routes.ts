import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { allergenName } from '../../core/allergens/index.ts';
import { roundMoney } from '../../core/money/index.ts';
import { SUBSTITUTE_NOTICE } from '../../core/ordering/index.ts';
import { actorOf } from '../../http/access.ts';
import type { Ingredient } from '../ingredients/index.ts';
import type {
  AvailabilityService,
  Offered,
  SiteSubstitutes,
  SiteWarnings,
} from './availability.service.ts';
import {
  SiteSubstitutesSchema,
  SubstitutesParams,
  SubstitutesQuery,
  WarningsParams,
  WarningsQuery,
  WarningsSchema,
} from './availability.schema.ts';

const UCUM = { g: 'g', ml: 'mL', each: '{each}' } as const;
type Ingredients = ReadonlyMap<string, Ingredient>;

const named = (of: Ingredients, id: string) => ({ id, name: of.get(id)?.name ?? id });
const amountOf = (of: Ingredients, id: string, value: number) => ({
  value,
  unit: UCUM[of.get(id)?.baseUnit ?? 'g'],
});

function offersBody(
  offers: readonly Offered[],
  given: {
    readonly ingredients: Ingredients;
    readonly site: SiteWarnings['site'];
    readonly known: boolean;
  },
) {
  const { ingredients, site, known } = given;
  const { currency, ruleSet } = site;
  return offers.map(({ ingredientId, quantityBase, costChange, note, ...rest }) => ({
    ingredient: named(ingredients, ingredientId),
    // Without a known quantity the figures are of one unit and would mislead.
    amount: known ? amountOf(ingredients, ingredientId, quantityBase) : null,
    costChange: known && costChange !== null ? roundMoney({ amount: costChange, currency }) : null,
    yieldChange: rest.yieldChange,
    allergenChange: rest.allergenChange,
    containsAdded: [...rest.containsAdded],
    containsRemoved: [...rest.containsRemoved],
    mayContainAdded: [...rest.mayContainAdded],
    mayContainRemoved: [...rest.mayContainRemoved],
    allergenNames: [
      ...new Set([
        ...rest.containsAdded,
        ...rest.containsRemoved,
        ...rest.mayContainAdded,
        ...rest.mayContainRemoved,
      ]),
    ].map((code) => allergenName(code, ruleSet)),
    note,
  }));
}

function warningsBody(found: SiteWarnings) {
  const { site, today, to, ingredients, services, dishes } = found;
  return {
    site: { id: site.id, name: site.name },
    from: today,
    to,
    notice: SUBSTITUTE_NOTICE,
    items: found.warnings.map(({ warning, quantityBase, substitutes }) => ({
      ingredient: named(ingredients, warning.ingredientId),
      reason: warning.state,
      firstDate: warning.firstDate,
      lastDate: warning.lastDate,
      daysAhead: warning.daysAhead,
      covers: warning.covers,
      amount:
        quantityBase === null ? null : amountOf(ingredients, warning.ingredientId, quantityBase),
      dishes: warning.dishes.map(({ dishId, sittings }) => ({
        dish: { id: dishId, name: dishes.get(dishId) ?? dishId },
        services: sittings.map(({ date, serviceId, covers }) => ({
          date,
          service: { id: serviceId, name: services.get(serviceId)?.name ?? serviceId },
          covers,
        })),
      })),
      substitutes: offersBody(substitutes, {
        ingredients,
        site,
        known: quantityBase !== null,
      }),
    })),
  };
}

const substitutesBody = (found: SiteSubstitutes) => ({
  site: { id: found.site.id, name: found.site.name },
  on: found.on,
  ingredient: named(found.ingredients, found.original.id),
  amount: amountOf(found.ingredients, found.original.id, found.quantityBase),
  notice: SUBSTITUTE_NOTICE,
  items: offersBody(found.substitutes, {
    ingredients: found.ingredients,
    site: found.site,
    known: true,
  }),
});

/** What a site's menus count on that cannot be had, and what may stand in for it. */
export function availabilityRoutes(service: AvailabilityService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['supply terms'];

    app.get(
      '/sites/:siteId/availability-warnings',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What the menus ahead count on and cannot be had: dishes, services and guests',
          params: WarningsParams,
          querystring: WarningsQuery,
          response: { 200: WarningsSchema },
        },
      },
      async (request) =>
        warningsBody(
          await service.warnings(actorOf(request), request.params.siteId, request.query.days),
        ),
    );

    app.get(
      '/sites/:siteId/ingredients/:ingredientId/substitutes',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What may stand in for an ingredient, with cost, allergen and yield change',
          params: SubstitutesParams,
          querystring: SubstitutesQuery,
          response: { 200: SiteSubstitutesSchema },
        },
      },
      async (request) => {
        const { siteId, ingredientId } = request.params;
        const { on, quantity } = request.query;
        const asked = { quantityBase: quantity, on };
        return substitutesBody(
          await service.substitutes(actorOf(request), siteId, ingredientId, asked),
        );
      },
    );
  };
}
