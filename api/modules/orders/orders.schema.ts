import { z } from 'zod';
import { pageSchema } from '../../http/paging.ts';
import { AmountOrZero, Money, ServiceDate } from '../../http/wire.ts';

const Named = z.object({ id: z.string(), name: z.string() });

export const OrderRunBody = z
  .strictObject({
    siteIds: z.array(z.string().max(80)).min(1).max(500).optional(),
    days: z.number().int().min(1).max(28).default(7),
  })
  .meta({ id: 'OrderRunBody' });

const headerShape = {
  id: z.string(),
  number: z.number().int().nullable(),
  supplier: Named,
  site: Named,
  deliveryDate: z.string(),
  cutoffAt: z.string(),
  status: z.string(),
  total: Money,
  lineCount: z.number().int(),
  method: z.string().nullable(),
  gap: z.number().nullable(),
  notes: z.array(z.string()),
  rev: z.number().int(),
};
export const OrderHeaderSchema = z.object(headerShape).meta({ id: 'OrderHeader' });
export const OrderPageSchema = pageSchema(OrderHeaderSchema, 'Order');

export const OrderSchema = z
  .object({
    ...headerShape,
    lines: z.array(
      z.object({
        id: z.string(),
        pack: Named.extend({
          sku: z.string().nullable(),
          gtin: z.string().nullable(),
          quantity: AmountOrZero,
        }),
        ingredient: Named,
        proposedPacks: z.number().int(),
        packs: z.number().int(),
        changedByHand: z.boolean(),
        unitPrice: Money,
        lineTotal: Money,
        need: AmountOrZero,
        certain: AmountOrZero,
        surplus: AmountOrZero,
        receivedPacks: z.number().int(),
        note: z.string().nullable(),
        explained: z.boolean(),
      }),
    ),
  })
  .meta({ id: 'Order' });

export const OrderRunSchema = z
  .object({
    orders: z.array(OrderHeaderSchema),
    shortfalls: z.array(
      z.object({
        site: Named,
        ingredient: Named,
        amount: AmountOrZero,
        needDate: z.string(),
        reason: z.string(),
        message: z.string(),
      }),
    ),
  })
  .meta({ id: 'OrderRun' });

export const LinePacksBody = z
  .strictObject({ packs: z.number().int().min(0).max(9999) })
  .meta({ id: 'LinePacksBody' });

export const CancelOrderBody = z
  .strictObject({ reason: z.string().trim().min(1).max(200) })
  .meta({ id: 'CancelOrderBody' });

export const OrderTotalsQuery = z.object({ from: ServiceDate, to: ServiceDate });

export const OrderTotalsSchema = z
  .object({
    items: z.array(
      z.object({
        ingredient: Named,
        supplier: Named,
        pack: Named,
        packs: z.number().int(),
        total: Money,
        sites: z.array(z.object({ site: Named, packs: z.number().int() })),
      }),
    ),
  })
  .meta({ id: 'OrderTotals' });

export const OrderQuery = z.object({
  siteId: z.string().max(80).optional(),
  supplierId: z.string().max(80).optional(),
  deliveryDate: ServiceDate.optional(),
  status: z.enum(['proposed', 'approved', 'sent', 'received', 'cancelled']).optional(),
});
