import { checkNumberRun } from '../../api/core/ordering/index.ts';
import type { Database } from '../../api/persistence/database.ts';
import { IMPORTED_ROWS, lotNote, type Ledger, type Made } from './ledger.ts';

// What must stand in the database after the service was killed: everything that somebody was told,
// and nothing by half.

type Db = Database['prisma'];

const groupBy = <T>(rows: readonly T[], key: (row: T) => string): Map<string, T[]> => {
  const groups = new Map<string, T[]>();
  for (const row of rows) groups.set(key(row), [...(groups.get(key(row)) ?? []), row]);
  return groups;
};

/** All rows or none; all of them where it was told, and never twice. */
function* wholeOrNot(
  what: string,
  made: readonly Made[],
  rows: number,
  foundOf: (mark: number) => number,
): Generator<string> {
  for (const { mark, told } of made) {
    const found = foundOf(mark);
    if (told ? found !== rows : found !== rows && found !== 0) {
      yield `${what} ${mark}${told ? ', which was told,' : ''} has ${found} of ${rows} rows`;
    }
  }
}

async function* stock(db: Db, ledger: Ledger): AsyncGenerator<string> {
  const lots = await db.stockLot.findMany({ include: { movements: true } });
  const notes = groupBy(lots, (lot) => lot.note ?? '');
  yield* wholeOrNot('the lot', ledger.lots, 1, (mark) => notes.get(lotNote(mark))?.length ?? 0);
  for (const { id, quantity, movements } of lots) {
    const moved = movements.reduce((sum, movement) => sum + movement.quantity, 0);
    if (Math.abs(moved - quantity) > 1e-6) yield `lot ${id} holds ${quantity}, moved were ${moved}`;
  }
  const counts = groupBy(await db.stockCount.findMany(), (count) => String(count.quantity));
  yield* wholeOrNot('the count', ledger.counts, 2, (mark) => counts.get(String(mark))?.length ?? 0);
}

async function* imports(db: Db, ledger: Ledger): AsyncGenerator<string> {
  const rows = await db.ingredient.findMany({ where: { name: { startsWith: 'Crop ' } } });
  const files = groupBy(rows, (row) => row.name.split(' ')[1] ?? '');
  yield* wholeOrNot(
    'the import',
    ledger.imports,
    IMPORTED_ROWS,
    (mark) => files.get(String(mark))?.length ?? 0,
  );
}

async function* plans(db: Db, ledger: Ledger): AsyncGenerator<string> {
  const rows = await db.prepPlan.findMany({ include: { needs: { select: { id: true } } } });
  const explained = new Set((await db.explanation.findMany()).map(({ subjectId }) => subjectId));
  const tasks = await db.prepTask.findMany({ select: { id: true, explainedIn: true } });
  const there = new Set(tasks.map(({ id }) => id));
  const found = new Set(rows.map(({ id }) => id));
  for (const id of ledger.plans)
    if (!found.has(id)) yield `plan ${id}, which was told, is not there`;
  const current = rows.filter(({ status }) => status === 'current');
  if (current.length !== 1) yield `${current.length} plans are current`;
  for (const { id, needs, summary } of rows) {
    const { taskIds } = summary as { taskIds: string[] };
    if (!explained.has(id)) yield `plan ${id} is not explained`;
    // What a plan asks for draws ingredients; one made while all was started or done asks for nothing,
    // even where a task is taken back later.
    const toMake = tasks.some(({ explainedIn }) => explainedIn === id);
    if (toMake && needs.length === 0) yield `plan ${id} needs no ingredients`;
    if (!taskIds.every((task) => there.has(task))) yield `plan ${id} lacks tasks`;
  }
}

async function* orders(db: Db, ledger: Ledger): AsyncGenerator<string> {
  const rows = await db.order.findMany({ include: { lines: true } });
  const explained = new Set((await db.explanation.findMany()).map(({ subjectId }) => subjectId));
  const approvals = groupBy(
    await db.auditEvent.findMany({ where: { action: 'approve', subjectKind: 'order' } }),
    (event) => event.subjectId,
  );
  const found = new Map(rows.map((row) => [row.id, row]));
  for (const told of Object.values(ledger.orders)) {
    const row = found.get(told.id);
    if (!row) {
      yield `order ${told.id}, which was told, is not there`;
      continue;
    }
    const same =
      row.rev === told.rev &&
      row.status === told.status &&
      row.number === told.number &&
      row.lines.length === told.lines;
    const oneOn = told.pending && row.rev === told.rev + 1;
    if (!same && !oneOn) {
      yield `order ${row.id} is ${row.status} ${row.number} at ${row.rev}, told was ${told.status} ${told.number} at ${told.rev}`;
    }
    if (told.number !== null && row.number !== told.number) yield `order ${row.id} lost its number`;
  }
  for (const row of rows) {
    const goods = row.lines.reduce((sum, line) => sum + Number(line.unitPrice) * line.packs, 0);
    if (Math.abs(goods - Number(row.total)) > 1e-6) yield `order ${row.id} has the wrong total`;
    if (row.planId !== null && !explained.has(row.id)) yield `order ${row.id} is not explained`;
    const history = row.history as { state: string }[];
    if (history.at(-1)?.state !== row.status) yield `order ${row.id} has half a step`;
    const approved = history.filter(({ state }) => state === 'approved').length;
    if (approved !== (approvals.get(row.id)?.length ?? 0)) yield `order ${row.id}: audit differs`;
    if ((row.number !== null) !== approved > 0) yield `order ${row.id} and its number differ`;
  }
  for (const [supplierId, own] of groupBy(rows, (row) => row.supplierId)) {
    const run = checkNumberRun(own.flatMap(({ number }) => (number === null ? [] : [number])));
    if (run.missing.length > 0) yield `${supplierId} lacks the numbers ${run.missing.join()}`;
    if (run.repeated.length > 0) yield `${supplierId} has twice ${run.repeated.join()}`;
  }
}

async function* tasks(db: Db, ledger: Ledger): AsyncGenerator<string> {
  const rows = await db.prepTask.findMany();
  const lots = groupBy(
    await db.stockLot.findMany({ where: { sourceKind: 'prep task', archivedAt: null } }),
    (lot) => lot.sourceId ?? '',
  );
  const found = new Map(rows.map((row) => [row.id, row]));
  for (const { id, status, pending } of Object.values(ledger.tasks)) {
    const now = found.get(id)?.status ?? 'gone';
    // A plan may do without a task that nobody has begun.
    const also = [status, pending].includes('to_do') ? 'dropped' : status;
    if (![status, pending, also].includes(now)) yield `task ${id} is ${now}, told was ${status}`;
  }
  for (const { id, status, madeQuantity } of rows) {
    const made = lots.get(id) ?? [];
    if (made.length !== (status === 'done' ? 1 : 0)) {
      yield `task ${id} is ${status} and has ${made.length} lots`;
    }
    if (status === 'done' && madeQuantity === null) yield `task ${id} is done without an amount`;
  }
}

/** @returns what is lost, there by half or there twice, in plain words; empty when all is well */
export async function whatIsWrong(database: Database, ledger: Ledger): Promise<string[]> {
  const wrong: string[] = [];
  for (const part of [stock, imports, plans, orders, tasks]) {
    for await (const found of part(database.prisma, ledger)) wrong.push(found);
  }
  return wrong;
}
