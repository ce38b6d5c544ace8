import type {
  CoversEvent,
  CoversRepository,
  CoversSnapshot,
  DishSale,
  EventKind,
  ServiceOutcome,
} from '../modules/covers/index.ts';
import { pageOf, Refusal } from '../modules/platform/index.ts';
import { inChunks } from './chunks.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type {
  CoversEvent as EventRow,
  CoversSnapshot as SnapshotRow,
  DishSale as SaleRow,
  ServiceOutcome as OutcomeRow,
} from './generated/client.ts';
import { fromServiceDate, toServiceDate } from './row-values.ts';

/** Rows of one statement. */
const CHUNK = 4_000;

const toSnapshot = (row: SnapshotRow): CoversSnapshot => ({
  id: row.id,
  siteId: row.siteId,
  serviceId: row.serviceId,
  serviceDate: toServiceDate(row.serviceDate),
  takenAt: row.takenAt,
  booked: row.booked,
  cancelled: row.cancelled,
});
const toOutcome = (row: OutcomeRow): ServiceOutcome => ({
  id: row.id,
  siteId: row.siteId,
  serviceId: row.serviceId,
  serviceDate: toServiceDate(row.serviceDate),
  covers: row.covers,
  walkIns: row.walkIns,
  noShows: row.noShows,
  cancelled: row.cancelled,
  closed: row.closed,
  note: row.note,
});
const toSale = (row: SaleRow): DishSale => ({
  id: row.id,
  siteId: row.siteId,
  serviceId: row.serviceId,
  serviceDate: toServiceDate(row.serviceDate),
  dishId: row.dishId,
  portions: row.portions,
  soldOutAt: row.soldOutAt,
});
const toEvent = (row: EventRow): CoversEvent => ({
  id: row.id,
  siteId: row.siteId,
  serviceId: row.serviceId,
  serviceDate: toServiceDate(row.serviceDate),
  kind: row.kind as EventKind,
  factor: row.factor,
  covers: row.covers,
  reason: row.reason,
  enteredBy: row.enteredBy,
});

const dated = <T extends { readonly serviceDate: string }>(row: T) => ({
  ...row,
  serviceDate: fromServiceDate(row.serviceDate),
});
const between = (fromDate: string, toDate: string) => ({
  gte: fromServiceDate(fromDate),
  lte: fromServiceDate(toDate),
});

