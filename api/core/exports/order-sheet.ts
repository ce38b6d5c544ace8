import { tradeQuantity } from '../codes/index.ts';
import { Decimal, minorDigits, roundMoney } from '../money/index.ts';
import type { Result } from '../shared/result.ts';
import { mapResult } from '../shared/result.ts';
import { checkOrderDocument, orderTotals } from './order-document.ts';
import type { OrderDocument, OrderParty } from './order-document.ts';
import { PAPER_WORDS, type PaperLanguage, type PaperWords } from './paper-words.ts';

/**
 * An order laid out for paper: texts only, in reading order, each as the supplier reads it; the page
 * decides how it looks and changes no text.
 */
export interface OrderSheet {
  readonly language: PaperLanguage;
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

/** How a language writes dates, money and quantities. */
function writing({ locale, pieces }: PaperWords, currency: string) {
  const day = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', dateStyle: 'full' });
  const written = (amount: string, digits: number): string =>
    new Intl.NumberFormat(locale, {
      style: 'currency',
      currency,
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
    }).format(amount as Intl.StringNumericLiteral);
  const usual = minorDigits(currency) ?? 2;
  return {
    date: (date: string): string => day.format(new Date(`${date}T00:00:00Z`)),
    money: (amount: string): string => written(roundMoney({ amount, currency }).amount, usual),
    // A price may have more digits than the currency (0.125 a pack); it never shows fewer.
    price: (amount: string): string =>
      written(amount, Math.max(usual, new Decimal(amount).decimalPlaces())),
    quantity: (base: number, baseUnit: 'g' | 'ml' | 'each'): string => {
      const { amount, symbol } = tradeQuantity(base, baseUnit);
      // Without thousands: '1.250 kg' would be a kilo and a quarter to one reader, a tonne to another.
      const number = new Intl.NumberFormat(locale, {
        useGrouping: false,
        maximumFractionDigits: 6,
      });
      return `${number.format(Number(amount))} ${baseUnit === 'each' ? pieces : symbol}`;
    },
  };
}

/**
 * The printable order sheet: who, to whom, where and when; a row a line with room to tick off what
 * came; totals net of tax. All in the supplier's language, whoever prints it; names of goods, packs
 * and places as they are on record.
 *
 * Errors: as checkOrderDocument.
 */
export function orderSheet(document: OrderDocument): Result<OrderSheet> {
  return mapResult(checkOrderDocument(document), (): OrderSheet => {
    const words = PAPER_WORDS[document.language];
    const totals = orderTotals(document);
    const { date, money, price, quantity } = writing(words, document.currency);
    const charged = !new Decimal(document.deliveryCharge).isZero();
    const account = document.buyer.accountId;
    return {
      language: document.language,
      title: `${words.order(document.number)}${document.copy === true ? ` (${words.copy})` : ''}`,
      head: [
        { label: words.supplier, lines: partyLines(document.supplier) },
        {
          label: words.buyer,
          lines: [...partyLines(document.buyer), ...(account ? [words.account(account)] : [])],
        },
        { label: words.deliverTo, lines: partyLines(document.site) },
        { label: words.deliveryDate, lines: [date(document.deliveryDate)] },
        { label: words.issued, lines: [date(document.issueDate)] },
      ],
      columns: [
        { header: words.line, align: 'end' },
        { header: words.code, align: 'start' },
        { header: words.what, align: 'start' },
        { header: words.pack, align: 'start' },
        { header: words.packs, align: 'end' },
        { header: words.inAll, align: 'end' },
        { header: words.price, align: 'end' },
        { header: words.total, align: 'end' },
        { header: words.received, align: 'start' },
      ],
      rows: document.lines.map((line, i) => [
        String(line.lineNumber),
        line.supplierCode ?? line.gtin ?? '',
        line.note === undefined ? line.ingredientName : `${line.ingredientName} (${line.note})`,
        line.packName,
        String(line.packs),
        quantity(line.packBase * line.packs, line.baseUnit),
        price(line.pricePerPack),
        money(totals.lineTotals[i] ?? '0'),
        '',
      ]),
      totals: [
        { label: words.goods, amount: money(totals.goodsTotal) },
        ...(charged
          ? [{ label: words.deliveryCharge, amount: money(document.deliveryCharge) }]
          : []),
        { label: words.totalNetOfTax, amount: money(totals.total) },
      ],
      notes: document.note === undefined ? [] : [document.note],
    };
  });
}
