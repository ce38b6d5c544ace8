import type {
  CoversOverride,
  ForecastsRepository,
  KeptForecast,
  KeptGroup,
  KeptPortions,
  KeptSeries,
  SittingResult,
} from '../modules/forecasts/index.ts';
import { inChunks } from './chunks.ts';
import type { Db } from './database.ts';
import { preOrderRows } from './pre-orders.repository.ts';
import { Prisma } from './generated/client.ts';
import type {
  CoversForecast as ForecastRow,
  CoversOverride as OverrideRow,
  ForecastSeries as SeriesRow,
  PortionsForecast as PortionsRow,
} from './generated/client.ts';
import {
  fromJson,
  fromOptionalDate,
  fromServiceDate,
  toJson,
  toNullableJson,
  toOptionalDate,
  toServiceDate,
} from './row-values.ts';

const CHUNK = 200;

const toSeries = (row: SeriesRow): KeptSeries => ({
  ...row,
  state: fromJson<KeptSeries['state']>(row.state),
  historyFrom: toServiceDate(row.historyFrom),
  learnedTo: toOptionalDate(row.learnedTo),
  groupProfile: row.groupProfile === null ? null : fromJson(row.groupProfile),
});

type StoredResult = Omit<SittingResult, 'method' | 'mean'>;

const toForecast = (row: ForecastRow): KeptForecast => {
  const { method, mean, result, overrideResult, ...rest } = row;
  return {
    ...rest,
    serviceDate: toServiceDate(row.serviceDate),
    historyFrom: toServiceDate(row.historyFrom),
    learnedTo: toOptionalDate(row.learnedTo),
    result: { method, mean, ...fromJson<StoredResult>(result) },
    overrideResult: overrideResult === null ? null : fromJson<SittingResult>(overrideResult),
  };
};

const forecastData = (forecast: KeptForecast) => {
  const { result, overrideResult, eventIds, warnings, ...rest } = forecast;
  const { method, mean, ...stored } = result;
  return {
    ...rest,
    method,
    mean,
    serviceDate: fromServiceDate(forecast.serviceDate),
    historyFrom: fromServiceDate(forecast.historyFrom),
    learnedTo: fromOptionalDate(forecast.learnedTo),
    result: toJson(stored),
    overrideResult: toNullableJson(overrideResult),
    eventIds: [...eventIds],
    warnings: [...warnings],
  };
};

const toPortions = (row: PortionsRow): KeptPortions => ({
  ...row,
  quantiles: fromJson<KeptPortions['quantiles']>(row.quantiles),
});

const toOverride = (row: OverrideRow): CoversOverride => ({
  id: row.id,
  siteId: row.siteId,
  serviceId: row.serviceId,
  serviceDate: toServiceDate(row.serviceDate),
  covers: row.covers,
  reason: row.reason,
  forecastMean: row.forecastMean,
  enteredBy: row.enteredBy,
  enteredAt: row.enteredAt,
});