/** Snapshots, outcomes, sales, events and stated covers, over Prisma. */
export function createCoversRepository(db: Db): CoversRepository {
  const snapshotsOf: CoversRepository['snapshotsOf'] = async (serviceIds, fromDate, toDate) => {
    const rows = await db.coversSnapshot.findMany({
      where: { serviceId: { in: [...serviceIds] }, serviceDate: between(fromDate, toDate) },
      orderBy: [{ serviceDate: 'asc' }, { takenAt: 'asc' }, { id: 'asc' }],
    });
    return rows.map(toSnapshot);
  };
  const eventsOf: CoversRepository['eventsOf'] = async (siteId, fromDate, toDate) => {
    const rows = await db.coversEvent.findMany({
      where: { siteId, removedAt: null, serviceDate: between(fromDate, toDate) },
      orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
    });
    return rows.map(toEvent);
  };

  return {
    async insertSnapshots(snapshots) {
      // One parameter a statement, whatever the rows: thousands of times fewer to bind.
      for (const chunk of inChunks(snapshots, CHUNK)) {
        const made = await db.$executeRaw`
          INSERT INTO "covers_snapshots"
            ("id", "siteId", "serviceId", "serviceDate", "takenAt", "booked", "cancelled")
          SELECT r."id", r."siteId", r."serviceId", r."serviceDate", r."takenAt", r."booked",
                 r."cancelled"
          FROM jsonb_to_recordset(${JSON.stringify(chunk)}::jsonb) AS r(
            "id" text, "siteId" text, "serviceId" text, "serviceDate" date,
            "takenAt" timestamptz, "booked" int, "cancelled" int)
          ON CONFLICT ("serviceId", "serviceDate", "takenAt") DO NOTHING`;
        if (made !== chunk.length) {
          const message = 'There is a snapshot of this service, date and instant already.';
          throw new Refusal('conflict', message, {
            issues: [{ pointer: '/snapshots', message }],
          });
        }
      }
    },
    async insertSnapshotIfNew(snapshot) {
      const made = await db.coversSnapshot.createMany({
        data: [dated(snapshot)],
        skipDuplicates: true,
      });
      return made.count === 1;
    },
    async findSnapshot({ serviceId, serviceDate }, takenAt) {
      const row = await db.coversSnapshot.findFirst({
        where: { serviceId, serviceDate: fromServiceDate(serviceDate), takenAt },
      });
      return row && toSnapshot(row);
    },
    snapshotsOf,
    async snapshotPage(siteId, { serviceId, fromDate, toDate }, { limit, after }) {
      const rows = await db.coversSnapshot.findMany({
        where: {
          siteId,
          ...(serviceId === undefined ? {} : { serviceId }),
          serviceDate: {
            ...(fromDate === undefined ? {} : { gte: fromServiceDate(fromDate) }),
            ...(toDate === undefined ? {} : { lte: fromServiceDate(toDate) }),
          },
          ...(after === undefined ? {} : { id: { gt: after } }),
        },
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toSnapshot), limit);
    },

    async putOutcomes(outcomes) {
      for (const chunk of inChunks(outcomes, CHUNK)) {
        await db.$executeRaw`
          INSERT INTO "service_outcomes"
            ("id", "siteId", "serviceId", "serviceDate", "covers", "walkIns", "noShows",
             "cancelled", "closed", "note")
          SELECT r."id", r."siteId", r."serviceId", r."serviceDate", r."covers", r."walkIns",
                 r."noShows", r."cancelled", r."closed", r."note"
          FROM jsonb_to_recordset(${JSON.stringify(chunk)}::jsonb) AS r(
            "id" text, "siteId" text, "serviceId" text, "serviceDate" date, "covers" int,
            "walkIns" int, "noShows" int, "cancelled" int, "closed" boolean, "note" text)
          ON CONFLICT ("serviceId", "serviceDate") DO UPDATE SET
            "covers" = excluded."covers", "walkIns" = excluded."walkIns",
            "noShows" = excluded."noShows", "cancelled" = excluded."cancelled",
            "closed" = excluded."closed", "note" = excluded."note", "recordedAt" = now()`;
      }
    },
    async outcomesOf(serviceIds, fromDate, toDate) {
      const rows = await db.serviceOutcome.findMany({
        where: { serviceId: { in: [...serviceIds] }, serviceDate: between(fromDate, toDate) },
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toOutcome);
    },

    async putSales(sales) {
      for (const chunk of inChunks(sales, CHUNK)) {
        await db.$executeRaw`
          INSERT INTO "dish_sales"
            ("id", "siteId", "serviceId", "serviceDate", "dishId", "portions", "soldOutAt")
          SELECT r."id", r."siteId", r."serviceId", r."serviceDate", r."dishId", r."portions",
                 r."soldOutAt"
          FROM jsonb_to_recordset(${JSON.stringify(chunk)}::jsonb) AS r(
            "id" text, "siteId" text, "serviceId" text, "serviceDate" date, "dishId" text,
            "portions" int, "soldOutAt" timestamptz)
          ON CONFLICT ("serviceId", "serviceDate", "dishId") DO UPDATE SET
            "portions" = excluded."portions", "soldOutAt" = excluded."soldOutAt"`;
      }
    },
    async salesOf(serviceIds, fromDate, toDate) {
      const rows = await db.dishSale.findMany({
        where: { serviceId: { in: [...serviceIds] }, serviceDate: between(fromDate, toDate) },
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toSale);
    },

    async insertEvents(events, at) {
      for (const chunk of inChunks(events, CHUNK)) {
        await db.coversEvent.createMany({
          data: chunk.map((event) => ({ ...dated(event), createdAt: at })),
        });
      }
    },
    async findEvent(id) {
      const row = await db.coversEvent.findFirst({ where: { id, removedAt: null } });
      return row && toEvent(row);
    },
    async removeEvent(id, at) {
      const removed = await db.coversEvent.updateMany({
        where: { id, removedAt: null },
        data: { removedAt: at },
      });
      return removed.count === 1;
    },
    eventsOf,

    statedOf: (serviceIds) =>
      db.statedCovers.findMany({
        where: { serviceId: { in: [...serviceIds] } },
        orderBy: [{ serviceId: 'asc' }, { weekday: 'asc' }],
      }),
    putStated: (serviceId, stated) =>
      refuseDuplicates('Somebody else is stating these covers just now.', '/weekdays', async () => {
        await db.statedCovers.deleteMany({ where: { serviceId } });
        await db.statedCovers.createMany({
          data: stated.map(({ weekday, covers }) => ({ serviceId, weekday, covers })),
        });
      }),

    async forSite(siteId, fromDate, toDate) {
      const where = { siteId, serviceDate: between(fromDate, toDate) };
      const orderBy = [{ serviceDate: 'asc' }, { id: 'asc' }] as const;
      const services = await db.service.findMany({ where: { siteId }, select: { id: true } });
      const snapshots = await db.coversSnapshot.findMany({
        where,
        orderBy: [{ serviceDate: 'asc' }, { takenAt: 'asc' }, { id: 'asc' }],
      });
      const outcomes = await db.serviceOutcome.findMany({ where, orderBy: [...orderBy] });
      const sales = await db.dishSale.findMany({ where, orderBy: [...orderBy] });
      return {
        snapshots: snapshots.map(toSnapshot),
        outcomes: outcomes.map(toOutcome),
        sales: sales.map(toSale),
        events: await eventsOf(siteId, fromDate, toDate),
        stated: await db.statedCovers.findMany({
          where: { serviceId: { in: services.map((service) => service.id) } },
          orderBy: [{ serviceId: 'asc' }, { weekday: 'asc' }],
        }),
      };
    },

    dishes: () =>
      db.recipe.findMany({
        where: { kind: 'dish' },
        select: { id: true, name: true },
        orderBy: { id: 'asc' },
      }),
  };
}
