import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { subtractMoney, type Money } from '../../core/money/index.ts';
import {
  CostQuery,
  DateQuery,
  DishCostSchema,
  DishParams,
  OfferedDishes,
  SiteParams,
} from './dish-costs.schema.ts';
import type { DishCost, DishCostsService } from './dish-costs.service.ts';
import { leaving, unitPriceLeaving } from './site-prices.ts';

function toSummary({ dishId, name, version, costing, waste, lines }: DishCost) {
  return {
    dishId,
    name,
    version: {
      id: version.id,
      number: version.number,
      firstServiceDate: version.firstServiceDate,
    },
    status: costing.status,
    cost: costing.cost && leaving(costing.cost),
    knownCost: leaving(costing.knownCost),
    wasteCost: unitPriceLeaving(waste.cost),
    missing: costing.missing.map((missing) => ({ ...missing })),
    menuLines: lines.map(({ line, figures }) => ({
      menuLineId: line.id,
      menuName: line.menuName,
      serviceId: line.serviceId,
      netPrice: leaving(figures.netPrice),
      foodCostFraction: figures.foodCostFraction,
      knownFoodCostFraction: figures.knownFoodCostFraction,
      margin: figures.margin && leaving(figures.margin),
      marginAtMost: leaving(figures.marginAtMost),
      targetCost: line.targetCost,
      withinTarget: figures.withinTarget,
    })),
  };
}

/** The two are in one currency, by the service. */
function withoutWaste(cost: Money, waste: Money): Money {
  const rest = subtractMoney(cost, waste);
  return rest.ok ? rest.value : cost;
}

function toBody(cost: DishCost) {
  const { costing } = cost;
  return {
    siteId: cost.site.id,
    serviceDate: cost.date,
    currency: costing.currency,
    ...toSummary(cost),
    drivers: costing.drivers.map((driver) => ({
      itemId: driver.itemId,
      name: driver.name,
      quantity: driver.quantity,
      baseUnit: driver.baseUnit,
      unitPrice: unitPriceLeaving(driver.unitPrice),
      cost: unitPriceLeaving(driver.cost),
      shareFraction: driver.shareFraction,
      packId: driver.basis?.packId ?? null,
      pricedFrom: driver.basis?.validFrom ?? null,
      rate: driver.basis?.conversion ?? null,
    })),
    waste: {
      cost: unitPriceLeaving(cost.waste.cost),
      costWithout: costing.cost && leaving(withoutWaste(costing.cost, cost.waste.cost)),
      window: cost.waste.window,
      items: cost.waste.items.map((item) => ({ ...item })),
      notKnown: cost.waste.items.length === 0,
    },
    byProductsUsed: costing.byProductItemIds.map((itemId) => ({
      itemId,
      name: cost.itemNames.get(itemId) ?? itemId,
    })),
    sensitivity: {
      riseFraction: cost.riseFraction,
      items: cost.sensitivity.map(({ itemId, name, rise }) => ({
        itemId,
        name,
        change: unitPriceLeaving(rise.change),
        costAfter: rise.costAfter && leaving(rise.costAfter),
        changeFraction: rise.changeFraction,
      })),
    },
  };
}

/** What dishes cost and earn at a site on a date. */
export function dishCostsRoutes(
  service: DishCostsService,
  today: () => string,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['dishes'];

    app.get(
      '/sites/:siteId/dishes',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The dishes offered on a date, with what they cost and earn',
          params: SiteParams,
          querystring: DateQuery,
          response: { 200: OfferedDishes },
        },
      },
      async ({ params, query }) => {
        const serviceDate = query.on ?? today();
        const { site, costs } = await service.offered(params.siteId, serviceDate);
        return {
          siteId: site.id,
          serviceDate,
          currency: site.currency,
          items: costs.map(toSummary),
        };
      },
    );

    app.get(
      '/sites/:siteId/dishes/:dishId/cost',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Plate cost of a portion, what drives it, food cost and margin',
          params: DishParams,
          querystring: CostQuery,
          response: { 200: DishCostSchema },
        },
      },
      async ({ params, query }) =>
        toBody(await service.one(params.siteId, params.dishId, query.on ?? today(), query.rise)),
    );
  };
}
