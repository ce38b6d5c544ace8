import {
  type Actor,
  type CsvProblem,
  type CsvTable,
  readTable,
  type SheetsSeen,
  type TableFile,
  type RefusalIssue,
  refuseBadRows,
} from '../platform/index.ts';
import { judgeOutcome, judgeSale, judgeSnapshot, type CoversContext } from './covers-rules.ts';
import { drawStock } from './draw-stock.ts';
import { dateRange, saysTheSame, snapshotKey } from './compare-covers.ts';
import { loadContext, type CoversDependencies } from './covers.service.ts';
import type {
  CoversFollower,
  CoversRepository,
  CoversWork,
  DishSale,
  ServiceOutcome,
  CoversSnapshot,
  Sitting,
} from './covers.ports.ts';
import { CellReader } from './read-cells.ts';

export const IMPORT_KINDS = ['snapshots', 'outcomes', 'sales'] as const;
export type ImportKind = (typeof IMPORT_KINDS)[number];

/** What an import did, or (dry run, or with problems) what it would do and what is in the way. */
export interface ImportReport extends SheetsSeen {
  readonly kind: ImportKind;
  readonly dryRun: boolean;
  readonly rows: number;
  readonly added: number;
  readonly replaced: number;
  /** Rows that say what stands already. */
  readonly unchanged: number;
  readonly problems: readonly CsvProblem[];
  readonly warnings: readonly CsvProblem[];
}

const COLUMNS = {
  snapshots: {
    required: ['service', 'service_date', 'taken_at', 'booked'],
    optional: ['cancelled'],
  },
  outcomes: {
    required: ['service', 'service_date', 'covers'],
    optional: ['walk_ins', 'no_shows', 'cancelled', 'closed', 'note'],
  },
  sales: {
    required: ['service', 'service_date', 'dish', 'portions'],
    optional: ['sold_out_at'],
  },
} as const;

/** What an outcome may take apart, and the column it is read from. */
const OUTCOME_PARTS = [
  ['walkIns', 'walk_ins'],
  ['noShows', 'no_shows'],
  ['cancelled', 'cancelled'],
] as const;

/** Which column a field of a row was read from. */
const COLUMN_OF: Readonly<Record<string, string>> = {
  '/serviceId': 'service',
  '/serviceDate': 'service_date',
  '/takenAt': 'taken_at',
  '/booked': 'booked',
  '/covers': 'covers',
  '/walkIns': 'walk_ins',
  '/noShows': 'no_shows',
  '/cancelled': 'cancelled',
  '/dishId': 'dish',
  '/portions': 'portions',
  '/soldOutAt': 'sold_out_at',
};

interface Line<T> {
  readonly row: number;
  readonly value: T;
}

type Effect = Pick<ImportReport, 'added' | 'replaced' | 'unchanged'> & {
  readonly clashes: readonly CsvProblem[];
};

/** Imports of comma-separated values or workbooks: everything in the file lands, or nothing. */
export class CoversImportService {
  readonly #deps: CoversDependencies;
  readonly #follower: CoversFollower;

  constructor(deps: CoversDependencies, follower: CoversFollower) {
    this.#deps = deps;
    this.#follower = follower;
  }

