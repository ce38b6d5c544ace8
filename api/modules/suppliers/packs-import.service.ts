import type { Ingredient } from '../ingredients/index.ts';
import {
  lostUpdate,
  readTable,
  Refusal,
  refuseBadRows,
  type Actor,
  type BodyCheck,
  type CsvProblem,
  type CsvRecord,
  type CsvReport,
  type CsvTable,
  type SheetsSeen,
  type TableFile,
} from '../platform/index.ts';
import { packToSave } from './check-supplier.ts';
import { refuseSecondDefault } from './default-pack.ts';
import { packsCsv } from './packs-export.ts';
import { PACK_COLUMNS, packColumnAt, readPackRow } from './pack-columns.ts';
import type {
  Pack,
  PackInput,
  PackPriceInput,
  PackToSave,
  Supplier,
  SuppliersWork,
} from './suppliers.ports.ts';
import type { SuppliersDependencies } from './suppliers.service.ts';

/** One pack of the file with the prices its rows give. */
interface PackChange {
  readonly row: number;
  readonly supplier: Supplier;
  readonly current: Pack | null;
  readonly pack: PackToSave;
  readonly prices: PackPriceInput[];
}

interface Reading extends SheetsSeen {
  readonly rows: number;
  readonly packs: readonly PackChange[];
  readonly problems: readonly CsvProblem[];
}

type Read = Pick<SuppliersWork, 'suppliers' | 'ingredients'>;

/** Packs and prices out to and in from comma-separated values: everything in a file lands, or nothing. */
export class PacksImportService {
  readonly #deps: SuppliersDependencies;
  readonly #checkPack: BodyCheck<PackInput>;
  readonly #checkPrice: BodyCheck<PackPriceInput>;

  constructor(
    deps: SuppliersDependencies,
    checks: {
      readonly pack: BodyCheck<PackInput>;
      readonly price: BodyCheck<PackPriceInput>;
    },
  ) {
    this.#deps = deps;
    this.#checkPack = checks.pack;
    this.#checkPrice = checks.price;
  }

  /** Packs in use with every price, by the columns of the import. */
  async export(): Promise<string> {
    const { suppliers, ingredients } = this.#deps.work.read;
    const named = (rows: readonly { readonly id: string; readonly name: string }[]) =>
      new Map(rows.map(({ id, name }) => [id, name]));
    return packsCsv(
      await suppliers.packsWithPrices(),
      named(await suppliers.all()),
      named(await ingredients.all()),
    );
  }

  /**
   * A supplier and article number that are known change that pack; others are new. Several rows of
   * one pack give its price breaks or dates. A dry run reports every bad row and changes nothing.
   * @throws Refusal `invalid-input` with an issue for every bad row when it is not a dry run
   */
  async import(actor: Actor, file: TableFile, dryRun: boolean): Promise<CsvReport<CsvProblem>> {
    const { work } = this.#deps;
    const table = await readTable(file, PACK_COLUMNS);
    if (dryRun) return report(await this.#read(work.read, table), true);
    return work.run(async (inside) => {
      const reading = await this.#read(inside, table);
      refuseBadRows(reading.problems);
      for (const change of reading.packs) await this.#write(inside, change);
      const done = report(reading, false);
      const detail = { added: done.added, replaced: done.replaced };
      await inside.audit.append({
        actor,
        action: 'import',
        subjectKind: 'packs',
        subjectId: 'all',
        detail,
      });
      return done;
    });
  }

  async #write({ suppliers }: SuppliersWork, change: PackChange): Promise<void> {
    const { current, supplier, pack, prices } = change;
    const { newId } = this.#deps;
    const id = current?.id ?? newId('pack');
    if (!current) await suppliers.insertPack(id, supplier.id, pack);
    else if (!sameRow(current, pack)) {
      const saved = await suppliers.updatePack(id, pack, current.rev);
      if (!saved) throw lostUpdate('pack', id, current.rev, await suppliers.findPack(id));
    }
    for (const price of prices) await suppliers.insertPrice(newId('price'), id, price);
  }

