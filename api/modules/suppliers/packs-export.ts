import { toCsv, type CsvCell } from '../../core/exports/index.ts';
import { formatAmount } from '../../core/quantity/index.ts';
import { PACK_COLUMNS } from './pack-columns.ts';
import type { Pack } from './suppliers.ports.ts';

/**
 * Packs with their price history as comma-separated values (RFC 4180), one row a price, that the
 * import reads back.
 */
export function packsCsv(
  packs: readonly Pack[],
  supplierNames: ReadonlyMap<string, string>,
  ingredientNames: ReadonlyMap<string, string>,
): string {
  const columns = [...PACK_COLUMNS.required, ...PACK_COLUMNS.optional];
  const rows = packs.flatMap((pack): Readonly<Record<string, CsvCell>>[] => {
    const common = {
      supplier: supplierNames.get(pack.supplierId) ?? pack.supplierId,
      sku: pack.sku,
      ingredient: ingredientNames.get(pack.ingredientId) ?? pack.ingredientId,
      name: pack.name,
      content: formatAmount(pack.content),
      gtin: pack.gtin ?? '',
      min_packs: pack.minPacks,
      max_packs: pack.maxPacks ?? '',
      shelf_life_days: pack.shelfLifeDays ?? '',
      is_default: pack.isDefault ? 'yes' : 'no',
      out_of_stock: pack.outOfStock ? 'yes' : 'no',
      back_on: pack.backOn ?? '',
    };
    if (pack.prices.length === 0) return [common];
    return pack.prices.map((price) => ({
      ...common,
      price: price.amount,
      price_from: price.validFrom,
      price_min_packs: price.minPacks,
      price_source: price.source,
    }));
  });
  return toCsv(
    columns,
    rows.map((row) => columns.map((column) => row[column] ?? null)),
  );
}
