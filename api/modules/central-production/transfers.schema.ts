import { z } from 'zod';
import { AmountOrZero, Id, ServiceDate } from '../../http/wire.ts';
import { MOST_MINUTES_AGO } from '../platform/index.ts';
import { Named } from './central-production.schema.ts';
import { TRANSFER_STATUSES } from './transfers.ports.ts';

const Celsius = z.object({ value: z.number(), unit: z.enum(['Cel', '[degF]']) });

export const CarryBody = z
  .strictObject({
    lots: z
      .array(z.strictObject({ lotId: Id, amount: AmountOrZero }))
      .min(1)
      .max(50)
      .meta({ description: 'How much of each lot. What came is said of every lot that left.' }),
    temperature: Celsius.nullable()
      .default(null)
      .meta({ description: 'In the middle of the food; due for what is kept chilled or frozen.' }),
    minutesAgo: z.number().min(0).max(MOST_MINUTES_AGO).default(0),
    note: z.string().trim().min(3).max(300).nullable().default(null),
  })
  .meta({ id: 'CarryBody' });
export const CallOffBody = z
  .strictObject({ reason: z.string().trim().min(3).max(300) })
  .meta({ id: 'CallOffBody' });

const CarriedTemperatureSchema = z
  .object({
    value: z.number(),
    unit: z.string(),
    celsius: z.number(),
    verdict: z.enum(['within', 'warm', 'not-judged']),
    message: z.string(),
  })
  .nullable();

export const TransferSchema = z
  .object({
    id: z.string(),
    component: Named,
    versionId: z.string(),
    from: Named,
    to: Named,
    leaveDate: z.string(),
    leavesAt: z.string(),
    arrivesAt: z.string(),
    status: z.enum(TRANSFER_STATUSES),
    container: z.object({ name: z.string(), holds: AmountOrZero }),
    containers: z.number(),
    asked: z.object({ amount: AmountOrZero, node: z.string() }),
    promised: AmountOrZero.nullable().meta({
      description: 'What the making site’s plan can give; null before it was worked out with it.',
    }),
    serves: z.array(
      z.object({
        label: z.string(),
        serviceDate: z.string(),
        at: z.string(),
        amount: AmountOrZero,
      }),
    ),
    neededUntil: z.string(),
    useBy: z.string().meta({ description: 'As planned; the lots that come have their own.' }),
    storage: z.enum(['chilled', 'frozen', 'ambient']),
    limits: z
      .object({ leaving: z.string().nullable(), arriving: z.string().nullable() })
      .meta({ description: 'At most this warm, by the rule set of each site.' }),
    sent: z
      .object({
        at: z.string(),
        by: z.string(),
        amount: AmountOrZero,
        lots: z.array(
          z.object({
            lotId: z.string(),
            lotCode: z.string(),
            amount: AmountOrZero,
            useBy: z.string(),
          }),
        ),
        temperature: CarriedTemperatureSchema,
        note: z.string().nullable(),
      })
      .nullable(),
    received: z
      .object({
        at: z.string(),
        by: z.string(),
        amount: AmountOrZero,
        difference: z
          .object({ value: z.number(), unit: z.string() })
          .meta({ description: 'Came less sent: below zero where something is missing.' }),
        lots: z.array(
          z.object({ fromLotId: z.string(), lotId: z.string().nullable(), amount: AmountOrZero }),
        ),
        temperature: CarriedTemperatureSchema,
        note: z.string().nullable(),
      })
      .nullable(),
    reason: z.string().nullable(),
    rev: z.number().int(),
    notice: z.string(),
  })
  .meta({ id: 'Transfer' });
export const TransferList = z
  .object({ items: z.array(TransferSchema), notice: z.string() })
  .meta({ id: 'TransferList' });
export const TransferWithLots = TransferSchema.extend({
  lotsToSend: z
    .array(
      z.object({
        lotId: z.string(),
        lotCode: z.string(),
        left: AmountOrZero,
        take: AmountOrZero,
        useBy: z.string(),
      }),
    )
    .meta({
      description: 'Lots that can leave with it, with how much of each would; for the making site.',
    }),
}).meta({ id: 'TransferWithLots' });
export const CarriedSchema = z
  .object({
    transfer: TransferSchema,
    heldLotIds: z
      .array(z.string())
      .meta({ description: 'Held back until a lead decides: too warm, or called back.' }),
  })
  .meta({ id: 'Carried' });
export const TransferParams = z.object({ transferId: z.string() });
export const TransferSiteParams = z.object({ siteId: z.string() });
export const TransferQuery = z.object({ from: ServiceDate, to: ServiceDate });