  async #read(work: Read, table: CsvTable): Promise<Reading> {
    const suppliers = byIdOrName(await work.suppliers.all());
    const ingredients = byIdOrName(await work.ingredients.all());
    const problems = [...table.problems];
    const changes = new Map<string, PackChange>();
    for (const record of table.records) {
      const problem = (column: string | null, message: string): void => {
        problems.push({ row: record.row, column, message });
      };
      const supplier = find(suppliers, record, 'supplier');
      const ingredient = find(ingredients, record, 'ingredient');
      if (!supplier || supplier.archived) problem('supplier', 'There is no supplier of that name.');
      if (!ingredient) problem('ingredient', 'There is no ingredient of that name.');
      if (!supplier || supplier.archived || !ingredient) continue;
      const key = `${supplier.id} ${record.cells.sku ?? ''}`;
      const first = changes.get(key);
      const current = first
        ? first.current
        : await work.suppliers.findPackBySku(supplier.id, record.cells.sku ?? '');
      const read = await this.#row(work, record, supplier, ingredient, current);
      problems.push(...read.problems);
      if (!read.pack) continue;
      const change = first ?? { row: record.row, supplier, current, pack: read.pack, prices: [] };
      if (first && !sameRow(first.pack, read.pack)) {
        problem('sku', `Row ${first.row} describes this pack otherwise.`);
        continue;
      }
      changes.set(key, change);
      if (read.price) {
        const clash = clashing(change, read.price);
        if (clash === 'other') problem('price_from', 'There is another price from that day on.');
        else if (clash === null) change.prices.push(read.price);
      }
    }
    problems.push(...secondDefaults([...changes.values()]));
    problems.sort((a, b) => a.row - b.row);
    const { records, sheet, sheets } = table;
    return { sheet, sheets, rows: records.length, packs: [...changes.values()], problems };
  }

  async #row(
    work: Read,
    record: CsvRecord,
    supplier: Supplier,
    ingredient: Ingredient,
    current: Pack | null,
  ): Promise<{ pack?: PackToSave; price?: PackPriceInput; problems: readonly CsvProblem[] }> {
    const read = readPackRow(record, ingredient, current);
    const problems = [...read.problems];
    const { row } = record;
    const add = (
      issues: readonly { readonly pointer: string; readonly message: string }[],
      of: 'pack' | 'price',
    ): void => {
      for (const { pointer, message } of issues) {
        problems.push({ row, column: packColumnAt(pointer, of), message });
      }
    };
    const price = read.price === undefined ? undefined : this.#checkPrice(read.price);
    if (price && 'issues' in price) add(price.issues, 'price');
    if (read.problems.length > 0) return { problems };
    const pack = this.#checkPack(read.pack);
    if ('issues' in pack) add(pack.issues, 'pack');
    if ('issues' in pack || problems.length > 0) return { problems };
    try {
      if (current && current.ingredientId !== ingredient.id) {
        const message = 'A pack stays with its ingredient; use another article number.';
        return { problems: [{ row, column: 'ingredient', message }] };
      }
      if (current?.archived === true) {
        return { problems: [{ row, column: 'sku', message: 'This pack is archived.' }] };
      }
      const saved = packToSave(pack.value, ingredient);
      await refuseSecondDefault(work, current?.id ?? '', supplier, pack.value);
      return {
        pack: saved,
        problems,
        ...(price && 'value' in price ? { price: price.value } : {}),
      };
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      add(error.issues, 'pack');
      return { problems };
    }
  }
}

function report(reading: Reading, dryRun: boolean): CsvReport<CsvProblem> {
  const { sheet, sheets, rows, packs, problems } = reading;
  const isChange = ({ current, pack, prices }: PackChange): boolean =>
    current === null || prices.length > 0 || !sameRow(current, pack);
  const changed = packs.filter(isChange);
  const added = changed.filter(({ current }) => current === null).length;
  return {
    dryRun,
    sheet,
    sheets,
    rows,
    added,
    replaced: changed.length - added,
    unchanged: packs.length - changed.length,
    problems,
  };
}

function sameRow(a: PackToSave, b: PackToSave): boolean {
  return (
    a.ingredientId === b.ingredientId &&
    a.name === b.name &&
    a.gtin === b.gtin &&
    a.quantityBase === b.quantityBase &&
    a.content.value === b.content.value &&
    a.content.unit === b.content.unit &&
    a.minPacks === b.minPacks &&
    a.maxPacks === b.maxPacks &&
    a.backOn === b.backOn &&
    a.shelfLifeDays === b.shelfLifeDays &&
    a.isDefault === b.isDefault &&
    a.outOfStock === b.outOfStock
  );
}

/** Whether the pack has that price already, has another one for the day, or has none. */
function clashing(change: PackChange, price: PackPriceInput): 'same' | 'other' | null {
  const there = [...(change.current?.prices ?? []), ...change.prices].find(
    (other) => other.validFrom === price.validFrom && other.minPacks === price.minPacks,
  );
  if (!there) return null;
  return Number(there.amount) === Number(price.amount) ? 'same' : 'other';
}

/** Two packs of the file ordered by habit for one ingredient at suppliers that share a site. */
function secondDefaults(changes: readonly PackChange[]): CsvProblem[] {
  const problems: CsvProblem[] = [];
  const defaults = changes.filter(({ pack }) => pack.isDefault);
  for (const [i, change] of defaults.entries()) {
    const other = defaults
      .slice(0, i)
      .find(
        ({ pack, supplier }) =>
          pack.ingredientId === change.pack.ingredientId &&
          (supplier.id === change.supplier.id ||
            supplier.siteIds.some((siteId) => change.supplier.siteIds.includes(siteId))),
      );
    if (other) {
      const message = `Row ${other.row} has the pack ordered by habit already.`;
      problems.push({ row: change.row, column: 'is_default', message });
    }
  }
  return problems;
}

const nameKey = (name: string): string => `name:${name.trim().toLowerCase()}`;

function byIdOrName<T extends { readonly id: string; readonly name: string }>(
  things: readonly T[],
): ReadonlyMap<string, T> {
  return new Map(
    things.flatMap((thing) => [
      [thing.id, thing],
      [nameKey(thing.name), thing],
    ]),
  );
}

function find<T>(known: ReadonlyMap<string, T>, record: CsvRecord, column: string): T | null {
  const cell = record.cells[column] ?? '';
  return known.get(cell) ?? known.get(nameKey(cell)) ?? null;
}
