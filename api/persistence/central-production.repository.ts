import type { ExplanationGraph } from '../core/explanation/index.ts';
import type { Storage } from '../core/safety/index.ts';
import type {
  CentralProduction,
  CentralProductionRepository,
  ProductionMode,
  Transfer,
  TransferChange,
  TransferRoute,
  TransferRouteInput,
  TransferStatus,
} from '../modules/central-production/index.ts';
import { inChunks } from './chunks.ts';
import type { Db } from './database.ts';
import type {
  CentralProduction as ProductionRow,
  Transfer as TransferRow,
  TransferRoute as RouteRow,
} from './generated/client.ts';
import {
  fromJson,
  fromOptionalDate,
  fromServiceDate,
  toDecimalString,
  toJson,
  toNullableJson,
  toOptionalDate,
  toServiceDate,
} from './row-values.ts';

const toRoute = ({
  handlingDays: _h,
  createdAt: _c,
  archivedAt,
  ...row
}: RouteRow): TransferRoute => ({
  ...row,
  noTripDates: row.noTripDates.map(toServiceDate),
  costPerTrip: toDecimalString(row.costPerTrip),
  archived: archivedAt !== null,
});
const routeData = (input: TransferRouteInput) => ({
  ...input,
  weekdays: [...input.weekdays],
  noTripDates: input.noTripDates.map(fromServiceDate),
});

const toProduction = ({
  keepsMin,
  keepsAfter,
  decision,
  ...row
}: ProductionRow): CentralProduction => ({
  ...row,
  mode: row.mode as ProductionMode,
  fromDate: toServiceDate(row.fromDate),
  endsBefore: toOptionalDate(row.endsBefore),
  keeping:
    keepsMin === null
      ? null
      : { minutes: keepsMin, after: keepsAfter === 'transfer' ? 'transfer' : 'making' },
  decision:
    decision === null ? null : fromJson<NonNullable<CentralProduction['decision']>>(decision),
});
function productionData({
  keeping,
  decision,
  fromDate,
  endsBefore,
  siteIds,
  makerSiteIds,
  ...rest
}: Partial<Omit<CentralProduction, 'id' | 'rev'>>) {
  return {
    ...rest,
    ...(keeping === undefined
      ? {}
      : { keepsMin: keeping?.minutes ?? null, keepsAfter: keeping?.after ?? null }),
    ...(decision === undefined ? {} : { decision: toNullableJson(decision) }),
    ...(fromDate === undefined ? {} : { fromDate: fromServiceDate(fromDate) }),
    ...(endsBefore === undefined ? {} : { endsBefore: fromOptionalDate(endsBefore) }),
    ...(siteIds === undefined ? {} : { siteIds: [...siteIds] }),
    ...(makerSiteIds === undefined ? {} : { makerSiteIds: [...makerSiteIds] }),
  };
}

const toTransfer = ({ createdAt: _c, ...row }: TransferRow): Transfer => ({
  ...row,
  leaveDate: toServiceDate(row.leaveDate),
  serviceDate: toServiceDate(row.serviceDate),
  serves: fromJson<Transfer['serves']>(row.serves),
  status: row.status as TransferStatus,
  sent: row.sent === null ? null : fromJson<NonNullable<Transfer['sent']>>(row.sent),
  received:
    row.received === null ? null : fromJson<NonNullable<Transfer['received']>>(row.received),
});
const transferData = ({ serves, sent, received, leaveDate, serviceDate, ...row }: Transfer) => ({
  ...row,
  leaveDate: fromServiceDate(leaveDate),
  serviceDate: fromServiceDate(serviceDate),
  serves: toJson(serves),
  sent: toNullableJson(sent),
  received: toNullableJson(received),
});
function changeData({ serves, sent, received, leaveDate, serviceDate, ...row }: TransferChange) {
  return {
    ...row,
    ...(leaveDate === undefined ? {} : { leaveDate: fromServiceDate(leaveDate) }),
    ...(serviceDate === undefined ? {} : { serviceDate: fromServiceDate(serviceDate) }),
    ...(serves === undefined ? {} : { serves: toJson(serves) }),
    ...(sent === undefined ? {} : { sent: toNullableJson(sent) }),
    ...(received === undefined ? {} : { received: toNullableJson(received) }),
  };
}

const ON_THE_WAY: TransferStatus[] = ['planned', 'sent'];
const BY_LEAVING = [{ leavesAt: 'asc' }, { id: 'asc' }] as const;
/** Explanations of what the plans of a site asked others for. */
const EXPLAINED = 'transfers of a plan';

