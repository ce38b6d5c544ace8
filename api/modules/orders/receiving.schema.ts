import { z } from 'zod';
import { Money, ServiceDate } from '../../http/wire.ts';
import { OrderSchema } from './orders.schema.ts';

const DecimalText = z
  .string()
  .regex(/^\d{1,8}(\.\d{1,4})?$/, 'Write money as a decimal of zero or more, such as "12.40".');
const Packs = z.number().int().min(0).max(99_999);
const LineIds = z.array(z.string().max(80)).max(500).default([]);

export const DeliveryBody = z
  .strictObject({
    date: ServiceDate.nullable().default(null),
    lines: z
      .array(
        z.strictObject({
          lineId: z.string().max(80),
          packs: Packs,
          refusedPacks: Packs.default(0),
          refusedReason: z.string().trim().min(1).max(200).optional(),
          useByDate: ServiceDate.optional(),
          temperatureC: z.number().min(-60).max(100).optional(),
          pricePerPack: DecimalText.optional(),
          supplierLot: z.string().trim().min(1).max(80).optional(),
        }),
      )
      .max(500),
    final: z
      .boolean()
      .default(false)
      .describe('The supplier brings nothing more of this order, though packs are missing.'),
    takeOver: LineIds.describe('Lines of which more than ordered is taken in on purpose.'),
    takeDespite: LineIds.describe(
      'Lines taken in although too warm or out of date by the label: you answer for it.',
    ),
    note: z.string().trim().min(1).max(500).nullable().default(null),
  })
  .meta({ id: 'DeliveryBody' });

const Finding = z.object({
  lineId: z.string(),
  kind: z.string(),
  message: z.string(),
});

export const DeliverySchema = z
  .object({
    id: z.string(),
    date: z.string(),
    receivedAt: z.string(),
    by: z.string(),
    final: z.boolean(),
    note: z.string().nullable(),
    lines: z.array(
      z.object({
        lineId: z.string(),
        packs: z.number().int(),
        refusedPacks: z.number().int(),
        refusedReason: z.string().nullable(),
        useByDate: z.string().nullable(),
        temperatureC: z.number().nullable(),
        pricePerPack: Money.nullable(),
        supplierLot: z.string().nullable(),
      }),
    ),
    findings: z.array(Finding),
  })
  .meta({ id: 'Delivery' });

export const ReceivedSchema = z
  .object({
    order: OrderSchema,
    delivery: DeliverySchema,
    lotIds: z.array(z.string()),
    notice: z.string(),
  })
  .meta({ id: 'Received' });

export const DeliveriesSchema = z
  .object({ items: z.array(DeliverySchema), notice: z.string() })
  .meta({ id: 'Deliveries' });

export const InvoiceBody = z
  .strictObject({
    number: z.string().trim().min(1).max(60),
    date: ServiceDate,
    currency: z.string().length(3),
    deliveryCharge: DecimalText.default('0'),
    lines: z
      .array(
        z.strictObject({ lineId: z.string().max(80), packs: Packs, pricePerPack: DecimalText }),
      )
      .max(500),
  })
  .meta({ id: 'InvoiceBody' });

export const InvoiceSchema = z
  .object({
    id: z.string(),
    number: z.string(),
    date: z.string(),
    by: z.string(),
    deliveryCharge: Money,
    lines: z.array(z.object({ lineId: z.string(), packs: z.number().int(), pricePerPack: Money })),
    findings: z.array(
      z.object({
        lineId: z.string().nullable(),
        kind: z.string(),
        packs: z.number().int(),
        creditDue: Money,
      }),
    ),
    creditDue: Money,
  })
  .meta({ id: 'Invoice' });
export const InvoicesSchema = z.object({ items: z.array(InvoiceSchema) }).meta({ id: 'Invoices' });
