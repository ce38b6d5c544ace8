import { addDays, addMonths, firstOfMonth, parseServiceDate } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { checkGtin, checkSscc } from './check-digit.ts';

/** Separator between element strings of variable length: ASCII 29, or FNC1 as scanners send it. */
const GROUP_SEPARATOR = '\u001d';

/** What a goods label says. Dates are calendar dates; weights in kilograms. */
export interface GoodsLabel {
  readonly sscc?: string;
  readonly gtin?: string;
  readonly containedGtin?: string;
  readonly containedCount?: number;
  readonly lot?: string;
  readonly serial?: string;
  readonly productionDate?: ServiceDate;
  readonly packagingDate?: ServiceDate;
  readonly bestBeforeDate?: ServiceDate;
  readonly sellByDate?: ServiceDate;
  readonly useByDate?: ServiceDate;
  /** Use-by to the minute, local: 'YYYY-MM-DDTHH:MM'. */
  readonly useByTime?: string;
  readonly netWeightKg?: number;
}

type Writable = { -readonly [K in keyof GoodsLabel]: GoodsLabel[K] };
type Reader = (data: string, label: Writable, thisYear: number) => Result<unknown>;

interface ElementRule {
  /** Length of the data after the identifier; the greatest one when `variable`. */
  readonly length: number;
  readonly variable: boolean;
  readonly digits: boolean;
  readonly read: Reader;
}

const put =
  (name: 'lot' | 'serial'): Reader =>
  (data, label) => {
    label[name] = data;
    return ok(data);
  };
const gtinInto =
  (name: 'gtin' | 'containedGtin'): Reader =>
  (data, label) => {
    label[name] = data;
    return checkGtin(data);
  };
const dateInto =
  (
    name: 'productionDate' | 'packagingDate' | 'bestBeforeDate' | 'sellByDate' | 'useByDate',
  ): Reader =>
  (data, label, thisYear) => {
    const date = gs1Date(data, thisYear);
    if (date.ok) label[name] = date.value;
    return date;
  };

const fixed = (length: number, read: Reader): ElementRule => ({
  length,
  variable: false,
  digits: true,
  read,
});

const RULES: ReadonlyMap<string, ElementRule> = new Map<string, ElementRule>([
  [
    '00',
    fixed(18, (data, label) => {
      label.sscc = data;
      return checkSscc(data);
    }),
  ],
  ['01', fixed(14, gtinInto('gtin'))],
  ['02', fixed(14, gtinInto('containedGtin'))],
  ['10', { length: 20, variable: true, digits: false, read: put('lot') }],
  ['11', fixed(6, dateInto('productionDate'))],
  ['13', fixed(6, dateInto('packagingDate'))],
  ['15', fixed(6, dateInto('bestBeforeDate'))],
  ['16', fixed(6, dateInto('sellByDate'))],
  ['17', fixed(6, dateInto('useByDate'))],
  ['21', { length: 20, variable: true, digits: false, read: put('serial') }],
  [
    '37',
    {
      length: 8,
      variable: true,
      digits: true,
      read: (data, label) => {
        label.containedCount = Number(data);
        return ok(data);
      },
    },
  ],
  [
    '7003',
    {
      length: 10,
      variable: true,
      digits: true,
      read: (data, label, thisYear) => {
        const date = gs1Date(data.slice(0, 6), thisYear);
        if (!date.ok) return date;
        label.useByTime = `${date.value}T${data.slice(6, 8)}:${data.slice(8, 10)}`;
        return ok(data);
      },
    },
  ],
  ...Array.from({ length: 6 }, (_, decimals): [string, ElementRule] => [
    `310${decimals}`,
    fixed(6, (data, label) => {
      label.netWeightKg = Number(data) / 10 ** decimals;
      return ok(data);
    }),
  ]),
]);

/**
 * A GS1 date YYMMDD. Day 00 is the last day of the month. The century is the one that brings the
 * year within 50 years of `thisYear` (51 to 99 years ahead: the century before; 50 to 99 back: the
 * one after).
 *
 * Source: GS1 General Specifications, section 7.12 (the window from memory).
 */
