import { z } from 'zod';
import { pageSchema } from '../../http/paging.ts';
import { AmountOrZero, Money, ServiceDate } from '../../http/wire.ts';

const Named = z.object({ id: z.string(), name: z.string() });
const STATES = [
  'proposed',
  'approved',
  'sent',
  'confirmed',
  'part-delivered',
  'received',
  'closed',
  'cancelled',
] as const;

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
  status: z.enum(STATES),
  goods: Money,
  deliveryCharge: Money,
  total: Money.describe('Goods and delivery charge, net of tax.'),
  lineCount: z.number().int(),
  certainFraction: z
    .number()
    .min(0)
    .max(1)
    .describe('Part of what is ordered, by value, that booked covers alone need.'),
  missingToMinimum: z
    .object({ value: Money, packs: z.number().int() })
    .nullable()
    .describe('What the order lacks to the supplier’s minimum.'),
  method: z.string().nullable(),
  gap: z.number().nullable(),
  coversFrom: z.string().nullable(),
  coversTo: z.string().nullable(),
  notes: z.array(z.string()),
  rev: z.number().int(),
};
export const OrderHeaderSchema = z.object(headerShape).meta({ id: 'OrderHeader' });
export const OrderPageSchema = pageSchema(OrderHeaderSchema, 'Order');

const Difference = z.object({
  ingredient: Named,
  pack: Named.nullable().describe('Null where it was not kept'),
  packsBefore: z.number().int(),
  plannedPacks: z.number().int(),
  packsNow: z.number().int(),
  what: z.enum(['new', 'changed', 'dropped', 'kept-by-hand']),
});

export const OrderLineSchema = z
  .object({
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
    changedBy: z.string().nullable(),
    changeReason: z.string().nullable(),
    confirmedPacks: z.number().int().nullable(),
    unitPrice: Money,
    lineTotal: Money,
    need: AmountOrZero,
    certain: AmountOrZero,
    surplus: AmountOrZero,
    short: AmountOrZero.describe('What the packs ordered lack to the need.'),
    waste: AmountOrZero.describe('Part of the surplus that will be out of date unused.'),
    surplusFate: z.string().nullable(),
    packsForMinimum: z.number().int(),
    neededOn: z.array(
      z.object({
        date: z.string(),
        site: Named.describe('Who gets it: another site where goods are carried on.'),
        amount: AmountOrZero,
        certain: AmountOrZero,
      }),
    ),
    receivedPacks: z.number().int(),
    refusedPacks: z.number().int(),
    note: z.string().nullable(),
    contract: z
      .object({ id: z.string(), note: z.string().nullable() })
      .nullable()
      .describe('The contract that binds the site to this supplier for it.'),
    forOthers: z
      .array(z.object({ site: Named, amount: AmountOrZero }))
      .describe('What of it goes on to other sites.'),
    explained: z.boolean(),
  })
  .meta({ id: 'OrderLine' });

export const OrderSchema = z
  .object({
    ...headerShape,
    supplierRef: z.string().nullable(),
    approvedBy: z.string().nullable(),
    sentAt: z.string().nullable(),
    expectedWaste: Money.nullable(),
    toReachMinimum: z.object({ cost: Money, expectedWaste: Money }).nullable(),
    lastRefresh: z.object({ at: z.string(), differences: z.array(Difference) }).nullable(),
    history: z.array(
      z.object({
        state: z.string(),
        by: z.string(),
        at: z.string(),
        note: z.string().nullable(),
      }),
    ),
    lines: z.array(OrderLineSchema),
  })
  .meta({ id: 'Order' });

const ShortfallSchema = z.object({
  site: Named,
  ingredient: Named,
  amount: AmountOrZero,
  certain: AmountOrZero,
  needDate: z.string(),
  reason: z.string(),
  nextFrom: z.string().nullable(),
  message: z.string(),
  whole: z.boolean().describe('Nothing of that day’s need is there, on the shelf or due.'),
  dishes: z.array(Named).describe('Dishes that the need goes into, as named then.'),
});

/** What a working-out could not buy, added to orders sent, and left out. */
const outcomeShape = {
  shortfalls: z.array(ShortfallSchema),
  additions: z.array(
    z.object({
      orderId: z.string(),
      orderNumber: z.number().int().nullable(),
      site: Named,
      ingredient: Named,
      added: z.array(
        z.object({
          supplier: Named,
          deliveryDate: z.string(),
          pack: Named,
          packs: z.number().int(),
        }),
      ),
      short: AmountOrZero,
    }),
  ),
  warnings: z.array(z.string()),
};

export const OrderRunSchema = z
  .object({
    orders: z.array(OrderHeaderSchema),
    ...outcomeShape,
  })
  .meta({ id: 'OrderRun' });

export const LastOrderRunsQuery = z.object({ siteId: z.string().max(80).optional() });

