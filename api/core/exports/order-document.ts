import { checkGln, checkGtin } from '../codes/index.ts';
import { parseServiceDate } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { Decimal, isCurrencyCode, isDecimalText } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { PaperLanguage } from './paper-words.ts';

/** A party of the order: the group that buys, the site that receives, the supplier. */
export interface OrderParty {
  readonly name: string;
  /** GS1 global location number, 13 digits. */
  readonly gln?: string;
  /** Number under which the other side keeps the buyer. */
  readonly accountId?: string;
  readonly addressLines?: readonly string[];
  readonly email?: string;
  readonly phone?: string;
}

/** One line of an order as it is sent. Money as decimal text in the order's currency. */
export interface OrderDocumentLine {
  readonly lineNumber: number;
  readonly ingredientName: string;
  /** How the supplier names the pack, "Butter 82 %, 10 x 250 g". */
  readonly packName: string;
  readonly supplierCode?: string;
  readonly gtin?: string;
  readonly packs: number;
  /** Content of one pack. */
  readonly packBase: number;
  readonly baseUnit: 'g' | 'ml' | 'each';
  readonly pricePerPack: string;
  /** Part of the quantity that booked covers alone need, 0 to 1; left out when not known. */
  readonly certainFraction?: number;
  readonly note?: string;
}

/** An order as it is sent: all that any of the formats writes. Net of tax. */
export interface OrderDocument {
  readonly number: string;
  /** True when the order has been sent before: the other side must not deliver twice. */
  readonly copy?: boolean;
  /** What the supplier reads; the sheet is written in it, the files for programs are not. */
  readonly language: PaperLanguage;
  readonly issueDate: ServiceDate;
  readonly currency: string;
  readonly buyer: OrderParty;
  readonly site: OrderParty;
  readonly supplier: OrderParty;
  readonly deliveryDate: ServiceDate;
  readonly note?: string;
  readonly lines: readonly OrderDocumentLine[];
  /** Decimal text; "0" when there is none. */
  readonly deliveryCharge: string;
}

/** Exact totals of an order; each is rounded where it is written. */
export interface OrderTotals {
  readonly lineTotals: readonly string[];
  readonly goodsTotal: string;
  readonly total: string;
}

/** Adds an order up: packs times price, goods, goods and delivery. The document must be checked. */
export function orderTotals(document: OrderDocument): OrderTotals {
  const lines = document.lines.map((line) => new Decimal(line.pricePerPack).times(line.packs));
  const goods = lines.reduce((sum, line) => sum.plus(line), new Decimal(0));
  return {
    lineTotals: lines.map((line) => line.toString()),
    goodsTotal: goods.toString(),
    total: goods.plus(document.deliveryCharge).toString(),
  };
}

/** Dates and codes of the head, then the lines, each with its path. */
function* checks(document: OrderDocument): Generator<Result<unknown>> {
  const refuse = (
    kind: 'out-of-range' | 'missing-data' | 'unreadable-amount' | 'invalid-code',
    message: string,
    path: readonly (string | number)[],
  ): Result<never> => err(coreError(kind, message, { path }));
  const at = (result: Result<unknown>, path: readonly (string | number)[]): Result<unknown> =>
    result.ok ? result : err({ ...result.error, path });

  if (document.number.trim() === '')
    yield refuse('missing-data', 'The order has no number.', ['number']);
  yield at(parseServiceDate(document.issueDate), ['issueDate']);
  yield at(parseServiceDate(document.deliveryDate), ['deliveryDate']);
  if (!isCurrencyCode(document.currency)) {
    yield refuse('invalid-code', `"${document.currency}" is not a currency code.`, ['currency']);
  }
  for (const side of ['buyer', 'site', 'supplier'] as const) {
    const party = document[side];
    if (party.name.trim() === '')
      yield refuse('missing-data', 'A party has no name.', [side, 'name']);
    if (party.gln !== undefined) yield at(checkGln(party.gln), [side, 'gln']);
  }
  if (document.lines.length === 0)
    yield refuse('missing-data', 'The order has no lines.', ['lines']);
  if (
    !isDecimalText(document.deliveryCharge) ||
    new Decimal(document.deliveryCharge).isNegative()
  ) {
    yield refuse('unreadable-amount', 'The delivery charge is no amount.', ['deliveryCharge']);
  }
  const numbers = new Set<number>();
  for (const [i, line] of document.lines.entries()) {
    const path = (field: string) => ['lines', i, field];
    if (!Number.isInteger(line.lineNumber) || line.lineNumber < 1 || numbers.has(line.lineNumber)) {
      yield refuse(
        'out-of-range',
        'Lines are numbered 1, 2, 3 without repeats.',
        path('lineNumber'),
      );
    }
    numbers.add(line.lineNumber);
    if (line.ingredientName.trim() === '') {
      yield refuse('missing-data', 'A line does not say what is ordered.', path('ingredientName'));
    }
    if (!Number.isInteger(line.packs) || line.packs < 1) {
      yield refuse('out-of-range', 'Packs are whole and at least one.', path('packs'));
    }
    if (!Number.isFinite(line.packBase) || line.packBase <= 0) {
      yield refuse('out-of-range', 'A pack holds more than nothing.', path('packBase'));
    }
    if (!isDecimalText(line.pricePerPack) || new Decimal(line.pricePerPack).isNegative()) {
      yield refuse(
        'unreadable-amount',
        'A price is a decimal such as 12.40.',
        path('pricePerPack'),
      );
    }
    const certain = line.certainFraction ?? 0;
    if (!(certain >= 0 && certain <= 1)) {
      yield refuse('out-of-range', 'The booked share is 0 to 1.', path('certainFraction'));
    }
    if (line.gtin !== undefined) yield at(checkGtin(line.gtin), path('gtin'));
  }
}

/**
 * Checks an order before it is written in any format.
 *
 * Errors with the path: `missing-data` (number, names, lines), `out-of-range` (line numbers, packs,
 * content), `unreadable-amount` (prices), `invalid-code` (currency, GLN, GTIN), `invalid-date`.
 */
export function checkOrderDocument(document: OrderDocument): Result<OrderDocument> {
  for (const result of checks(document)) {
    if (!result.ok) return result;
  }
  return ok(document);
}
