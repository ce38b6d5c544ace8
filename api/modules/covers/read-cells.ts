import { parseServiceDate } from '../../core/calendar/index.ts';
import type { CoversContext } from './covers-rules.ts';
import type { Sitting } from './covers.ports.ts';
import type { CsvProblem, CsvRecord, CsvTable } from '../platform/index.ts';

const RFC3339 = /^\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(:\d{2}(\.\d{1,9})?)?([Zz]|[+-]\d{2}:\d{2})$/;
const MOST = 100_000;

/** Reads the cells of one record; what cannot be read becomes a problem and null. */
export interface Cells {
  /** Service (id or name at the site) and date. */
  sitting(): Sitting | null;
  /** A dish's id from its id or name. */
  dish(): string | null;
  count(column: string): number | null;
  /** Null for an empty cell or no such column, undefined for one that cannot be read. */
  optionalCount(column: string): number | null | undefined;
  instant(column: string): Date | null;
  /** Null for an empty cell, undefined for one that cannot be read. */
  optionalInstant(column: string): Date | null | undefined;
  yesOrNo(column: string): boolean | null;
  text(column: string): string | null;
}

/** Turns records into typed rows and gathers what is wrong with them. */
export class CellReader {
  readonly problems: CsvProblem[];
  readonly warnings: CsvProblem[] = [];
  readonly #records: readonly CsvRecord[];
  readonly #services: ReadonlyMap<string, string>;
  readonly #dishes: ReadonlyMap<string, string>;
  readonly #siteName: string;

  constructor(
    context: CoversContext,
    dishes: readonly { readonly id: string; readonly name: string }[],
    table: CsvTable,
  ) {
    this.problems = [...table.problems];
    this.#records = table.records;
    this.#siteName = context.site.name;
    this.#services = byIdOrName([...context.services.values()]);
    this.#dishes = byIdOrName(dishes);
  }

  /** The rows that can be read, with their line numbers. */
  lines<T>(read: (cells: Cells) => T | null): readonly { row: number; value: T }[] {
    return this.#records.flatMap((record) => {
      const value = read(this.#cells(record));
      return value === null ? [] : [{ row: record.row, value }];
    });
  }

  #cells({ row, cells }: CsvRecord): Cells {
    const problem = (column: string, message: string): null => {
      this.problems.push({ row, column, message });
      return null;
    };
    const cell = (column: string) => cells[column] ?? '';
    const named = (column: string, known: ReadonlyMap<string, string>, noun: string) => {
      const id = known.get(cell(column)) ?? known.get(nameKey(cell(column)));
      return (
        id ??
        problem(
          column,
          cell(column) === '' ? `Name the ${noun}.` : this.#unknown(noun, cell(column)),
        )
      );
    };
    const instant = (column: string): Date | null => {
      const text = cell(column);
      const isDay = RFC3339.test(text) && parseServiceDate(text.slice(0, 10)).ok;
      const at = isDay ? new Date(text.replace(' ', 'T')) : null;
      return at && !Number.isNaN(at.getTime())
        ? at
        : problem(column, 'Write the instant with its offset: 2026-03-14T05:30:00Z.');
    };
    const count = (column: string): number | null => {
      const text = cell(column);
      const value = /^\d{1,7}$/.test(text) ? Number(text) : Number.NaN;
      return value <= MOST ? value : problem(column, 'Write a whole number, zero or more.');
    };
    return {
      sitting: () => {
        const serviceId = named('service', this.#services, 'service');
        const date = parseServiceDate(cell('service_date'));
        if (!date.ok) problem('service_date', 'Write the date as YYYY-MM-DD, a day that exists.');
        return serviceId === null || !date.ok ? null : { serviceId, serviceDate: date.value };
      },
      dish: () => named('dish', this.#dishes, 'dish'),
      count,
      optionalCount: (column) => (cell(column) === '' ? null : (count(column) ?? undefined)),
      instant,
      optionalInstant: (column) => (cell(column) === '' ? null : (instant(column) ?? undefined)),
      yesOrNo: (column) => {
        const text = cell(column).toLowerCase();
        if (['', 'no', 'false', '0'].includes(text)) return false;
        if (['yes', 'true', '1'].includes(text)) return true;
        return problem(column, 'Write yes or no.');
      },
      text: (column) => cell(column) || null,
    };
  }

  #unknown(noun: string, text: string): string {
    const where = noun === 'service' ? `${this.#siteName} has` : 'There is';
    return `${where} no ${noun} called ${text.slice(0, 60)}.`;
  }
}

const nameKey = (name: string) => `name:${name.trim().toLowerCase()}`;

function byIdOrName(
  things: readonly { readonly id: string; readonly name: string }[],
): ReadonlyMap<string, string> {
  return new Map(
    things.flatMap(
      ({ id, name }) =>
        [
          [id, id],
          [nameKey(name), id],
        ] as const,
    ),
  );
}