export const LastOrderRunsSchema = z
  .object({
    items: z.array(
      z.object({
        site: Named,
        workedOutAt: z.string(),
        workedOutBy: z.string(),
        days: z.number().int(),
        ofCurrentPlan: z.boolean().describe('False: the plan is newer than these orders.'),
        ...outcomeShape,
      }),
    ),
    missing: z
      .array(
        z.object({
          ingredient: Named,
          amount: AmountOrZero,
          certain: AmountOrZero,
          firstDate: z.string(),
          lastDate: z.string(),
          whole: z.boolean().describe('Nothing is there for the first date.'),
          dishes: z.array(Named),
          needs: z.array(ShortfallSchema.omit({ ingredient: true, dishes: true })),
        }),
      )
      .describe('What cannot be bought, by ingredient: the soonest first, then the whole needs.'),
  })
  .meta({ id: 'LastOrderRuns' });

const Reason = z.string().trim().min(1).max(200);
const Packs = z.number().int().min(0).max(9999);

export const OrderBody = z
  .strictObject({
    siteId: z.string().max(80),
    supplierId: z.string().max(80),
    deliveryDate: ServiceDate,
  })
  .meta({ id: 'OrderBody' });

export const LinePacksBody = z
  .strictObject({ packs: Packs, reason: Reason.nullable().default(null) })
  .meta({ id: 'LinePacksBody' });

export const NewLineBody = z
  .strictObject({
    packId: z.string().max(80),
    packs: Packs.min(1),
    reason: Reason.nullable().default(null),
  })
  .meta({ id: 'NewLineBody' });

export const ApproveBody = z
  .strictObject({
    agreedBelowMinimum: z.boolean().default(false),
    agreedLate: z.boolean().default(false),
  })
  .nullish()
  .meta({ id: 'ApproveBody' });

export const SendBody = z
  .strictObject({ agreedLate: z.boolean().default(false) })
  .nullish()
  .meta({ id: 'SendBody' });

export const ConfirmBody = z
  .strictObject({
    supplierRef: z.string().trim().min(1).max(60).optional(),
    packs: z
      .array(z.strictObject({ lineId: z.string().max(80), packs: Packs }))
      .max(500)
      .optional(),
  })
  .nullish()
  .meta({ id: 'ConfirmBody' });

export const CancelOrderBody = z.strictObject({ reason: Reason }).meta({ id: 'CancelOrderBody' });
export const ReopenBody = z.strictObject({ reason: Reason }).meta({ id: 'ReopenBody' });

const DateRange = { from: ServiceDate, to: ServiceDate };
export const OrderTotalsQuery = z.object(DateRange);

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

export const OrderGroupsQuery = z.object({
  ...DateRange,
  by: z.enum(['supplier', 'site', 'delivery-date', 'group']),
});

const GroupedAmount = z.object({
  ingredient: Named,
  amount: AmountOrZero,
  certain: AmountOrZero,
  value: Money,
});
export const OrderGroupsSchema = z
  .object({
    by: z.string(),
    groups: z.array(
      z.object({
        key: z.string(),
        name: z.string(),
        orderIds: z.array(z.string()),
        goods: Money,
        deliveryCharges: Money,
        total: Money,
        ingredients: z.array(GroupedAmount),
        lastWeek: z
          .object({
            total: Money,
            changeFraction: z
              .number()
              .nullable()
              .describe('Of the total: now less then, over then; null where it was nothing.'),
            changes: z.array(
              z.object({
                ingredient: Named,
                before: AmountOrZero.nullable(),
                now: AmountOrZero.nullable(),
                changeFraction: z.number().nullable(),
              }),
            ),
          })
          .nullable(),
      }),
    ),
  })
  .meta({ id: 'OrderGroups' });

export const OrderCutoffsSchema = z
  .object({
    items: z.array(
      z.object({
        orderId: z.string(),
        supplier: Named,
        site: Named,
        deliveryDate: z.string(),
        cutoffAt: z.string(),
        minutesLeft: z.number().int(),
        onSiteClock: z.object({ date: z.string(), time: z.string() }),
      }),
    ),
  })
  .meta({ id: 'OrderCutoffs' });

export const PaidPricesSchema = z
  .object({
    items: z.array(
      z.object({ date: z.string(), price: Money, changeFraction: z.number().nullable() }),
    ),
  })
  .meta({ id: 'PaidPrices' });

export const ApprovalLimitBody = z
  .strictObject({
    subject: z
      .string()
      .max(80)
      .regex(
        /^(role:(lead|chef|purchasing|admin)|[a-z]+_[0-9A-Za-z-]+)$/,
        'Name a person by id, or write role: and the role.',
      ),
    limit: Money,
  })
  .meta({ id: 'ApprovalLimitBody' });
export const ApprovalLimitsSchema = z
  .object({
    items: z.array(z.object({ id: z.string(), subject: z.string(), limit: Money })),
  })
  .meta({ id: 'ApprovalLimits' });

export const OrderQuery = z.object({
  siteId: z.string().max(80).optional(),
  supplierId: z.string().max(80).optional(),
  deliveryDate: ServiceDate.optional(),
  from: ServiceDate.optional(),
  to: ServiceDate.optional(),
  status: z.enum(STATES).optional(),
});
