import { z } from 'zod';

const Quantity = z.object({ value: z.number(), unit: z.string() });
export const TracedLotSchema = z
  .object({
    lotId: z.string(),
    lotCode: z.string(),
    item: z.object({ kind: z.string(), id: z.string(), name: z.string() }),
    site: z.object({ id: z.string(), name: z.string() }),
    supplier: z.string().nullable(),
    supplierLot: z.string().nullable(),
    madeAt: z.string(),
    useBy: z.string(),
    sourceKind: z.string(),
    heldReason: z.string().nullable(),
    came: Quantity,
    used: Quantity,
    sold: Quantity,
    wasted: Quantity,
    sent: Quantity,
    unexplained: Quantity,
    left: Quantity,
  })
  .meta({ id: 'TracedLot' });

export const FoundLotsSchema = z
  .object({ items: z.array(TracedLotSchema) })
  .meta({ id: 'FoundLots' });

export const TraceSchema = z
  .object({
    start: TracedLotSchema,
    back: z.array(z.object({ lot: TracedLotSchema, steps: z.number().int() })),
    forward: z.array(z.object({ lot: TracedLotSchema, steps: z.number().int() })),
    links: z.array(
      z.object({
        fromLotId: z.string(),
        toLotId: z.string(),
        amount: Quantity,
        taskId: z.string().nullable(),
      }),
    ),
    services: z.array(
      z.object({
        lotId: z.string(),
        site: z.object({ id: z.string(), name: z.string() }),
        service: z.object({ id: z.string(), name: z.string() }),
        serviceDate: z.string(),
        dish: z.object({ id: z.string(), name: z.string() }),
        portions: z.number().int(),
        amount: Quantity,
      }),
    ),
    mayHaveReached: z.array(z.object({ id: z.string(), name: z.string() })),
    hiddenLots: z.number().int(),
    remarks: z.array(z.string()),
  })
  .meta({ id: 'LotTrace' });

export const FindQuery = z.object({ code: z.string().trim().min(1).max(80) });
export const RecallBody = z
  .strictObject({ reason: z.string().trim().min(3).max(200) })
  .meta({ id: 'RecallBody' });
export const RecalledSchema = z.object({ held: z.array(z.string()) }).meta({ id: 'Recalled' });
