import { parseAmount } from '../../core/quantity/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import { numberCell, yesNoCell, type CsvProblem, type CsvRecord } from '../platform/index.ts';
import type { Pack } from './suppliers.ports.ts';

export const PACK_COLUMNS = {
  required: ['supplier', 'sku', 'ingredient', 'name', 'content'],
  optional: [
    'gtin',
    'min_packs',
    'max_packs',
    'shelf_life_days',
    'is_default',
    'out_of_stock',
    'back_on',
    'price',
    'price_from',
    'price_min_packs',
    'price_source',
  ],
} as const;

/** Which column a field of a pack or its price was read from. */
const COLUMN_OF: Readonly<Record<string, string>> = {
  '/ingredientId': 'ingredient',
  '/name': 'name',
  '/sku': 'sku',
  '/content': 'content',
  '/gtin': 'gtin',
  '/minPacks': 'min_packs',
  '/maxPacks': 'max_packs',
  '/shelfLifeDays': 'shelf_life_days',
  '/isDefault': 'is_default',
  '/outOfStock': 'out_of_stock',
  '/backOn': 'back_on',
};
const PRICE_COLUMN_OF: Readonly<Record<string, string>> = {
  '/amount': 'price',
  '/validFrom': 'price_from',
  '/minPacks': 'price_min_packs',
  '/source': 'price_source',
};

/** The column that answers for a pointer into a pack or a price. */
export function packColumnAt(pointer: string, of: 'pack' | 'price'): string | null {
  const columns = of === 'pack' ? COLUMN_OF : PRICE_COLUMN_OF;
  const found = Object.keys(columns).find(
    (known) => pointer === known || pointer.startsWith(`${known}/`),
  );
  return found === undefined ? null : (columns[found] ?? null);
}

export interface PackRow {
  readonly pack: unknown;
  /** Absent where the row has no price. */
  readonly price?: unknown;
  readonly problems: readonly CsvProblem[];
}

/** Reads a row into the bodies of a pack and its price; columns not there stay as they are. */
export function readPackRow(
  record: CsvRecord,
  ingredient: Ingredient,
  current: Pack | null,
): PackRow {
  const problems: CsvProblem[] = [];
  const problem = (column: string, message: string): undefined => {
    problems.push({ row: record.row, column, message });
    return undefined;
  };
  const cell = (column: string): string | undefined => record.cells[column];
  const numberAt = (column: string): number | null | undefined => {
    const text = cell(column);
    if (text === undefined) return undefined;
    const read = numberCell(text);
    return 'message' in read ? problem(column, read.message) : read.value;
  };
  const yesNoAt = (column: string): boolean | undefined => {
    const text = cell(column);
    if (text === undefined) return undefined;
    const read = yesNoCell(text);
    return 'message' in read ? problem(column, read.message) : read.value;
  };
  const content = parseAmount(cell('content') ?? '', {
    measures: ingredient.measures.map(({ name }) => name),
  });
  if (!content.ok) problem('content', content.error.message);
  const gtin = cell('gtin');
  const minPacks = numberAt('min_packs');
  const outOfStock = yesNoAt('out_of_stock') ?? current?.outOfStock ?? false;
  const backOn = cell('back_on');
  const pack = {
    ingredientId: ingredient.id,
    name: cell('name') ?? '',
    sku: cell('sku') ?? '',
    gtin: gtin === undefined ? (current?.gtin ?? null) : gtin === '' ? null : gtin,
    content: content.ok ? { value: content.value.value, unit: content.value.unit } : undefined,
    minPacks: minPacks ?? current?.minPacks ?? 1,
    maxPacks: orElse(numberAt('max_packs'), current?.maxPacks ?? null),
    shelfLifeDays: orElse(numberAt('shelf_life_days'), current?.shelfLifeDays ?? null),
    isDefault: yesNoAt('is_default') ?? current?.isDefault ?? false,
    outOfStock,
    backOn: backOn === undefined ? (outOfStock ? (current?.backOn ?? null) : null) : backOn || null,
  };
  const amount = cell('price') ?? '';
  if (amount === '') {
    if ((cell('price_from') ?? '') !== '') problem('price', 'A date is given without its price.');
    return { pack, problems };
  }
  const source = cell('price_source') ?? '';
  const price = {
    amount: amount.replace(',', '.'),
    validFrom: cell('price_from') ?? '',
    minPacks: numberAt('price_min_packs') ?? 1,
    ...(source === '' ? {} : { source }),
  };
  if (/,\d{3}$/.test(amount)) problem('price', 'Write the price with a point for decimals.');
  return { pack, price, problems };
}

function orElse<T>(value: T | undefined, otherwise: T): T {
  return value === undefined ? otherwise : value;
}