/** Who makes what for whom, the ways between sites, and what goes on them. */
export function createCentralProductionRepository(db: Db): CentralProductionRepository {
  const findRoute = async (id: string) => {
    const row = await db.transferRoute.findUnique({ where: { id } });
    return row && toRoute(row);
  };
  const findProduction = async (id: string) => {
    const row = await db.centralProduction.findUnique({ where: { id } });
    return row && toProduction(row);
  };
  return {
    lockRules: async () =>
      void (await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext('central production'))::text`),
    async routes() {
      const rows = await db.transferRoute.findMany({
        where: { archivedAt: null },
        orderBy: [{ fromSiteId: 'asc' }, { toSiteId: 'asc' }],
      });
      return rows.map(toRoute);
    },
    findRoute,
    async routeBetween(fromSiteId, toSiteId) {
      const row = await db.transferRoute.findUnique({
        where: { fromSiteId_toSiteId: { fromSiteId, toSiteId } },
      });
      return row && toRoute(row);
    },
    insertRoute: async (id, input) =>
      toRoute(await db.transferRoute.create({ data: { id, ...routeData(input) } })),
    async updateRoute(id, input, rev) {
      const { count } = await db.transferRoute.updateMany({
        where: { id, rev },
        data: { ...routeData(input), archivedAt: null, rev: { increment: 1 } },
      });
      return count === 0 ? null : findRoute(id);
    },
    async archiveRoute(id, at) {
      const { count } = await db.transferRoute.updateMany({
        where: { id, archivedAt: null },
        data: { archivedAt: at, rev: { increment: 1 } },
      });
      return count === 1;
    },

    async productions() {
      const rows = await db.centralProduction.findMany({ orderBy: { id: 'desc' } });
      return rows.map(toProduction);
    },
    findProduction,
    async insertProduction({ id, rev, ...production }) {
      const data = productionData(production) as Parameters<
        typeof db.centralProduction.create
      >[0]['data'];
      await db.centralProduction.create({ data: { ...data, id, rev } });
    },
    async updateProduction(id, change, rev) {
      const { count } = await db.centralProduction.updateMany({
        where: { id, rev },
        data: { ...productionData(change), rev: { increment: 1 } },
      });
      return count === 0 ? null : findProduction(id);
    },

    async findTransfer(id) {
      const row = await db.transfer.findUnique({ where: { id } });
      return row && toTransfer(row);
    },
    async leaving(fromSiteId) {
      const rows = await db.transfer.findMany({
        where: { fromSiteId, status: { in: ON_THE_WAY } },
        orderBy: [...BY_LEAVING],
      });
      return rows.map(toTransfer);
    },
    async coming(toSiteId) {
      const rows = await db.transfer.findMany({
        where: { toSiteId, status: { in: ON_THE_WAY } },
        orderBy: [...BY_LEAVING],
      });
      return rows.map(toTransfer);
    },
    async ofSite(siteId, from, to) {
      const rows = await db.transfer.findMany({
        where: {
          status: { not: 'dropped' },
          OR: [
            { fromSiteId: siteId, leavesAt: { gte: from, lt: to } },
            { toSiteId: siteId, arrivesAt: { gte: from, lt: to } },
          ],
        },
        orderBy: [...BY_LEAVING],
      });
      return rows.map(toTransfer);
    },
    async goodsToCome(toSiteId) {
      const rows = await db.goodsCarry.findMany({
        where: { toSiteId, status: 'planned' },
        orderBy: [{ tripDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(({ fromSiteId, tripDate, ingredientId, quantity }) => ({
        fromSiteId,
        tripDate: toServiceDate(tripDate),
        ingredientId,
        quantity,
      }));
    },
    async insertTransfers(transfers) {
      for (const chunk of inChunks(transfers, 200)) {
        await db.transfer.createMany({ data: chunk.map(transferData) });
      }
    },
    moveTransfer: async (id, from, change) =>
      (
        await db.transfer.updateMany({
          where: { id, status: from },
          data: { ...changeData(change), rev: { increment: 1 } },
        })
      ).count === 1,
    promise: async (id, quantity, promised) =>
      void (await db.transfer.updateMany({
        where: { id, status: 'planned', quantity },
        data: { promised },
      })),
    async storagesOf(versionIds) {
      const rows = await db.recipeVersion.findMany({
        where: { id: { in: [...new Set(versionIds)] } },
        select: { id: true, storage: true },
      });
      return new Map(rows.map(({ id, storage }) => [id, storage as Storage]));
    },
    saveExplanation: async (id, planId, graph) =>
      void (await db.explanation.create({
        data: { id, subjectKind: EXPLAINED, subjectId: planId, nodes: toJson(graph.nodes) },
      })),
    async explanation(planId) {
      const row = await db.explanation.findUnique({
        where: { subjectKind_subjectId: { subjectKind: EXPLAINED, subjectId: planId } },
      });
      return row && { nodes: fromJson<ExplanationGraph['nodes'][number][]>(row.nodes) };
    },
  };
}
