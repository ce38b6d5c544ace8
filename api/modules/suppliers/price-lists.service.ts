import { parse } from 'csv-parse';
import { Readable } from 'node:stream';
import {
  comparePriceList,
  readPriceList,
  type PriceListChange,
  type PriceListEntry,
} from '../../core/ordering/index.ts';
import {
  invalid,
  notFound,
  orRefuse,
  Refusal,
  type Actor,
  type CsvProblem,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type {
  Pack,
  PackPriceInput,
  PriceColumns,
  Supplier,
  SuppliersWork,
} from './suppliers.ports.ts';

/** A wholesaler's whole list; more is several lists. */
const MOST_ROWS = 200_000;
const MOST_CELL_CHARACTERS = 2_000;
/** Rows read before other requests get their turn. */
const ROWS_A_TURN = 2_000;
const SOURCE = 'price list';

/** What a list says, and what came of it. */
export interface PriceListReport {
  readonly dryRun: boolean;
  readonly rows: number;
  /** Prices written, or that would be. */
  readonly prices: number;
  readonly unchanged: number;
  readonly changes: readonly PriceListChange[];
  readonly problems: readonly CsvProblem[];
}

export interface PriceListsDependencies {
  readonly work: UnitOfWork<SuppliersWork>;
  readonly newId: NewId;
}

/** Suppliers' price lists, read by a mapping that is kept with the supplier. */
export class PriceListsService {
  readonly #deps: PriceListsDependencies;

  constructor(deps: PriceListsDependencies) {
    this.#deps = deps;
  }

  /** How the supplier's list is read; null where nobody has said. */
  async columns(supplierId: string): Promise<PriceColumns | null> {
    const { suppliers } = this.#deps.work.read;
    await this.#supplier(suppliers, supplierId);
    return suppliers.priceColumns(supplierId);
  }

  /** Keeps how the supplier's list is read. */
  async keepColumns(
    actor: Actor,
    supplierId: string,
    columns: PriceColumns,
  ): Promise<PriceColumns> {
    for (const field of ['supplierCode', 'content', 'price'] as const) {
      if (columns.columns[field] === undefined) {
        throw invalid(`/columns/${field}`, `Say which column holds the ${field}.`);
      }
    }
    await this.#deps.work.run(async ({ suppliers, audit }) => {
      await this.#supplier(suppliers, supplierId);
      await suppliers.setPriceColumns(supplierId, columns);
      await audit.append({
        actor,
        action: 'price columns',
        subjectKind: 'supplier',
        subjectId: supplierId,
        detail: { ...columns },
      });
    });
    return columns;
  }

  /**
   * Reads a list and compares it with the packs held. Unless it is a dry run, the prices of packs
   * whose content is as held are written from a date on, all or none. A pack that is new, holds
   * something else than before, or is no longer listed is named and left for a person.
   * @throws Refusal `invalid-input` with a pointer for each cell that cannot be taken, where it is no
   * dry run; for columns that the list does not have; where nobody has said how it is read
   */
  async take(
    actor: Actor,
    supplierId: string,
    text: string,
    options: { readonly dryRun: boolean; readonly validFrom: string },
  ): Promise<PriceListReport> {
    const { suppliers } = this.#deps.work.read;
    const supplier = await this.#supplier(suppliers, supplierId);
    const columns = await suppliers.priceColumns(supplierId);
    if (!columns) {
      throw new Refusal(
        'wrong-state',
        `Say first which columns ${supplier.name}'s list has (price-columns).`,
      );
    }
    const mapping = { ...columns, currency: supplier.currency };
    const { header, rows } = await cellsOf(text);
    const read = orRefuse(readPriceList(header, rows, mapping));
    const problems = read.problems.map(({ row, column, message }) => ({ row, column, message }));
    const held = (await suppliers.packsWithPrices()).filter(
      (pack) => pack.supplierId === supplierId && !pack.archived,
    );
    const changes = comparePriceList(read.entries, heldOn(held, options.validFrom));
    const writes = pricesToWrite(read.entries, held, changes, options.validFrom);
    const report = {
      dryRun: options.dryRun,
      rows: rows.length,
      prices: writes.length,
      unchanged: read.entries.length - changes.filter(({ what }) => what !== 'gone').length,
      changes,
      problems,
    };
    if (options.dryRun) return report;
    const [first] = problems;
    if (first) {
      throw new Refusal('invalid-input', first.message, {
        issues: problems.map(({ row, column, message }) => ({
          pointer: `/rows/${row}/${column}`,
          message,
        })),
      });
    }
    await this.#deps.work.run(async (inside) => {
      await inside.suppliers.putPrices(
        writes.map((write) => ({ id: this.#deps.newId('price'), ...write })),
      );
      await inside.audit.append({
        actor,
        action: 'price list',
        subjectKind: 'supplier',
        subjectId: supplierId,
        detail: { validFrom: options.validFrom, rows: report.rows, prices: writes.length },
      });
    });
    return report;
  }

  async #supplier(suppliers: SuppliersWork['suppliers'], id: string): Promise<Supplier> {
    const supplier = await suppliers.find(id);
    if (!supplier) throw notFound('supplier', id);
    return supplier;
  }
}

