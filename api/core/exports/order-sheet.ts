import { tradeQuantity } from '../codes/index.ts';
import { Decimal, minorDigits, roundMoney } from '../money/index.ts';
import type { Result } from '../shared/result.ts';
import { mapResult } from '../shared/result.ts';
import { checkOrderDocument, orderTotals } from './order-document.ts';
import type { OrderDocument, OrderParty } from './order-document.ts';

/** An order laid out for paper: texts only, in reading order; the page decides how it looks. */
export interface OrderSheet {
  readonly title: string;
  readonly head: readonly { readonly label: string; readonly lines: readonly string[] }[];
  readonly columns: readonly { readonly header: string; readonly align: 'start' | 'end' }[];
  readonly rows: readonly (readonly string[])[];
  readonly totals: readonly { readonly label: string; readonly amount: string }[];
  readonly notes: readonly string[];
}

function partyLines(party: OrderParty): string[] {
  const { name, addressLines = [], phone, email, gln } = party;
  return [
    name,
    ...addressLines,
    ...(phone === undefined ? [] : [phone]),
    ...(email === undefined ? [] : [email]),
    ...(gln === undefined ? [] : [`GLN ${gln}`]),
  ];
}

/**
 * The printable order sheet: who, to whom, where and when; a row a line with room to tick off what
 * came; totals net of tax.
 *
 * Errors: as checkOrderDocument.
 */
export function orderSheet(document: OrderDocument): Result<OrderSheet> {
  return mapResult(checkOrderDocument(document), (): OrderSheet => {
    const { currency } = document;
    const totals = orderTotals(document);
    const money = (amount: string): string =>
      `${roundMoney({ amount, currency }).amount} ${currency}`;
    // A price may have more digits than the currency (0.125 a pack); it never shows fewer.
    const price = (amount: string): string => {
      const exact = new Decimal(amount);
      const digits = Math.max(minorDigits(currency) ?? 2, exact.decimalPlaces());
      return `${exact.toFixed(digits)} ${currency}`;
    };
    const charged = !new Decimal(document.deliveryCharge).isZero();
    const account = document.buyer.accountId;
    return {
      title: `Order ${document.number}${document.copy === true ? ' (copy)' : ''}`,
      head: [
        { label: 'Supplier', lines: partyLines(document.supplier) },
        {
          label: 'Buyer',
          lines: [...partyLines(document.buyer), ...(account ? [`Account ${account}`] : [])],
        },
        { label: 'Deliver to', lines: partyLines(document.site) },
        { label: 'Delivery', lines: [document.deliveryDate] },
        { label: 'Issued', lines: [document.issueDate] },
      ],
      columns: [
        { header: 'Line', align: 'end' },
        { header: 'Code', align: 'start' },
        { header: 'What', align: 'start' },
        { header: 'Pack', align: 'start' },
        { header: 'Packs', align: 'end' },
        { header: 'In all', align: 'end' },
        { header: 'Price', align: 'end' },
        { header: 'Total', align: 'end' },
        { header: 'Received', align: 'start' },
      ],
      rows: document.lines.map((line, i) => {
        const all = tradeQuantity(line.packBase * line.packs, line.baseUnit);
        return [
          String(line.lineNumber),
          line.supplierCode ?? line.gtin ?? '',
          line.note === undefined ? line.ingredientName : `${line.ingredientName} (${line.note})`,
          line.packName,
          String(line.packs),
          `${all.amount} ${all.symbol}`,
          price(line.pricePerPack),
          money(totals.lineTotals[i] ?? '0'),
          '',
        ];
      }),
      totals: [
        { label: 'Goods', amount: money(totals.goodsTotal) },
        ...(charged ? [{ label: 'Delivery', amount: money(document.deliveryCharge) }] : []),
        { label: 'Total net of tax', amount: money(totals.total) },
      ],
      notes: document.note === undefined ? [] : [document.note],
    };
  });
}
