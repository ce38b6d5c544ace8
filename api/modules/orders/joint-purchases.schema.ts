import { z } from 'zod';
import { Amount, AmountOrZero, Money, ServiceDate } from '../../http/wire.ts';
import { CARRY_STATES } from './joint-purchases.ports.ts';

const Named = z.object({ id: z.string(), name: z.string() });
const Reason = z.string().trim().min(1).max(200);

export const JointPurchaseBody = z
  .strictObject({
    siteIds: z.array(z.string().max(80)).min(2).max(50).optional(),
    days: z.number().int().min(1).max(14).default(7),
  })
  .meta({ id: 'JointPurchaseBody' });
export const DeclineBody = z
  .strictObject({ reason: Reason.nullable().default(null) })
  .nullish()
  .meta({ id: 'DeclineJointPurchaseBody' });

const JointOrderSchema = z
  .object({
    site: Named.describe('Where it is delivered.'),
    supplier: Named,
    deliveryDate: ServiceDate,
    goods: Money,
    deliveryCharge: Money,
    lines: z.array(
      z.object({
        pack: Named,
        ingredient: Named,
        packs: z.number().int(),
        sites: z.array(z.object({ site: Named, amount: AmountOrZero })),
      }),
    ),
  })
  .meta({ id: 'JointOrder' });

const carryShape = {
  from: Named,
  to: Named,
  ingredient: Named,
  tripDate: z.string(),
  usableFrom: z.string(),
  useBy: z.string().nullable(),
  amount: AmountOrZero,
};

export const JointPurchaseSchema = z
  .object({
    id: z.string(),
    sites: z.array(Named),
    days: z.number().int(),
    status: z.enum(['proposed', 'accepted', 'declined']),
    choice: z.enum(['separate', 'together']),
    separateCost: Money.describe('Each site for itself: goods and delivery charges.'),
    togetherCost: Money.describe('Together: goods, delivery charges and trips.'),
    saving: Money,
    separate: z.array(JointOrderSchema),
    together: z.array(JointOrderSchema),
    carries: z.array(z.object({ ...carryShape, tripCost: Money })),
    notice: z.string(),
    workedOutAt: z.string(),
    workedOutBy: z.string(),
    decidedAt: z.string().nullable(),
    decidedBy: z.string().nullable(),
    reason: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'JointPurchase' });
export const JointPurchaseList = z
  .object({ items: z.array(JointPurchaseSchema) })
  .meta({ id: 'JointPurchaseList' });
export const JointPurchaseParams = z.object({ jointPurchaseId: z.string() });

export const GoodsCarrySchema = z
  .object({
    id: z.string(),
    jointPurchaseId: z.string(),
    ...carryShape,
    status: z.enum(CARRY_STATES),
    carried: z
      .object({
        amount: AmountOrZero,
        celsius: z.number().nullable(),
        by: z.string(),
        at: z.string(),
      })
      .nullable(),
    reason: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'GoodsCarry' });
export const GoodsCarryList = z
  .object({ items: z.array(GoodsCarrySchema) })
  .meta({ id: 'GoodsCarryList' });
export const GoodsCarryQuery = z.object({ siteId: z.string().max(80).optional() });
export const GoodsCarryParams = z.object({ carryId: z.string() });
export const CarriedBody = z
  .strictObject({
    amount: Amount.describe('What came.'),
    celsius: z.number().min(-60).max(100).nullable().default(null),
  })
  .meta({ id: 'CarriedBody' });
export const DropCarryBody = z.strictObject({ reason: Reason }).meta({ id: 'DropCarryBody' });