/** What is learned of covers, the forecasts made from it, and what people put in their place. */
export function createForecastsRepository(db: Db): ForecastsRepository {
  const between = (from: string, to: string) => ({
    gte: fromServiceDate(from),
    lte: fromServiceDate(to),
  });
  const dated = <T extends { serviceDate: Date }>(row: T) => ({
    ...row,
    serviceDate: toServiceDate(row.serviceDate),
  });

  return {
    async rowsOf(serviceIds, from, to) {
      const where = { serviceId: { in: [...serviceIds] }, serviceDate: between(from, to) };
      const snapshots = await db.coversSnapshot.findMany({
        where,
        select: {
          id: true,
          serviceId: true,
          serviceDate: true,
          takenAt: true,
          booked: true,
          cancelled: true,
        },
        orderBy: [{ serviceDate: 'asc' }, { takenAt: 'asc' }],
      });
      const outcomes = await db.serviceOutcome.findMany({ where, orderBy: { serviceDate: 'asc' } });
      const events = await db.coversEvent.findMany({
        where: { ...where, removedAt: null },
        orderBy: { id: 'asc' },
      });
      return {
        snapshots: snapshots.map(dated),
        outcomes: outcomes.map(dated),
        events: events.map(dated),
        stated: await db.statedCovers.findMany({
          where: { serviceId: { in: [...serviceIds] } },
          orderBy: [{ serviceId: 'asc' }, { weekday: 'asc' }],
        }),
      };
    },
    async salesOf(siteId, from, to) {
      const rows = await db.dishSale.findMany({
        where: { siteId, serviceDate: between(from, to) },
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map((row) => ({ ...dated(row), soldOut: row.soldOutAt !== null }));
    },
    preOrdersOf: (siteId, from, to) => preOrderRows(db, siteId, from, to),
    async dishNames(ids) {
      const rows = await db.recipe.findMany({
        where: { id: { in: [...ids] } },
        select: { id: true, name: true },
      });
      return new Map(rows.map((row) => [row.id, row.name]));
    },

    async seriesOf(serviceIds) {
      const rows = await db.forecastSeries.findMany({
        where: { serviceId: { in: [...serviceIds] } },
        orderBy: { serviceId: 'asc' },
      });
      return rows.map(toSeries);
    },
    async saveSeries(series) {
      const data = {
        ...series,
        state: toJson(series.state),
        groupProfile: toNullableJson(series.groupProfile),
        historyFrom: fromServiceDate(series.historyFrom),
        learnedTo: fromOptionalDate(series.learnedTo),
      };
      await db.forecastSeries.upsert({
        where: { serviceId: series.serviceId },
        create: data,
        update: data,
      });
    },
    async group(name) {
      const row = await db.forecastGroup.findUnique({ where: { name } });
      return row && { ...row, profile: fromJson<KeptGroup['profile']>(row.profile) };
    },
    async saveGroup(group) {
      const data = { ...group, profile: toJson(group.profile) };
      await db.forecastGroup.upsert({
        where: { name: group.name },
        create: data,
        update: data,
      });
    },

    async newest(serviceIds, from, to) {
      if (serviceIds.length === 0) return [];
      const ids = await db.$queryRaw<{ id: string }[]>`
        SELECT DISTINCT ON ("serviceId", "serviceDate") "id"
        FROM "covers_forecasts"
        WHERE "serviceId" IN (${Prisma.join([...serviceIds])})
          AND "serviceDate" BETWEEN ${fromServiceDate(from)}::date AND ${fromServiceDate(to)}::date
        ORDER BY "serviceId", "serviceDate", "madeAt" DESC, "id" DESC`;
      const rows = await db.coversForecast.findMany({
        where: { id: { in: ids.map(({ id }) => id) } },
        orderBy: [{ serviceDate: 'asc' }, { serviceId: 'asc' }],
      });
      return rows.map(toForecast);
    },
    async find(id) {
      const row = await db.coversForecast.findUnique({ where: { id } });
      return row && toForecast(row);
    },
    async insert(forecasts) {
      for (const chunk of inChunks(forecasts, CHUNK)) {
        await db.coversForecast.createMany({ data: chunk.map(forecastData) });
      }
    },
    forgetBefore: (siteId, date) => db.$executeRaw`
      DELETE FROM "covers_forecasts" f
      WHERE f."siteId" = ${siteId} AND f."serviceDate" < ${fromServiceDate(date)}::date
        AND EXISTS (
          SELECT 1 FROM "covers_forecasts" later
          WHERE later."serviceId" = f."serviceId" AND later."serviceDate" = f."serviceDate"
            AND (later."madeAt", later."id") > (f."madeAt", f."id"))`,
    async portionsOf(forecastIds) {
      const rows = await db.portionsForecast.findMany({
        where: { forecastId: { in: [...forecastIds] } },
        orderBy: [{ forecastId: 'asc' }, { dishId: 'asc' }],
      });
      return rows.map(toPortions);
    },
    async insertPortions(portions) {
      for (const chunk of inChunks(portions, CHUNK)) {
        await db.portionsForecast.createMany({
          data: chunk.map((row) => ({ ...row, quantiles: toJson(row.quantiles) })),
          skipDuplicates: true,
        });
      }
    },

    async overridesOf(serviceIds, from, to) {
      const rows = await db.coversOverride.findMany({
        where: {
          serviceId: { in: [...serviceIds] },
          serviceDate: between(from, to),
          removedAt: null,
        },
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toOverride);
    },
    async findOverride(id) {
      const row = await db.coversOverride.findUnique({ where: { id } });
      return row && toOverride(row);
    },
    lockSitting: async (serviceId, serviceDate) =>
      void (await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${`${serviceId} ${serviceDate}`}))::text`),
    insertOverride: async (override) =>
      void (await db.coversOverride.create({
        data: { ...override, serviceDate: fromServiceDate(override.serviceDate) },
      })),
    async removeOverride(id, at, by) {
      const removed = await db.coversOverride.updateMany({
        where: { id, removedAt: null },
        data: { removedAt: at, removedBy: by },
      });
      return removed.count === 1;
    },
  };
}
