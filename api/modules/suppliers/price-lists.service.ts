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
  type SheetsSeen,
  type TableFile,
  type UnitOfWork,
} from '../platform/index.ts';
import { priceListCells, priceListHeadings, type PriceListHeadings } from './price-list-cells.ts';
import type {
  Pack,
  PackPriceInput,
  PriceColumns,
  Supplier,
  SuppliersWork,
} from './suppliers.ports.ts';

const SOURCE = 'price list';

/** What a list says, and what came of it. */
export interface PriceListReport extends SheetsSeen {
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
   * The headings of a list, for saying which column holds what.
   * @throws Refusal `invalid-input` or `too-large` for a file that cannot be read
   */
  async headings(supplierId: string, file: TableFile): Promise<PriceListHeadings> {
    await this.#supplier(this.#deps.work.read.suppliers, supplierId);
    return priceListHeadings(file);
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
    file: TableFile,
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
    const list = await priceListCells(file, columns);
    const read = orRefuse(readPriceList(list.header, list.rows, mapping, list.firstRow));
    const problems = [
      ...list.problems,
      ...read.problems.map(({ row, column, message }) => ({ row, column, message })),
    ].sort((a, b) => a.row - b.row);
    const held = (await suppliers.packsWithPrices()).filter(
      (pack) => pack.supplierId === supplierId && !pack.archived,
    );
    const changes = comparePriceList(read.entries, heldOn(held, options.validFrom));
    const changed = new Set(
      changes.flatMap(({ what, supplierCode }) => (what === 'gone' ? [] : [supplierCode])),
    );
    const writes = pricesToWrite(read.entries, held, changes, options.validFrom);
    const report = {
      dryRun: options.dryRun,
      sheet: list.sheet,
      sheets: list.sheets,
      rows: list.filled,
      prices: writes.length,
      // A pack may have another price and another content at once.
      unchanged: read.entries.length - changed.size,
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
