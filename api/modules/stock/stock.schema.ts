import { z } from 'zod';
import { pageSchema } from '../../http/paging.ts';
import { Amount, AmountOrZero, Id, Instant, Note } from '../../http/wire.ts';
import { ITEM_KINDS, LOT_STATES } from './stock.ports.ts';
import { WASTE_REASONS } from './stock-changes.service.ts';

export const ItemKindSchema = z.enum(ITEM_KINDS).meta({ id: 'ItemKind' });
const BaseAmount = z
  .object({ value: z.number(), unit: z.string() })
  .meta({ id: 'StockAmount', description: 'In the base unit of the item: g, mL or {each}.' });
const itemShape = { itemKind: ItemKindSchema, itemId: z.string(), itemName: z.string() };

export const LotSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    ...itemShape,
    amount: BaseAmount,
    madeAt: z.string(),
    useBy: z.string(),
    state: z.enum(['usable', 'expired', 'held', 'used_up']),
    heldReason: z.string().nullable(),
    sourceKind: z.string(),
    sourceId: z.string().nullable(),
    supplierLot: z.string().nullable(),
    note: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'StockLot' });
export const LotPage = pageSchema(LotSchema, 'StockLot');

export const MovementSchema = z
  .object({
    id: z.string(),
    kind: z.string(),
    amount: BaseAmount,
    at: z.string(),
    actorId: z.string(),
    taskId: z.string().nullable(),
    reason: z.string().nullable(),
  })
  .meta({ id: 'StockMovement', description: 'Above zero came in, below went out.' });
export const LotWithMovements = z
  .object({ ...LotSchema.shape, movements: z.array(MovementSchema) })
  .meta({ id: 'StockLotWithMovements' });

export const LotQuery = z.object({
  state: z.enum(LOT_STATES).default('on_hand').meta({
    description:
      'usable: in date and not held; in_date, expired, held; on_hand: something left; used_up: nothing left.',
  }),
  itemKind: ItemKindSchema.optional(),
  itemId: Id.optional(),
});

export const LotBody = z
  .strictObject({
    itemKind: ItemKindSchema,
    itemId: Id,
    amount: Amount,
    madeAt: Instant.nullable()
      .default(null)
      .meta({ description: 'When made, or received for what is bought; now when left out.' }),
    useBy: Instant,
    source: z.enum(['found', 'received']),
    supplierLot: z.string().trim().min(1).max(80).nullable().default(null),
    note: Note.nullable().default(null),
  })
  .meta({ id: 'StockLotBody' });

export const HoldBody = z
  .strictObject({ reason: z.string().trim().min(1).max(200) })
  .meta({ id: 'StockHoldBody' });

export const CountsBody = z
  .strictObject({
    counts: z
      .array(
        z.strictObject({
          itemKind: ItemKindSchema,
          itemId: Id,
          amount: AmountOrZero,
          useBy: Instant.nullable().default(null).meta({
            description: 'Dates what the record did not know of; needed when no lot is in date.',
          }),
        }),
      )
      .min(1)
      .max(500),
  })
  .meta({ id: 'StockCountsBody' });
const countShape = {
  id: z.string(),
  ...itemShape,
  counted: BaseAmount,
  drift: BaseAmount,
  countedAt: z.string(),
  actorId: z.string(),
};
export const CountSchema = z.object(countShape).meta({ id: 'StockCount' });
export const CountPage = pageSchema(CountSchema, 'StockCount');
export const CountsMade = z
  .object({ items: z.array(z.object({ ...countShape, recorded: BaseAmount })) })
  .meta({ id: 'StockCountsMade' });

export const WasteBody = z
  .strictObject({
    lotId: Id.nullable().default(null),
    itemKind: ItemKindSchema.nullable().default(null),
    itemId: Id.nullable().default(null),
    amount: Amount,
    reason: z.enum(WASTE_REASONS),
    note: Note.nullable().default(null),
  })
  .meta({
    id: 'WasteBody',
    description: 'Of one lot (lotId), or of an item, first-expiring first.',
  });
export const WasteMade = z
  .object({
    ...itemShape,
    amount: BaseAmount,
    lots: z.array(
      z.object({
        lotId: z.string(),
        lineId: z.string().meta({ description: 'Of the waste record: takes it back.' }),
        amount: BaseAmount,
      }),
    ),
  })
  .meta({ id: 'WasteMade' });
export const WasteLineSchema = z
  .object({
    id: z.string(),
    lotId: z.string(),
    ...itemShape,
    amount: BaseAmount,
    at: z.string(),
    actorId: z.string(),
    reason: z.string().nullable(),
    takenBackAt: z.string().nullable(),
    undoUntil: z.string().nullable().meta({ description: 'Until when it may be taken back.' }),
  })
  .meta({ id: 'WasteLine' });
export const WasteUndoBody = z
  .strictObject({ lineIds: z.array(Id).min(1).max(50) })
  .meta({ id: 'WasteUndoBody' });
export const WasteTakenBack = z
  .object({ items: z.array(WasteLineSchema) })
  .meta({ id: 'WasteTakenBack' });
export const WastePage = pageSchema(WasteLineSchema, 'WasteLine');
export const WasteQuery = z.object({ from: Instant.optional(), before: Instant.optional() });