/** The cells of a list; other requests get their turn in between. */
async function cellsOf(
  text: string,
): Promise<{ readonly header: readonly string[]; readonly rows: readonly (readonly string[])[] }> {
  const parser = Readable.from([text]).pipe(
    parse({
      bom: true,
      relax_column_count: true,
      max_record_size: 64 * MOST_CELL_CHARACTERS,
      delimiter: delimiterOf(text),
    }),
  );
  const rows: string[][] = [];
  try {
    for await (const record of parser as AsyncIterable<string[]>) {
      rows.push(record);
      if (rows.length > MOST_ROWS + 1) {
        throw invalid('', `The list has more than ${MOST_ROWS} rows. Send it in parts.`);
      }
      if (rows.length % ROWS_A_TURN === 0) await new Promise((turn) => setImmediate(turn));
    }
  } catch (error) {
    if (error instanceof Refusal) throw error;
    throw invalid('', `Not readable as comma-separated values: ${(error as Error).message}`);
  }
  const [header, ...rest] = rows;
  if (!header || rest.length === 0) throw invalid('', 'The list has no rows.');
  return { header, rows: rest };
}

/** Lists from programs that write a decimal comma part their cells by semicolons. */
function delimiterOf(text: string): string {
  const end = text.indexOf('\n');
  const first = end < 0 ? text : text.slice(0, end);
  return first.split(';').length > first.split(',').length ? ';' : ',';
}

/** What each pack costs from a date on by what is known before, by article number. */
function heldOn(packs: readonly Pack[], date: string) {
  const held = new Map<string, { price: string; quantityBase: number }>();
  for (const pack of packs) {
    const price = pack.prices.find((one) => one.minPacks === 1 && one.validFrom <= date);
    held.set(pack.sku, { price: price?.amount ?? '0', quantityBase: pack.quantityBase });
  }
  return held;
}

function pricesToWrite(
  entries: readonly PriceListEntry[],
  packs: readonly Pack[],
  changes: readonly PriceListChange[],
  validFrom: string,
): readonly { readonly packId: string; readonly price: PackPriceInput }[] {
  const bySku = new Map(packs.map((pack) => [pack.sku, pack]));
  const other = new Set(
    changes.filter(({ what }) => what === 'content').map(({ supplierCode }) => supplierCode),
  );
  const priced = new Set(
    changes.filter(({ what }) => what === 'price').map(({ supplierCode }) => supplierCode),
  );
  return entries.flatMap(({ supplierCode, price }) => {
    const pack = bySku.get(supplierCode);
    if (!pack || other.has(supplierCode) || !priced.has(supplierCode)) return [];
    return [{ packId: pack.id, price: { validFrom, minPacks: 1, amount: price, source: SOURCE } }];
  });
}
