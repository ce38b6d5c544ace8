import { tradeQuantity } from '../codes/index.ts';
import { roundMoney } from '../money/index.ts';
import type { Result } from '../shared/result.ts';
import { mapResult } from '../shared/result.ts';
import { csvNumber, toCsv } from './csv.ts';
import type { CsvCell } from './csv.ts';
import { checkOrderDocument, orderTotals } from './order-document.ts';
import type { OrderDocument } from './order-document.ts';
import { toXlsx } from './xlsx.ts';
import type { SheetCell, SheetColumn } from './xlsx.ts';

const COLUMNS: readonly (SheetColumn & { readonly header: string })[] = [
  { header: 'Order', width: 14 },
  { header: 'Issued', width: 11, kind: 'date' },
  { header: 'Supplier', width: 24 },
  { header: 'Site', width: 20 },
  { header: 'Delivery', width: 11, kind: 'date' },
  { header: 'Line', width: 6, kind: 'number' },
  { header: 'Ingredient', width: 28 },
  { header: 'Pack', width: 28 },
  { header: 'Supplier code', width: 14 },
  { header: 'GTIN', width: 16 },
  { header: 'Packs', width: 8, kind: 'number' },
  { header: 'Pack content', width: 12, kind: 'number' },
  { header: 'Content unit', width: 12 },
  { header: 'Price per pack', width: 14, kind: 'number' },
  { header: 'Line total', width: 12, kind: 'number' },
  { header: 'Currency', width: 9 },
  { header: 'Booked share', width: 12, kind: 'number' },
  { header: 'Note', width: 30 },
];

function rowsOf(document: OrderDocument): SheetCell[][] {
  const { currency } = document;
  const totals = orderTotals(document);
  return document.lines.map((line, i) => {
    const content = tradeQuantity(line.packBase, line.baseUnit);
    const total = roundMoney({ amount: totals.lineTotals[i] ?? '0', currency }).amount;
    const certain = line.certainFraction;
    return [
      document.number,
      document.issueDate,
      document.supplier.name,
      document.site.name,
      document.deliveryDate,
      { decimal: String(line.lineNumber) },
      line.ingredientName,
      line.packName,
      line.supplierCode ?? null,
      line.gtin ?? null,
      { decimal: String(line.packs) },
      { decimal: content.amount },
      content.symbol,
      { decimal: line.pricePerPack },
      { decimal: total },
      currency,
      certain === undefined ? null : { decimal: certain.toFixed(3) },
      line.note ?? null,
    ];
  });
}

const toCsvCell = (cell: SheetCell): CsvCell =>
  cell === null || typeof cell === 'string' ? cell : csvNumber(cell.decimal);

/** Orders as CSV, one record a line, the order's head repeated on each. Errors as checkOrderDocument. */
export function ordersToCsv(documents: readonly OrderDocument[]): Result<string> {
  return mapResult(checkAll(documents), () =>
    toCsv(
      COLUMNS.map((column) => column.header),
      documents.flatMap(rowsOf).map((row) => row.map(toCsvCell)),
    ),
  );
}

/** Orders as a workbook with a sheet of lines and one of totals. Errors as checkOrderDocument. */
export function ordersToXlsx(documents: readonly OrderDocument[]): Result<Uint8Array> {
  return mapResult(checkAll(documents), () =>
    toXlsx([
      { name: 'Order lines', columns: COLUMNS, rows: documents.flatMap(rowsOf) },
      {
        name: 'Totals',
        columns: [
          { header: 'Order', width: 14 },
          { header: 'Supplier', width: 24 },
          { header: 'Site', width: 20 },
          { header: 'Delivery', width: 11, kind: 'date' },
          { header: 'Goods', width: 12, kind: 'number' },
          { header: 'Delivery charge', width: 14, kind: 'number' },
          { header: 'Total net of tax', width: 14, kind: 'number' },
          { header: 'Currency', width: 9 },
        ],
        rows: documents.map(totalsRow),
      },
    ]),
  );
}

function totalsRow(document: OrderDocument): SheetCell[] {
  const { goodsTotal, total } = orderTotals(document);
  const money = (amount: string): SheetCell => ({
    decimal: roundMoney({ amount, currency: document.currency }).amount,
  });
  return [
    document.number,
    document.supplier.name,
    document.site.name,
    document.deliveryDate,
    money(goodsTotal),
    money(document.deliveryCharge),
    money(total),
    document.currency,
  ];
}

function checkAll(documents: readonly OrderDocument[]): Result<true> {
  for (const [i, document] of documents.entries()) {
    const checked = checkOrderDocument(document);
    if (!checked.ok) {
      const { error } = checked;
      return { ok: false, error: { ...error, path: ['orders', i, ...(error.path ?? [])] } };
    }
  }
  return { ok: true, value: true };
}
