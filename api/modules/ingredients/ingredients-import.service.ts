import {
  lostUpdate,
  readTable,
  Refusal,
  refuseBadRows,
  type Actor,
  type BodyCheck,
  type CsvProblem,
  type CsvReport,
  type CsvTable,
  type SheetsSeen,
  type TableFile,
} from '../platform/index.ts';
import { checkIngredient, checkPart, checkPiece } from './check-ingredient.ts';
import { bodyOf, columnAt, INGREDIENT_COLUMNS, layOver } from './ingredient-columns.ts';
import type { Ingredient, IngredientInput, IngredientsWork } from './ingredients.ports.ts';
import { ingredientsCsv } from './ingredients-export.ts';
import type { IngredientsDependencies } from './ingredients.service.ts';

interface Change {
  readonly current: Ingredient | null;
  readonly input: IngredientInput;
}

interface Reading extends SheetsSeen {
  readonly rows: number;
  readonly changes: readonly Change[];
  readonly unchanged: number;
  readonly problems: readonly CsvProblem[];
}

/** Ingredients out to comma-separated values and in from those or a workbook: everything in a file lands, or nothing. */
export class IngredientsImportService {
  readonly #deps: IngredientsDependencies;
  readonly #check: BodyCheck<IngredientInput>;

  constructor(deps: IngredientsDependencies, check: BodyCheck<IngredientInput>) {
    this.#deps = deps;
    this.#check = check;
  }

  /** Ingredients in use, by the columns of the import. */
  async export(): Promise<string> {
    const all = await this.#deps.work.read.ingredients.all();
    return ingredientsCsv(all.filter((ingredient) => !ingredient.archived));
  }

  /**
   * A row whose name is known changes that ingredient, and only in the columns of the file; others
   * are new. A dry run reports every bad row and changes nothing.
   * @throws Refusal `invalid-input` with an issue for every bad row when it is not a dry run
   */
  async import(actor: Actor, file: TableFile, dryRun: boolean): Promise<CsvReport<CsvProblem>> {
    const { work, newId } = this.#deps;
    const table = await readTable(file, INGREDIENT_COLUMNS);
    if (dryRun) return report(await this.#read(work.read, table), true);
    return work.run(async (inside) => {
      const reading = await this.#read(inside, table);
      refuseBadRows(reading.problems);
      for (const { current, input } of reading.changes) {
        if (current) {
          const saved = await inside.ingredients.update(current.id, input, current.rev);
          const { id, rev } = current;
          if (!saved) {
            throw lostUpdate('ingredient', id, rev, await inside.ingredients.find(id));
          }
        } else await inside.ingredients.insert(newId('ing'), input);
      }
      const done = report(reading, false);
      const { added, replaced } = done;
      await inside.audit.append({
        actor,
        action: 'import',
        subjectKind: 'ingredients',
        subjectId: 'all',
        detail: { added, replaced },
      });
      return done;
    });
  }

  async #read(work: Pick<IngredientsWork, 'ingredients'>, table: CsvTable): Promise<Reading> {
    const all = await work.ingredients.all();
    const known = new Map(all.map((ingredient) => [nameKey(ingredient.name), ingredient]));
    const firstRow = new Map<string, number>();
    const problems = [...table.problems];
    const changes: Change[] = [];
    let unchanged = 0;
    for (const record of table.records) {
      const problem = (column: string | null, message: string): void => {
        problems.push({ row: record.row, column, message });
      };
      const key = nameKey(record.cells.name ?? '');
      const before = firstRow.get(key);
      if (before !== undefined) {
        problem('name', `Row ${before} is about this ingredient already.`);
        continue;
      }
      firstRow.set(key, record.row);
      const current = known.get(key) ?? null;
      if (current?.archived === true) {
        problem('name', `${current.name} is archived; restore it first.`);
        continue;
      }
      const base = current && bodyOf(current);
      const laid = layOver(base, record);
      problems.push(...laid.problems);
      if (laid.problems.length > 0) continue;
      const checked = this.#check(laid.raw);
      if ('issues' in checked) {
        for (const issue of checked.issues) problem(columnAt(issue.pointer), issue.message);
        continue;
      }
      const input = base ? { ...checked.value, name: base.name } : checked.value;
      const refusal = await refusalOf(() => checkAgainst(work, all, current, input));
      if (refusal) {
        for (const issue of refusal.issues) problem(columnAt(issue.pointer), issue.message);
      } else if (base && JSON.stringify(sorted(base)) === JSON.stringify(sorted(input))) {
        unchanged += 1;
      } else {
        changes.push({ current, input });
      }
    }
    problems.sort((a, b) => a.row - b.row);
    const { records, sheet, sheets } = table;
    return { sheet, sheets, rows: records.length, changes, unchanged, problems };
  }
}

const nameKey = (name: string): string => name.trim().toLowerCase();

function report(reading: Reading, dryRun: boolean): CsvReport<CsvProblem> {
  const added = reading.changes.filter(({ current }) => current === null).length;
  return {
    dryRun,
    sheet: reading.sheet,
    sheets: reading.sheets,
    rows: reading.rows,
    added,
    replaced: reading.changes.length - added,
    unchanged: reading.unchanged,
    problems: reading.problems,
  };
}

/** The same rules as for one ingredient at a time. */
async function checkAgainst(
  work: Pick<IngredientsWork, 'ingredients'>,
  all: readonly Ingredient[],
  current: Ingredient | null,
  input: IngredientInput,
): Promise<void> {
  checkIngredient(input);
  if (current === null) return;
  const parts = all.filter((other) => other.partOf?.pieceId === current.id);
  if (parts.length > 0) checkPiece({ ...input, id: current.id }, parts);
  if (input.partOf !== null) {
    const { pieceId } = input.partOf;
    const siblings = all.filter((other) => other.partOf?.pieceId === pieceId);
    checkPart(current.id, input, all.find(({ id }) => id === pieceId) ?? null, siblings);
  }
  if (current.baseUnit !== input.baseUnit && (await work.ingredients.holdsQuantities(current.id))) {
    const message = `Recipes, packs or stock hold ${current.name} in ${current.baseUnit}.`;
    throw new Refusal('invalid-input', message, { issues: [{ pointer: '/baseUnit', message }] });
  }
}

async function refusalOf(check: () => Promise<void>): Promise<Refusal | null> {
  try {
    await check();
    return null;
  } catch (error) {
    if (error instanceof Refusal) return error;
    throw error;
  }
}

/** The same value with its keys in order, for comparing. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== 'object') return value;
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(entries.map(([key, member]) => [key, sorted(member)]));
}
