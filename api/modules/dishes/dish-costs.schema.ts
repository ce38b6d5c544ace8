import { z } from 'zod';
import { ServiceDate } from '../../http/wire.ts';

const MoneyOut = z.object({ amount: z.string(), currency: z.string() });
const BaseUnitCode = z.enum(['g', 'ml', 'each']);

const Version = z.object({
  id: z.string(),
  number: z.number().int(),
  firstServiceDate: z.string().nullable(),
});
const MenuLineFigures = z.object({
  menuLineId: z.string(),
  menuName: z.string(),
  serviceId: z.string().nullable(),
  netPrice: MoneyOut,
  /** Cost over net price; null while the cost is incomplete. */
  foodCostFraction: z.number().nullable(),
  /** The food cost is at least this. */
  knownFoodCostFraction: z.number(),
  margin: MoneyOut.nullable(),
  marginAtMost: MoneyOut,
  targetCost: z.number().nullable(),
  withinTarget: z.boolean().nullable(),
});
const summary = {
  dishId: z.string(),
  name: z.string(),
  version: Version,
  status: z.enum(['complete', 'incomplete']),
  /** Null while a price is missing: an incomplete cost is not a cost. */
  cost: MoneyOut.nullable(),
  /** The cost is at least this. */
  knownCost: MoneyOut,
  /** Part of the known cost that pays for what is expected to be thrown away. */
  wasteCost: MoneyOut,
  missing: z.array(
    z.object({
      itemId: z.string(),
      name: z.string(),
      quantity: z.number(),
      reason: z.enum(['no-pack', 'no-price', 'no-rate']),
    }),
  ),
  menuLines: z.array(MenuLineFigures),
};

export const DishCostSchema = z
  .object({
    siteId: z.string(),
    serviceDate: z.string(),
    currency: z.string(),
    ...summary,
    drivers: z.array(
      z.object({
        itemId: z.string(),
        name: z.string(),
        quantity: z.number(),
        baseUnit: BaseUnitCode,
        unitPrice: MoneyOut,
        cost: MoneyOut,
        shareFraction: z.number(),
        packId: z.string().nullable(),
        pricedFrom: z.string().nullable(),
        rate: z.object({ rate: z.string(), validFrom: z.string() }).nullable(),
      }),
    ),
    /** What is expected to be thrown away: in the cost, and here by itself. */
    waste: z.object({
      cost: MoneyOut,
      costWithout: MoneyOut.nullable(),
      window: z.object({ from: z.string(), to: z.string() }),
      items: z.array(
        z.object({
          itemId: z.string(),
          name: z.string(),
          fraction: z.number(),
          from: z.enum(['recorded', 'stated']),
          source: z.string(),
        }),
      ),
      notKnown: z
        .boolean()
        .meta({ description: 'Nothing is recorded or stated: the cost has no waste in it.' }),
    }),
    byProductsUsed: z.array(z.object({ itemId: z.string(), name: z.string() })),
    sensitivity: z.object({
      riseFraction: z.string(),
      items: z.array(
        z.object({
          itemId: z.string(),
          name: z.string(),
          change: MoneyOut,
          costAfter: MoneyOut.nullable(),
          changeFraction: z.number(),
        }),
      ),
    }),
  })
  .meta({ id: 'DishCost' });

export const OfferedDishes = z
  .object({
    siteId: z.string(),
    serviceDate: z.string(),
    currency: z.string(),
    items: z.array(z.object(summary)),
  })
  .meta({ id: 'OfferedDishes' });

export const CostQuery = z.object({
  on: ServiceDate.optional(),
  /** How much dearer an ingredient gets: 0.10 is ten in a hundred. */
  rise: z
    .string()
    .regex(/^-?\d(\.\d{1,4})?$/, 'Write the rise as a fraction, such as 0.10.')
    .default('0.10'),
});
export const DateQuery = z.object({ on: ServiceDate.optional() });
export const SiteParams = z.object({ siteId: z.string() });
export const DishParams = z.object({ siteId: z.string(), dishId: z.string() });