  /**
   * Reads a file of snapshots, outcomes or sales for one site. A dry run reports every bad row and
   * changes nothing.
   * @throws Refusal `invalid-input` with an issue for every bad row when it is not a dry run
   */
  async import(
    actor: Actor,
    siteId: string,
    kind: ImportKind,
    file: TableFile,
    dryRun: boolean,
  ): Promise<ImportReport> {
    const { work, clock } = this.#deps;
    const context = await loadContext(work.read.sites, siteId, clock.now());
    const table = await readTable(file, COLUMNS[kind]);
    const dishes = kind === 'sales' ? await work.read.covers.dishes() : [];
    const reader = new CellReader(context, dishes, table);
    const dishIds = new Set(dishes.map((dish) => dish.id));
    const newId = this.#deps.newId;

    let apply: (covers: CoversRepository, write: boolean) => Promise<Effect>;
    let sold: readonly DishSale[] = [];
    let sittings: readonly Sitting[] = [];
    if (kind === 'snapshots') {
      const lines = reader.lines((cells): CoversSnapshot | null => {
        const sitting = cells.sitting();
        const takenAt = cells.instant('taken_at');
        const booked = cells.count('booked');
        const cancelled = cells.optionalCount('cancelled');
        if (!sitting || !takenAt || booked === null || cancelled === undefined) return null;
        return { id: newId('snap'), siteId, ...sitting, takenAt, booked, cancelled };
      });
      judge(reader, lines, (value) => judgeSnapshot(context, value), snapshotKey);
      apply = (covers, write) => applySnapshots(covers, lines, write);
      sittings = lines.map((line) => line.value);
    } else if (kind === 'outcomes') {
      const lines = reader.lines((cells): ServiceOutcome | null => {
        const sitting = cells.sitting();
        const covers = cells.count('covers');
        const walkIns = cells.optionalCount('walk_ins');
        const noShows = cells.optionalCount('no_shows');
        const cancelled = cells.optionalCount('cancelled');
        const closed = cells.yesOrNo('closed');
        if (!sitting || covers === null || closed === null) return null;
        if (walkIns === undefined || noShows === undefined || cancelled === undefined) return null;
        const note = cells.text('note');
        const parts = { walkIns, noShows, cancelled };
        return { id: newId('out'), siteId, ...sitting, covers, ...parts, closed, note };
      });
      const newest = await newestBookings(work.read.covers, lines);
      judge(
        reader,
        lines,
        (value) => judgeOutcome(context, value, newest.get(sittingKey(value))),
        sittingKey,
      );
      const silent = columnsLeftOut(table);
      apply = (covers, write) => applyOutcomes(covers, lines, silent, write);
      sittings = lines.map((line) => line.value);
    } else {
      const lines = reader.lines((cells): DishSale | null => {
        const sitting = cells.sitting();
        const dishId = cells.dish();
        const portions = cells.count('portions');
        const soldOutAt = cells.optionalInstant('sold_out_at');
        if (!sitting || dishId === null || portions === null || soldOutAt === undefined)
          return null;
        return { id: newId('sale'), siteId, ...sitting, dishId, portions, soldOutAt };
      });
      judge(reader, lines, (value) => judgeSale(context, value, dishIds), saleKey);
      apply = (covers, write) => applySales(covers, lines, write);
      sold = lines.map((line) => line.value);
    }

    const preview = await apply(work.read.covers, false);
    const problems = [...reader.problems, ...preview.clashes].sort((a, b) => a.row - b.row);
    const report = (effect: Effect): ImportReport => ({
      kind,
      dryRun,
      sheet: table.sheet,
      sheets: table.sheets,
      rows: table.records.length,
      added: effect.added,
      replaced: effect.replaced,
      unchanged: effect.unchanged,
      problems,
      warnings: reader.warnings,
    });
    if (dryRun) return report(preview);
    refuseBadRows(problems);
    const effect = await work.run(async (inside) => {
      const done = await apply(inside.covers, true);
      refuseBadRows(done.clashes);
      if (sold.length > 0) {
        const kept = await keptSales(inside.covers, sold);
        const missing = await drawStock(inside, this.#deps, actor, context, kept);
        for (const { message } of missing) reader.warnings.push({ row: 1, column: null, message });
      }
      await note(inside, actor, context, kind, done);
      return done;
    });
    if (kind !== 'sales') await this.#follower.sittingsChanged(sittings);
    return report(effect);
  }
}

function note(
  { audit }: CoversWork,
  actor: Actor,
  { site }: CoversContext,
  kind: ImportKind,
  { added, replaced, unchanged }: Effect,
): Promise<void> {
  return audit.append({
    actor,
    action: 'import',
    subjectKind: `covers-${kind}`,
    subjectId: site.id,
    siteId: site.id,
    detail: { added, replaced, unchanged },
  });
}

const sittingKey = (s: Sitting) => `${s.serviceId}\n${s.serviceDate}`;
const saleKey = (s: Sitting & { readonly dishId: string }) => `${sittingKey(s)}\n${s.dishId}`;

/** Judges each line by the rules for single rows, and finds rows that say the same thing twice. */
function judge<T>(
  reader: CellReader,
  lines: readonly Line<T>[],
  judgeOne: (value: T) => {
    readonly problems: readonly RefusalIssue[];
    readonly warnings: readonly RefusalIssue[];
  },
  keyOf: (value: T) => string,
): void {
  const firstRow = new Map<string, number>();
  for (const { row, value } of lines) {
    const { problems, warnings } = judgeOne(value);
    const at = ({ pointer, message }: RefusalIssue): CsvProblem => ({
      row,
      column: COLUMN_OF[pointer] ?? null,
      message,
    });
    reader.problems.push(...problems.map(at));
    reader.warnings.push(...warnings.map(at));
    const key = keyOf(value);
    const first = firstRow.get(key);
    if (first === undefined) firstRow.set(key, row);
    else reader.problems.push({ row, column: null, message: `Row ${first} says this already.` });
  }
}

const servicesIn = (rows: readonly Sitting[]) => [...new Set(rows.map((row) => row.serviceId))];

async function applySnapshots(
  covers: CoversRepository,
  lines: readonly Line<CoversSnapshot>[],
  write: boolean,
): Promise<Effect> {
  const rows = lines.map((line) => line.value);
  const [from, to] = dateRange(rows);
  const standing = new Map(
    (rows.length === 0 ? [] : await covers.snapshotsOf(servicesIn(rows), from, to)).map((s) => [
      snapshotKey(s),
      s,
    ]),
  );
  const clashes: CsvProblem[] = [];
  const added: CoversSnapshot[] = [];
  for (const { row, value } of lines) {
    const before = standing.get(snapshotKey(value));
    if (before === undefined) added.push(value);
    else if (!saysTheSame(before, value)) {
      const column = before.booked === value.booked ? 'cancelled' : 'booked';
      const stands = before[column] ?? 'nothing';
      const message = `For this instant ${stands} stands already; snapshots are never overwritten.`;
      clashes.push({ row, column, message });
    }
  }
  if (write && clashes.length === 0) await covers.insertSnapshots(added);
  const unchanged = rows.length - added.length - clashes.length;
  return { added: added.length, replaced: 0, unchanged, clashes };
}

/** Splits rows into new ones, changed ones and those that say what stands already. */
function compare<T>(
  rows: readonly T[],
  standing: readonly T[],
  keyOf: (row: T) => string,
  same: (a: T, b: T) => boolean,
) {
  const byKey = new Map(standing.map((row) => [keyOf(row), row]));
  const added: T[] = [];
  const changed: T[] = [];
  for (const row of rows) {
    const before = byKey.get(keyOf(row));
    if (before === undefined) added.push(row);
    else if (!same(before, row)) changed.push(row);
  }
  return { added, changed, unchanged: rows.length - added.length - changed.length };
}

type OutcomePart = (typeof OUTCOME_PARTS)[number][0];

/** The parts of an outcome of which a file says nothing, having no column for them. */
function columnsLeftOut({ records }: CsvTable): readonly OutcomePart[] {
  const cells = records[0]?.cells ?? {};
  return OUTCOME_PARTS.filter(([, column]) => !(column in cells)).map(([part]) => part);
}

/** The newest booking figure of each sitting of which parts are told: they should go together. */
async function newestBookings(
  covers: CoversRepository,
  lines: readonly Line<ServiceOutcome>[],
): Promise<ReadonlyMap<string, CoversSnapshot>> {
  const told = lines
    .map((line) => line.value)
    .filter((row) => OUTCOME_PARTS.some(([part]) => row[part] !== null));
  if (told.length === 0) return new Map();
  const [from, to] = dateRange(told);
  const snapshots = await covers.snapshotsOf(servicesIn(told), from, to);
  return new Map(snapshots.map((snapshot) => [sittingKey(snapshot), snapshot]));
}

/** @param silent parts the file has no column for: what stands stays while the covers are the same */
async function applyOutcomes(
  covers: CoversRepository,
  lines: readonly Line<ServiceOutcome>[],
  silent: readonly OutcomePart[],
  write: boolean,
): Promise<Effect> {
  const said = lines.map((line) => line.value);
  const [from, to] = dateRange(said);
  const standing = said.length === 0 ? [] : await covers.outcomesOf(servicesIn(said), from, to);
  const before = new Map(standing.map((row) => [sittingKey(row), row]));
  const rows = said.map((row) => {
    const stands = before.get(sittingKey(row));
    if (stands?.covers !== row.covers || stands.closed !== row.closed) return row;
    return { ...row, ...Object.fromEntries(silent.map((part) => [part, stands[part]])) };
  });
  const { added, changed, unchanged } = compare(
    rows,
    standing,
    sittingKey,
    (a, b) =>
      a.covers === b.covers &&
      a.closed === b.closed &&
      a.note === b.note &&
      OUTCOME_PARTS.every(([part]) => a[part] === b[part]),
  );
  if (write) await covers.putOutcomes([...added, ...changed]);
  return { added: added.length, replaced: changed.length, unchanged, clashes: [] };
}

/** The rows of the file as they now stand, with the ids they are known by. */
async function keptSales(
  covers: CoversRepository,
  sold: readonly DishSale[],
): Promise<readonly DishSale[]> {
  const [from, to] = dateRange(sold);
  const said = new Set(sold.map(saleKey));
  return (await covers.salesOf(servicesIn(sold), from, to)).filter((s) => said.has(saleKey(s)));
}

async function applySales(
  covers: CoversRepository,
  lines: readonly Line<DishSale>[],
  write: boolean,
): Promise<Effect> {
  const rows = lines.map((line) => line.value);
  const [from, to] = dateRange(rows);
  const standing = rows.length === 0 ? [] : await covers.salesOf(servicesIn(rows), from, to);
  const { added, changed, unchanged } = compare(
    rows,
    standing,
    saleKey,
    (a, b) => a.portions === b.portions && a.soldOutAt?.getTime() === b.soldOutAt?.getTime(),
  );
  if (write) await covers.putSales([...added, ...changed]);
  return { added: added.length, replaced: changed.length, unchanged, clashes: [] };
}
