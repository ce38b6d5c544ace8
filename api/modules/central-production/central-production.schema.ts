import { z } from 'zod';
import {
  Amount,
  AmountOrZero,
  Id,
  LocalTime,
  Money,
  Name,
  ServiceDate,
  Weekday,
} from '../../http/wire.ts';
import { PRODUCTION_MODES } from './central-production.ports.ts';

const MOST_KEEPING_MIN = 366 * 24 * 60;
export const Named = z.object({ id: z.string(), name: z.string() });

export const TransferRouteBody = z
  .strictObject({
    fromSiteId: Id,
    toSiteId: Id,
    weekdays: z
      .array(Weekday)
      .min(1)
      .max(7)
      .refine((days) => new Set(days).size === days.length, 'A weekday is named twice.')
      .meta({ description: 'ISO weekdays of leaving, 1 Monday to 7 Sunday.' }),
    leavesAt: LocalTime.meta({ description: 'Clock time at the sending site.' }),
    arrivesAt: LocalTime.meta({
      description: 'Clock time at the receiving site, when it is unpacked and may be used.',
    }),
    arrivesDaysLater: z.number().int().min(0).max(3).default(0),
    noTripDates: z
      .array(ServiceDate)
      .max(200)
      .default([])
      .meta({ description: 'Dates of leaving on which nobody drives: holidays.' }),
    cutoffHours: z
      .number()
      .int()
      .min(0)
      .max(14 * 24)
      .default(24)
      .meta({ description: 'What goes is fixed so many hours before it leaves.' }),
    massLimit: Amount.nullable()
      .default(null)
      .meta({ description: 'Most that one trip carries, contents by weight.' }),
    containerLimit: z.number().int().min(1).max(10_000).nullable().default(null),
    minimumContainers: z.number().int().min(1).max(10_000).default(1),
    costPerTrip: Money.nullable()
      .default(null)
      .meta({ description: 'Stated beside what is worked out, never part of it.' }),
  })
  .meta({ id: 'TransferRouteBody' });

export const TransferRouteSchema = z
  .object({
    id: z.string(),
    from: Named,
    to: Named,
    weekdays: z.array(z.number().int()),
    leavesAt: z.string(),
    arrivesAt: z.string(),
    arrivesDaysLater: z.number().int(),
    noTripDates: z.array(z.string()),
    cutoffHours: z.number().int(),
    massLimit: AmountOrZero.nullable(),
    containerLimit: z.number().int().nullable(),
    minimumContainers: z.number().int(),
    costPerTrip: Money,
    trips: z
      .array(z.object({ leaveDate: z.string(), leavesAt: z.string(), arrivesAt: z.string() }))
      .meta({ description: 'Of the two weeks ahead.' }),
    noTrips: z.array(
      z.object({
        leaveDate: z.string(),
        reason: z.enum(['no-trip', 'maker-closed', 'receiver-closed']),
      }),
    ),
    rev: z.number().int(),
  })
  .meta({ id: 'TransferRoute' });
export const TransferRouteList = z
  .object({ items: z.array(TransferRouteSchema) })
  .meta({ id: 'TransferRouteList' });
export const RouteParams = z.object({ routeId: z.string() });

const Keeping = z.object({
  minutes: z.number().int().min(1).max(MOST_KEEPING_MIN),
  after: z.enum(['making', 'transfer']),
});

export const ProductionBody = z
  .strictObject({
    componentId: Id,
    siteIds: z.array(Id).min(1).max(200).meta({ description: 'The sites it is made for.' }),
    makerSiteIds: z
      .array(Id)
      .min(1)
      .max(8)
      .meta({ description: 'Who makes it (fixed), or who could (decide).' }),
    mode: z.enum(PRODUCTION_MODES),
    fromDate: ServiceDate,
    endsBefore: ServiceDate.nullable().default(null),
    container: z
      .strictObject({ name: Name, amount: Amount })
      .meta({ description: 'What it travels in, and what a full one holds.' }),
    keeping: Keeping.nullable().default(null).meta({
      description: 'How long it keeps once carried; its own use-by holds as well. Null: no less.',
    }),
    restMadeHere: z
      .boolean()
      .default(true)
      .meta({ description: 'A site makes itself what does not come; else that is short.' }),
    reason: z.string().trim().min(3).max(500),
  })
  .meta({ id: 'CentralProductionBody' });

const PlaceSchema = z.object({
  makerSiteId: z.string().nullable(),
  receiverSiteIds: z.array(z.string()),
  workMin: z.number().meta({ description: 'Hands on every making, minutes over the horizon.' }),
  planMin: z.number().meta({ description: 'Set-ups, waste and days in the fridge, minutes.' }),
  carryingMin: z.number().meta({ description: 'Trips, packing and age of what is carried.' }),
  totalMin: z.number(),
  trips: z.number().int(),
  shortBatches: z.number().meta({ description: 'What would be short at all sites, in batches.' }),
  sites: z
    .array(
      z.object({
        site: Named,
        workMin: z.number(),
        planMin: z.number(),
        carryingMin: z.number(),
        trips: z.number().int(),
        shortBatches: z.number(),
      }),
    )
    .meta({ description: 'What it means for each site; the totals add these up.' }),
});

export const ProductionSchema = z
  .object({
    id: z.string(),
    component: Named,
    sites: z.array(Named),
    makers: z.array(Named),
    mode: z.enum(PRODUCTION_MODES),
    fromDate: z.string(),
    endsBefore: z.string().nullable(),
    container: z.object({ name: z.string(), amount: AmountOrZero, holds: AmountOrZero }),
    keeping: Keeping.nullable(),
    restMadeHere: z.boolean(),
    reason: z.string(),
    place: z
      .object({ maker: Named.nullable(), receivers: z.array(Named) })
      .meta({ description: 'Where it is made by this rule now, and for whom.' }),
    decision: z
      .object({
        decidedAt: z.string(),
        decidedBy: z.string(),
        why: z.enum(['less-short', 'less-work', 'stands', 'only-one']),
        words: z.string().meta({ description: 'Why, with the figures that decided it.' }),
        places: z.array(PlaceSchema),
        leftOut: z.array(z.object({ makerSiteId: z.string(), reason: z.string() })),
      })
      .nullable(),
    enteredBy: z.string(),
    enteredAt: z.string(),
    rev: z.number().int(),
  })
  .meta({ id: 'CentralProduction' });
export const ProductionList = z
  .object({ items: z.array(ProductionSchema) })
  .meta({ id: 'CentralProductionList' });
export const ProductionParams = z.object({ productionId: z.string() });
export const PlaceExplanationQuery = z.object({
  place: z.coerce
    .number()
    .int()
    .min(0)
    .default(0)
    .meta({ description: 'Which of the places worked out, counted from 0, best first.' }),
});
