import type {
  Par,
  ParInput,
  ParOverride,
  ParRule,
  ParsRepository,
} from '../modules/par-levels/index.ts';
import type { Db } from './database.ts';
import type { ParLevel as ParRow, ParOverride as OverrideRow } from './generated/client.ts';
import { fromOptionalDate, fromServiceDate, toOptionalDate, toServiceDate } from './row-values.ts';

function toRule({ rule, quantity, serviceLevel }: ParRow): ParRule {
  if (rule === 'fixed') return { kind: 'fixed', quantity: quantity ?? 0 };
  if (rule === 'service_level') return { kind: 'service_level', level: serviceLevel ?? 0.5 };
  return { kind: 'margin_against_waste' };
}

const toPar = (row: ParRow): Par => ({
  id: row.id,
  siteId: row.siteId,
  recipeId: row.recipeId,
  rule: toRule(row),
  reviewDays: row.reviewDays,
  leadDays: row.leadDays,
  validFrom: toOptionalDate(row.validFrom),
  validTo: toOptionalDate(row.validTo),
  reason: row.reason,
  enteredBy: row.enteredBy,
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const parData = ({ rule, ...input }: ParInput) => ({
  recipeId: input.recipeId,
  rule: rule.kind,
  quantity: rule.kind === 'fixed' ? rule.quantity : null,
  serviceLevel: rule.kind === 'service_level' ? rule.level : null,
  reviewDays: input.reviewDays,
  leadDays: input.leadDays,
  validFrom: fromOptionalDate(input.validFrom),
  validTo: fromOptionalDate(input.validTo),
  reason: input.reason,
});

const toOverride = (row: OverrideRow): ParOverride => ({
  id: row.id,
  parId: row.parId,
  siteId: row.siteId,
  serviceDate: toServiceDate(row.serviceDate),
  quantity: row.quantity,
  reason: row.reason,
  parQuantity: row.parQuantity,
  enteredBy: row.enteredBy,
  enteredAt: row.enteredAt,
});

/** Pars of sites and the quantities people put in their place for a date. */
export function createParsRepository(db: Db): ParsRepository {
  const find: ParsRepository['find'] = async (id) => {
    const row = await db.parLevel.findUnique({ where: { id } });
    return row && toPar(row);
  };
  return {
    find,
    async ofSite(siteId, archived) {
      const rows = await db.parLevel.findMany({
        where: { siteId, ...(archived ? {} : { archivedAt: null }) },
        orderBy: { id: 'asc' },
      });
      return rows.map(toPar);
    },
    async insert({ id, siteId, enteredBy, ...input }) {
      return toPar(
        await db.parLevel.create({ data: { id, siteId, enteredBy, ...parData(input) } }),
      );
    },
    async update(id, input, enteredBy, rev) {
      const changed = await db.parLevel.updateMany({
        where: { id, rev },
        data: { ...parData(input), enteredBy, rev: { increment: 1 } },
      });
      return changed.count === 1 ? find(id) : null;
    },
    async setArchived(id, archived, rev, at) {
      const changed = await db.parLevel.updateMany({
        where: { id, rev },
        data: { archivedAt: archived ? at : null, rev: { increment: 1 } },
      });
      return changed.count === 1 ? find(id) : null;
    },
    lockSite: async (siteId) =>
      void (await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${`pars ${siteId}`}))::text`),

    async overridesOf(siteId, from, to) {
      const rows = await db.parOverride.findMany({
        where: {
          siteId,
          serviceDate: { gte: fromServiceDate(from), lte: fromServiceDate(to) },
          removedAt: null,
        },
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toOverride);
    },
    insertOverride: async (override) =>
      void (await db.parOverride.create({
        data: { ...override, serviceDate: fromServiceDate(override.serviceDate) },
      })),
    async removeOverride(id, at, by) {
      const removed = await db.parOverride.updateMany({
        where: { id, removedAt: null },
        data: { removedAt: at, removedBy: by },
      });
      return removed.count === 1;
    },
  };
}
