import { z } from 'zod';
import { CsvProblemSchema } from '../../http/csv.ts';
import { pageSchema } from '../../http/paging.ts';
import { SHEETS_SEEN } from '../../http/tables.ts';
import { Id, Instant, Note, ServiceDate, Weekday } from '../../http/wire.ts';
import { EVENT_KINDS } from './covers.ports.ts';
import { IMPORT_KINDS } from './covers-import.service.ts';

const Count = z.number().int().min(0).max(100_000);

export const Warnings = z
  .array(z.object({ pointer: z.string(), message: z.string() }))
  .meta({ description: 'Kept all the same, but look at it.' });

const CancelledSoFar = Count.nullable()
  .default(null)
  .meta({ description: 'Covers cancelled by then, adding up; null where nobody counts them.' });

export const SnapshotsBody = z
  .strictObject({
    snapshots: z
      .array(
        z.strictObject({
          serviceId: Id,
          serviceDate: ServiceDate,
          takenAt: Instant,
          booked: Count,
          cancelled: CancelledSoFar,
        }),
      )
      .min(1)
      .max(2000),
  })
  .meta({ id: 'CoversSnapshotsBody' });
export const SnapshotSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    serviceId: z.string(),
    serviceDate: z.string(),
    takenAt: z.string(),
    booked: z.number().int(),
    cancelled: z.number().int().nullable(),
  })
  .meta({ id: 'CoversSnapshot' });
export const SnapshotPage = pageSchema(SnapshotSchema, 'CoversSnapshot');
export const SnapshotsMade = z
  .object({ items: z.array(SnapshotSchema), warnings: Warnings })
  .meta({ id: 'CoversSnapshotsMade' });
export const SnapshotFigure = z
  .strictObject({ booked: Count, cancelled: CancelledSoFar })
  .meta({ id: 'BookedBody' });
export const SnapshotKept = z
  .object({ ...SnapshotSchema.shape, warnings: Warnings })
  .meta({ id: 'CoversSnapshotKept' });
export const SnapshotQuery = z.object({
  serviceId: Id.optional(),
  from: ServiceDate.optional(),
  to: ServiceDate.optional(),
});

/** A part of an outcome that a site may not count. */
const Counted = Count.nullable().default(null);

export const OutcomeBody = z
  .strictObject({
    covers: Count.meta({ description: 'Guests who sat down, walk-ins among them.' }),
    walkIns: Counted.meta({ description: 'Those of `covers` who came without a booking.' }),
    noShows: Counted.meta({ description: 'Covers booked to the last that did not come.' }),
    cancelled: Counted.meta({
      description: 'Covers cancelled from the first booking to the service.',
    }),
    closed: z.boolean().default(false),
    note: Note.nullable().default(null),
  })
  .meta({ id: 'ServiceOutcomeBody' });
export const OutcomeSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    serviceId: z.string(),
    serviceDate: z.string(),
    covers: z.number().int(),
    walkIns: z.number().int().nullable(),
    noShows: z.number().int().nullable(),
    cancelled: z.number().int().nullable(),
    closed: z.boolean(),
    note: z.string().nullable(),
  })
  .meta({ id: 'ServiceOutcome' });
export const OutcomeKept = z
  .object({ ...OutcomeSchema.shape, warnings: Warnings })
  .meta({ id: 'ServiceOutcomeKept' });

export const SaleBody = z
  .strictObject({ portions: Count, soldOutAt: Instant.nullable().default(null) })
  .meta({ id: 'DishSaleBody' });
export const SaleSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    serviceId: z.string(),
    serviceDate: z.string(),
    dishId: z.string(),
    portions: z.number().int(),
    soldOutAt: z.string().nullable(),
  })
  .meta({ id: 'DishSale' });
export const SaleKept = z
  .object({ ...SaleSchema.shape, warnings: Warnings })
  .meta({ id: 'DishSaleKept' });

export const EventKindSchema = z.enum(EVENT_KINDS).meta({ id: 'CoversEventKind' });
export const EventBody = z
  .strictObject({
    serviceId: Id,
    serviceDate: ServiceDate,
    kind: EventKindSchema,
    factor: z.number().positive().max(20).nullable().default(null),
    covers: Count.nullable().default(null),
    reason: z.string().trim().min(1).max(200),
  })
  .meta({
    id: 'CoversEventBody',
    description:
      'closed: not held. private_hire: the room is let for `covers` guests. factor: `factor` times the usual. covers: `covers` as a person states them.',
  });
export const EventSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    serviceId: z.string(),
    serviceDate: z.string(),
    kind: EventKindSchema,
    factor: z.number().nullable(),
    covers: z.number().int().nullable(),
    reason: z.string(),
    enteredBy: z.string(),
  })
  .meta({ id: 'CoversEvent' });
export const EventKept = z
  .object({ ...EventSchema.shape, warnings: Warnings })
  .meta({ id: 'CoversEventKept' });
export const EventList = z.object({ items: z.array(EventSchema) }).meta({ id: 'CoversEventList' });
export const EventQuery = z.object({ from: ServiceDate, to: ServiceDate });

export const StatedCoversBody = z
  .strictObject({
    weekdays: z
      .array(z.strictObject({ weekday: Weekday, covers: z.number().min(0).max(100_000) }))
      .max(7),
  })
  .meta({ id: 'StatedCoversBody' });
export const StatedCoversSchema = z
  .object({
    serviceId: z.string(),
    weekdays: z.array(z.object({ weekday: z.number().int(), covers: z.number() })),
  })
  .meta({ id: 'StatedCovers' });

export const SittingSchema = z
  .object({
    serviceId: z.string(),
    serviceName: z.string(),
    serviceDate: z.string(),
    snapshots: z.array(SnapshotSchema),
    outcome: OutcomeSchema.nullable(),
    sales: z.array(SaleSchema),
    events: z.array(EventSchema),
  })
  .meta({
    id: 'SittingCovers',
    description: 'The booking curve of a sitting and what came of it.',
  });

export const ImportReportSchema = z
  .object({
    kind: z.enum(IMPORT_KINDS),
    dryRun: z.boolean(),
    ...SHEETS_SEEN,
    rows: z.number().int(),
    added: z.number().int(),
    replaced: z.number().int(),
    unchanged: z.number().int(),
    problems: z.array(CsvProblemSchema),
    warnings: z.array(CsvProblemSchema),
  })
  .meta({ id: 'ImportReport' });
export const ImportParams = z.object({ siteId: z.string(), kind: z.enum(IMPORT_KINDS) });
