import { z } from 'zod';
import { PageQuery, pageSchema } from '../../http/paging.ts';
import { Id, Money, Name, ServiceDate, WithArchived } from '../../http/wire.ts';

const LineBody = z.strictObject({
  dishId: Id,
  serviceId: Id.nullable().default(null),
  share: z.number().gt(0).max(1),
  price: Money,
  priceIncludesTax: z.boolean().default(false),
  taxRate: z.number().min(0).max(1),
  targetCost: z.number().gt(0).max(1).nullable().default(null),
  oneACover: z
    .boolean()
    .default(false)
    .meta({ description: 'A guest orders it once at most; portions then vary less.' }),
});

export const MenuBody = z
  .strictObject({
    name: Name,
    activeFrom: ServiceDate,
    activeTo: ServiceDate.nullable().default(null),
    lines: z.array(LineBody).max(500).default([]),
  })
  .meta({ id: 'MenuBody' });

const MoneyOut = z.object({ amount: z.string(), currency: z.string() });
const lineFields = {
  id: z.string(),
  dishId: z.string(),
  dishName: z.string(),
  serviceId: z.string().nullable(),
  share: z.number(),
  netPrice: MoneyOut,
  /** As printed on the menu. */
  grossPrice: MoneyOut,
  taxRate: z.number(),
  targetCost: z.number().nullable(),
  oneACover: z.boolean(),
};

export const MenuSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    name: z.string(),
    activeFrom: z.string(),
    activeTo: z.string().nullable(),
    lines: z.array(z.object(lineFields)),
    archived: z.boolean(),
    rev: z.number().int(),
  })
  .meta({ id: 'Menu' });
export const MenuPage = pageSchema(MenuSchema, 'Menu');

export const MenuQuery = PageQuery.extend({
  archived: WithArchived,
  on: ServiceDate.optional(),
});
export const SiteParams = z.object({ siteId: z.string() });
export const MenuParams = z.object({ menuId: z.string() });
