import { z } from 'zod';
import { pageSchema } from '../../http/paging.ts';
import {
  CurrencyCode,
  LocalTime,
  Name,
  ServiceDate,
  Weekday,
  WithArchived,
} from '../../http/wire.ts';

const Hours = z
  .object({
    weekday: Weekday,
    opens: LocalTime,
    closes: LocalTime,
    people: z.number().int().min(1).max(200),
  })
  .meta({ id: 'WorkingHours' });

export const SiteBody = z
  .strictObject({
    name: Name,
    zone: z.string().min(1).max(60).meta({ description: 'IANA zone', example: 'Europe/Rome' }),
    currency: CurrencyCode,
    ruleSet: z.enum(['uk', 'eu', 'us']),
    hours: z.array(Hours).max(7),
    addressLines: z.array(z.string().trim().min(1).max(120)).max(6).default([]),
    gln: z.string().trim().max(13).nullable().default(null),
  })
  .meta({ id: 'SiteBody' });

export const SiteSchema = z
  .object({ id: z.string(), ...SiteBody.shape, archived: z.boolean(), rev: z.number().int() })
  .meta({ id: 'Site' });
export const SitePage = pageSchema(SiteSchema, 'Site');

export const ServiceBody = z
  .strictObject({
    name: Name,
    startsAt: LocalTime,
    endsAt: LocalTime,
    weekdays: z.array(Weekday).min(1).max(7),
    seats: z.number().int().min(1).max(5000),
    activeFrom: ServiceDate.nullable().default(null),
    activeTo: ServiceDate.nullable().default(null),
  })
  .meta({ id: 'ServiceBody' });

export const ServiceSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    name: z.string(),
    startsAt: z.string(),
    endsAt: z.string(),
    weekdays: z.array(z.number().int()),
    seats: z.number().int(),
    activeFrom: z.string().nullable(),
    activeTo: z.string().nullable(),
    archived: z.boolean(),
    rev: z.number().int(),
  })
  .meta({ id: 'Service' });
export const ServiceList = z.object({ items: z.array(ServiceSchema) }).meta({ id: 'ServiceList' });

export const ClosedDayBody = z
  .strictObject({ date: ServiceDate, reason: z.string().trim().min(1).max(200) })
  .meta({ id: 'ClosedDayBody' });
export const ClosedDaySchema = z
  .object({ id: z.string(), siteId: z.string(), date: z.string(), reason: z.string() })
  .meta({ id: 'ClosedDay' });
export const ClosedDayList = z
  .object({ items: z.array(ClosedDaySchema) })
  .meta({ id: 'ClosedDayList' });

export const EquipmentBody = z
  .strictObject({
    kind: z.string().trim().min(1).max(60),
    name: Name,
    units: z.number().int().min(1).max(10_000),
    holdsQuantity: z.number().positive().max(1_000_000).nullable().default(null),
    holdsUnit: z.string().min(1).max(40).nullable().default(null),
  })
  .meta({ id: 'EquipmentBody' });
export const EquipmentSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    kind: z.string(),
    name: z.string(),
    units: z.number().int(),
    holdsQuantity: z.number().nullable(),
    holdsUnit: z.string().nullable(),
    archived: z.boolean(),
    rev: z.number().int(),
  })
  .meta({ id: 'Equipment' });
export const EquipmentList = z
  .object({ items: z.array(EquipmentSchema) })
  .meta({ id: 'EquipmentList' });

export const ArchivedQuery = z.object({
  archived: WithArchived,
});
