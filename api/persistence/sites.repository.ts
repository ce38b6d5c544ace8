import type {
  ClosedDay,
  Equipment,
  MealService,
  RuleSet,
  Site,
  SiteInput,
  SitesRepository,
  WorkingHours,
} from '../modules/sites/index.ts';
import { pageOf } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type {
  ClosedDay as ClosedDayRow,
  Equipment as EquipmentRow,
  Service as ServiceRow,
  Site as SiteRow,
} from './generated/client.ts';
import {
  fromJson,
  fromOptionalDate,
  fromServiceDate,
  toJson,
  toOptionalDate,
  toServiceDate,
} from './row-values.ts';

const toSite = (row: SiteRow): Site => ({
  id: row.id,
  name: row.name,
  zone: row.zone,
  currency: row.currency,
  ruleSet: row.ruleSet as RuleSet,
  hours: fromJson<WorkingHours[]>(row.hours),
  addressLines: row.addressLines,
  gln: row.gln,
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const siteColumns = ({ hours, addressLines = [], gln = null, ...input }: SiteInput) => ({
  ...input,
  hours: toJson(hours),
  addressLines: [...addressLines],
  gln,
});

const toService = (row: ServiceRow): MealService => ({
  id: row.id,
  siteId: row.siteId,
  name: row.name,
  startsAt: row.startsAt,
  endsAt: row.endsAt,
  weekdays: row.weekdays,
  seats: row.seats,
  activeFrom: toOptionalDate(row.activeFrom),
  activeTo: toOptionalDate(row.activeTo),
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const toClosedDay = (row: ClosedDayRow): ClosedDay => ({
  id: row.id,
  siteId: row.siteId,
  date: toServiceDate(row.date),
  reason: row.reason,
});

const toEquipment = (row: EquipmentRow): Equipment => ({
  id: row.id,
  siteId: row.siteId,
  kind: row.kind,
  name: row.name,
  units: row.units,
  holdsQuantity: row.holdsQuantity,
  holdsUnit: row.holdsUnit,
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const bump = { rev: { increment: 1 } } as const;
const archivedAt = (archived: boolean, at: Date) => ({ archivedAt: archived ? at : null, ...bump });

/** Sites and what belongs to them, over Prisma. Updates return null when the revision is not current. */
export function createSitesRepository(db: Db): SitesRepository {
  const siteTaken = 'There is a site of that name already.';
  const serviceTaken = 'This site has a service of that name already.';
  const equipmentTaken = 'This site has equipment of that name already.';
  const first = <T, U>(rows: readonly T[], map: (row: T) => U): U | null =>
    rows[0] === undefined ? null : map(rows[0]);

  return {
    async page({ limit, after }, { ids, archived }) {
      const rows = await db.site.findMany({
        where: {
          ...(ids === 'all' ? {} : { id: { in: [...ids] } }),
          ...(archived ? {} : { archivedAt: null }),
          ...(after === undefined ? {} : { AND: { id: { gt: after } } }),
        },
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toSite), limit);
    },
    all: async () => (await db.site.findMany({ orderBy: { id: 'asc' } })).map(toSite),
    async find(id) {
      const row = await db.site.findUnique({ where: { id } });
      return row && toSite(row);
    },
    insert: (id, input) =>
      refuseDuplicates(siteTaken, '/name', async () =>
        toSite(await db.site.create({ data: { id, ...siteColumns(input) } })),
      ),
    update: (id, input, rev) =>
      refuseDuplicates(siteTaken, '/name', async () =>
        first(
          await db.site.updateManyAndReturn({
            where: { id, rev },
            data: { ...siteColumns(input), ...bump },
          }),
          toSite,
        ),
      ),
    async setArchived(id, archived, rev, at) {
      const rows = await db.site.updateManyAndReturn({
        where: { id, rev },
        data: archivedAt(archived, at),
      });
      return first(rows, toSite);
    },

    async servicesOf(siteId, archived) {
      const rows = await db.service.findMany({
        where: { siteId, ...(archived ? {} : { archivedAt: null }) },
        orderBy: [{ startsAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toService);
    },
    async findService(id) {
      const row = await db.service.findUnique({ where: { id } });
      return row && toService(row);
    },
    insertService: (id, siteId, input) =>
      refuseDuplicates(serviceTaken, '/name', async () =>
        toService(await db.service.create({ data: { id, siteId, ...serviceData(input) } })),
      ),
    updateService: (id, input, rev) =>
      refuseDuplicates(serviceTaken, '/name', async () =>
        first(
          await db.service.updateManyAndReturn({
            where: { id, rev },
            data: { ...serviceData(input), ...bump },
          }),
          toService,
        ),
      ),
    async setServiceArchived(id, archived, rev, at) {
      const rows = await db.service.updateManyAndReturn({
        where: { id, rev },
        data: archivedAt(archived, at),
      });
      return first(rows, toService);
    },

    async closedDaysOf(siteId) {
      const rows = await db.closedDay.findMany({ where: { siteId }, orderBy: { date: 'asc' } });
      return rows.map(toClosedDay);
    },
    insertClosedDay: (id, siteId, { date, reason }) =>
      refuseDuplicates('That day is marked as closed already.', '/date', async () =>
        toClosedDay(
          await db.closedDay.create({ data: { id, siteId, date: fromServiceDate(date), reason } }),
        ),
      ),
    deleteClosedDay: async (siteId, id) =>
      (await db.closedDay.deleteMany({ where: { id, siteId } })).count === 1,

    async equipmentOf(siteId, archived) {
      const rows = await db.equipment.findMany({
        where: { siteId, ...(archived ? {} : { archivedAt: null }) },
        orderBy: [{ kind: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toEquipment);
    },
    async findEquipment(id) {
      const row = await db.equipment.findUnique({ where: { id } });
      return row && toEquipment(row);
    },
    insertEquipment: (id, siteId, input) =>
      refuseDuplicates(equipmentTaken, '/name', async () =>
        toEquipment(await db.equipment.create({ data: { id, siteId, ...input } })),
      ),
    updateEquipment: (id, input, rev) =>
      refuseDuplicates(equipmentTaken, '/name', async () =>
        first(
          await db.equipment.updateManyAndReturn({
            where: { id, rev },
            data: { ...input, ...bump },
          }),
          toEquipment,
        ),
      ),
    async setEquipmentArchived(id, archived, rev, at) {
      const rows = await db.equipment.updateManyAndReturn({
        where: { id, rev },
        data: archivedAt(archived, at),
      });
      return first(rows, toEquipment);
    },
  };
}

function serviceData(input: Parameters<SitesRepository['insertService']>[2]) {
  const { weekdays, activeFrom, activeTo, ...rest } = input;
  return {
    ...rest,
    weekdays: [...weekdays],
    activeFrom: fromOptionalDate(activeFrom),
    activeTo: fromOptionalDate(activeTo),
  };
}