export function gs1Date(data: string, thisYear: number): Result<ServiceDate> {
  const match = /^(\d{2})(\d{2})(\d{2})$/.exec(data);
  const refuse = (): Result<never> =>
    err(coreError('invalid-date', `${data} is not a date as YYMMDD.`, { detail: { data } }));
  if (!match) return refuse();
  const century = Math.floor(thisYear / 100) * 100;
  const difference = Number(match[1]) - (thisYear % 100);
  const shift = difference >= 51 ? -100 : difference <= -50 ? 100 : 0;
  const year = century + shift + Number(match[1]);
  const day = match[3] === '00' ? '01' : match[3];
  const date = parseServiceDate(`${year}-${match[2]}-${day}`);
  if (!date.ok) return refuse();
  return ok(match[3] === '00' ? addDays(addMonths(firstOfMonth(date.value), 1), -1) : date.value);
}

/**
 * Reads the element strings of a goods label, as a scanner sends them: with a symbology prefix or
 * without, with a group separator after data of variable length, or as printed, with the
 * identifiers in brackets.
 *
 * @param thisYear year in which the label is read, for two-digit years
 * @returns error `invalid-code` for an identifier we do not read, data that is too short, a wrong
 *          check digit or an identifier given twice; `invalid-date` for a date that is none
 * Source: GS1 General Specifications, section 3 (application identifiers), section 7.8 (structure)
 */
export function readElementStrings(scanned: string, thisYear: number): Result<GoodsLabel> {
  const refuse = (message: string): Result<never> =>
    err(coreError('invalid-code', message, { detail: { scanned } }));
  const label: Writable = {};
  const seen = new Set<string>();
  for (const element of splitElements(scanned)) {
    if (!element.ok) return element;
    const { identifier, rule, data } = element.value;
    const fits = rule.variable
      ? data.length >= 1 && data.length <= rule.length
      : data.length === rule.length;
    if (!fits || (rule.digits && !/^\d+$/.test(data))) {
      return refuse(`The data after (${identifier}) is not of the right form: "${data}".`);
    }
    if (seen.has(identifier)) return refuse(`(${identifier}) is on the label twice.`);
    seen.add(identifier);
    const read = rule.read(data, label, thisYear);
    if (!read.ok) return read;
  }
  return seen.size === 0 ? refuse('The label holds no code.') : ok(label);
}

interface Element {
  readonly identifier: string;
  readonly rule: ElementRule;
  readonly data: string;
}

function ruleFor(text: string): { identifier: string; rule: ElementRule } | null {
  for (const length of [2, 4]) {
    const identifier = text.slice(0, length);
    const rule = RULES.get(identifier);
    if (rule) return { identifier, rule };
  }
  return null;
}

function* splitElements(scanned: string): Generator<Result<Element>> {
  const unknown = (text: string): Result<never> =>
    err(
      coreError('invalid-code', `The label has a part we do not read: "${text.slice(0, 6)}".`, {
        detail: { scanned },
      }),
    );
  if (scanned.startsWith('(')) {
    // As printed under the bars: brackets round identifiers, none inside data we read.
    for (const part of scanned.slice(1).split('(')) {
      const [identifier = '', ...data] = part.split(')');
      const rule = RULES.get(identifier);
      yield rule ? ok({ identifier, rule, data: data.join(')') }) : unknown(part);
      if (!rule) return;
    }
    return;
  }
  // ]C1, ]d2, ]e0 and ]Q3 tell which symbol was scanned; the data follows.
  let rest = scanned.replace(/^\](C1|d2|e0|Q3)/, '');
  while (rest !== '') {
    if (rest.startsWith(GROUP_SEPARATOR)) {
      rest = rest.slice(1);
      continue;
    }
    const found = ruleFor(rest);
    if (!found) {
      yield unknown(rest);
      return;
    }
    const after = rest.slice(found.identifier.length);
    const separator = after.indexOf(GROUP_SEPARATOR);
    const end = found.rule.variable
      ? separator < 0
        ? after.length
        : separator
      : found.rule.length;
    yield ok({ ...found, data: after.slice(0, end) });
    rest = after.slice(end);
  }
}
