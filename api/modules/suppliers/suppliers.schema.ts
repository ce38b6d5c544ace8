import { z } from 'zod';
import { PAPER_LANGUAGES } from '../../core/exports/index.ts';
import { PageQuery, pageSchema } from '../../http/paging.ts';
import {
  Amount,
  CurrencyCode,
  Id,
  LocalTime,
  Name,
  ServiceDate,
  Weekday,
  WithArchived,
} from '../../http/wire.ts';

const DecimalText = z
  .string()
  .regex(/^\d{1,8}(\.\d{1,4})?$/, 'Write money as a decimal of zero or more, such as "12.40".');

export const SupplierBody = z
  .strictObject({
    name: Name,
    zone: z.string().min(1).max(60),
    currency: CurrencyCode,
    deliveryWeekdays: z.array(Weekday).min(1).max(7),
    cutoff: z.strictObject({ daysBefore: z.number().int().min(0).max(60), time: LocalTime }),
    leadDays: z.number().int().min(0).max(60).default(0),
    minimumOrder: DecimalText.default('0'),
    deliveryCharge: DecimalText.default('0'),
    freeDeliveryFrom: DecimalText.nullable().default(null),
    minimumPacks: z.number().int().min(0).max(10_000).default(0),
    holidays: z.array(ServiceDate).max(400).default([]),
    workingWeekdays: z.array(Weekday).max(7).default([]),
    arrivesBy: LocalTime.nullable().default(null),
    usableAfterDays: z.number().int().min(0).max(60).default(0),
    email: z.email().max(200).nullable().default(null),
    phone: z.string().trim().min(1).max(60).nullable().default(null),
    addressLines: z.array(z.string().trim().min(1).max(120)).max(6).default([]),
    gln: z.string().trim().max(13).nullable().default(null),
    accountNumber: z.string().trim().min(1).max(60).nullable().default(null),
    language: z
      .enum(PAPER_LANGUAGES)
      .default('en')
      .describe('In which its order sheets are written'),
    siteIds: z.array(Id).max(1000).default([]),
  })
  .meta({ id: 'SupplierBody' });

export const SupplierSchema = z
  .object({
    id: z.string(),
    name: z.string(),
    zone: z.string(),
    currency: z.string(),
    deliveryWeekdays: z.array(z.number().int()),
    cutoff: z.object({ daysBefore: z.number().int(), time: z.string() }),
    leadDays: z.number().int(),
    minimumOrder: z.string(),
    deliveryCharge: z.string(),
    freeDeliveryFrom: z.string().nullable(),
    minimumPacks: z.number().int(),
    holidays: z.array(z.string()),
    workingWeekdays: z.array(z.number().int()),
    arrivesBy: z.string().nullable(),
    usableAfterDays: z.number().int(),
    email: z.string().nullable(),
    phone: z.string().nullable(),
    addressLines: z.array(z.string()),
    gln: z.string().nullable(),
    accountNumber: z.string().nullable(),
    language: z.enum(PAPER_LANGUAGES),
    siteIds: z.array(z.string()),
    archived: z.boolean(),
    rev: z.number().int(),
  })
  .meta({ id: 'Supplier' });
export const SupplierPage = pageSchema(SupplierSchema, 'Supplier');

export const PackBody = z
  .strictObject({
    ingredientId: Id,
    name: Name,
    sku: z.string().trim().min(1).max(60),
    gtin: z.string().trim().max(14).nullable().default(null),
    content: Amount,
    minPacks: z.number().int().min(1).max(10_000).default(1),
    maxPacks: z.number().int().min(1).max(10_000).nullable().default(null),
    shelfLifeDays: z.number().int().min(0).max(3650).nullable().default(null),
    isDefault: z.boolean().default(false),
    outOfStock: z.boolean().default(false),
    backOn: ServiceDate.nullable().default(null),
  })
  .meta({ id: 'PackBody' });

export const PackPriceBody = z
  .strictObject({
    validFrom: ServiceDate,
    minPacks: z.number().int().min(1).max(10_000).default(1),
    amount: DecimalText.refine((text) => !/^0+(\.0*)?$/.test(text), 'A price is above zero.'),
    source: z.string().trim().min(1).max(200).default('entered'),
  })
  .meta({ id: 'PackPriceBody' });

export const PackSchema = z
  .object({
    id: z.string(),
    supplierId: z.string(),
    ingredientId: z.string(),
    name: z.string(),
    sku: z.string(),
    gtin: z.string().nullable(),
    content: z.object({ value: z.number(), unit: z.string() }),
    quantityBase: z.number(),
    minPacks: z.number().int(),
    maxPacks: z.number().int().nullable(),
    shelfLifeDays: z.number().int().nullable(),
    isDefault: z.boolean(),
    outOfStock: z.boolean(),
    backOn: z.string().nullable(),
    currency: z.string(),
    prices: z.array(
      z.object({
        id: z.string(),
        validFrom: z.string(),
        minPacks: z.number().int(),
        amount: z.string(),
        source: z.string(),
      }),
    ),
    archived: z.boolean(),
    rev: z.number().int(),
  })
  .meta({ id: 'Pack' });
export const PackPage = pageSchema(PackSchema, 'Pack');

const archived = WithArchived;
export const SupplierQuery = PageQuery.extend({ archived });
export const PackQuery = PageQuery.extend({
  archived,
  supplierId: Id.optional(),
  ingredientId: Id.optional(),
});
export const SupplierParams = z.object({ supplierId: z.string() });
export const PackParams = z.object({ packId: z.string() });
export const PriceParams = z.object({ packId: z.string(), priceId: z.string() });
