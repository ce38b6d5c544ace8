import type { Problem } from '../api/client.ts';
import type { Menu, SiteServices } from '../api/types.ts';
import { locale } from '../texts/index.svelte.ts';
import { readNumber } from '../show/amount.ts';

// A menu while it is typed. Figures stay text until they are sent; no price is worked out here.

export type MenuLine = Menu['lines'][number];

export interface DraftLine {
  readonly key: number;
  readonly dishId: string;
  readonly dishName: string;
  /** Empty: every service. */
  serviceId: string;
  percent: string;
  price: string;
  tax: string;
  /** Food cost aimed at, of 100; empty: none. */
  aim: string;
  onceAGuest: boolean;
  off: boolean;
  /** As the service has it; null for a dish that is added. */
  readonly was: MenuLine | null;
}

export interface DraftMenu {
  name: string;
  activeFrom: string;
  /** Empty: until further notice. */
  activeTo: string;
  /** Prices are written as printed on the menu, tax included. */
  withTax: boolean;
  lines: DraftLine[];
}

const FRACTION_DIGITS = 4;
const PRICE_DIGITS = 2;
const plain = (value: number, atLeast = 0): string =>
  new Intl.NumberFormat(locale(), {
    useGrouping: false,
    minimumFractionDigits: atLeast,
    maximumFractionDigits: FRACTION_DIGITS,
  }).format(value);
const ofHundred = (fraction: number): string => plain(Number((fraction * 100).toFixed(4)));
const decimal = (text: string): string => text.trim().replace(',', '.');

/** A line's price as the service has it, with or without tax. */
export function priceText(line: MenuLine, withTax: boolean): string {
  return plain(Number((withTax ? line.grossPrice : line.netPrice).amount), PRICE_DIGITS);
}

let lastKey = 0;
const newKey = (): number => (lastKey += 1);

export function draftOf(menu: Menu, withTax = true): DraftMenu {
  return {
    name: menu.name,
    activeFrom: menu.activeFrom,
    activeTo: menu.activeTo ?? '',
    withTax,
    lines: menu.lines.map((line) => ({
      key: newKey(),
      dishId: line.dishId,
      dishName: line.dishName,
      serviceId: line.serviceId ?? '',
      percent: ofHundred(line.share),
      price: priceText(line, withTax),
      tax: ofHundred(line.taxRate),
      aim: line.targetCost === null ? '' : ofHundred(line.targetCost),
      onceAGuest: line.oneACover,
      off: false,
      was: line,
    })),
  };
}

export const newDraft = (): DraftMenu => ({
  name: '',
  activeFrom: '',
  activeTo: '',
  withTax: true,
  lines: [],
});

/** A dish that is added; its tax is that of the line before, which one reads and may change. */
export function addedLine(
  dish: { readonly id: string; readonly name: string },
  before: DraftLine | undefined,
): DraftLine {
  return {
    key: newKey(),
    dishId: dish.id,
    dishName: dish.name,
    serviceId: '',
    percent: '',
    price: '',
    tax: before?.tax ?? '',
    aim: '',
    onceAGuest: false,
    off: false,
    was: null,
  };
}

/**
 * The same dishes for another site: services are found by their names there, and a price in another
 * currency is left open.
 */
export function copyFor(
  menu: Menu,
  services: SiteServices['items'],
  there: SiteServices['items'],
  sameCurrency: boolean,
): DraftMenu {
  const draft = draftOf(menu);
  const nameOf = new Map(services.map((one) => [one.id, one.name]));
  return {
    ...draft,
    activeFrom: '',
    activeTo: '',
    lines: draft.lines.map((line) => ({
      ...line,
      serviceId: there.find((one) => one.name === nameOf.get(line.serviceId))?.id ?? '',
      price: sameCurrency ? line.price : '',
      was: sameCurrency ? line.was : null,
    })),
  };
}

/** Whether a line has a figure that is no number. The service judges how large it may be. */
export function unreadable(line: DraftLine): boolean {
  const { percent, price, tax, aim } = line;
  return [percent, price, tax, ...(aim.trim() === '' ? [] : [aim])].some(
    (text) => readNumber(text) === null,
  );
}

const fractionOf = (text: string): number => Number(((readNumber(text) ?? 0) / 100).toFixed(6));

function sentLine(line: DraftLine, withTax: boolean, currency: string) {
  const { was } = line;
  // What nobody touched goes back exactly as it came.
  const untouched =
    was !== null && line.price === priceText(was, withTax) && line.tax === ofHundred(was.taxRate);
  return {
    dishId: line.dishId,
    serviceId: line.serviceId === '' ? null : line.serviceId,
    share: fractionOf(line.percent),
    price: untouched ? was.netPrice : { amount: decimal(line.price), currency },
    priceIncludesTax: untouched ? false : withTax,
    taxRate: fractionOf(line.tax),
    targetCost: line.aim.trim() === '' ? null : fractionOf(line.aim),
    oneACover: line.onceAGuest,
  };
}

/** What is sent of a draft whose figures can be read. Lines taken off are left out. */
export function bodyOf(draft: DraftMenu, currency: string) {
  return {
    name: draft.name.trim(),
    activeFrom: draft.activeFrom,
    activeTo: draft.activeTo === '' ? null : draft.activeTo,
    lines: draft.lines
      .filter((line) => !line.off)
      .map((line) => sentLine(line, draft.withTax, currency)),
  };
}

/** A menu as it stands, ready to be sent again. */
export const sameBody = (menu: Menu, change: { activeTo?: string | null } = {}) => ({
  ...bodyOf(draftOf(menu, false), ''),
  ...change,
});

/** Where on the form a refusal belongs: a field of a line, or of the menu. */
export function placeOf(
  problem: Problem,
  draft: DraftMenu,
): { readonly key: number | null; readonly field: string } {
  const [first = '', index = '', field = ''] = problem.pointer
    .replace(/^\/body/, '')
    .split('/')
    .slice(1);
  const sent = draft.lines.filter((line) => !line.off);
  return first === 'lines'
    ? { key: sent[Number(index)]?.key ?? null, field }
    : { key: null, field: first };
}
