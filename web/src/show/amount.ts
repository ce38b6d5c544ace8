import { locale, words } from '../texts/index.svelte.ts';

// Amounts for reading. The API gives grams, millilitres and pieces; kilograms and litres are for
// the eye only. No figure is worked out here.

export interface Shown {
  readonly number: string;
  readonly unit: string;
}

interface AmountLike {
  readonly value: number;
  readonly unit: string;
}

const BIG = 1000;
const UNITS: Readonly<Record<string, { small: string; big: string; toSmall: number }>> = {
  g: { small: 'g', big: 'kg', toSmall: 1 },
  kg: { small: 'g', big: 'kg', toSmall: BIG },
  mL: { small: 'ml', big: 'l', toSmall: 1 },
  ml: { small: 'ml', big: 'l', toSmall: 1 },
  L: { small: 'ml', big: 'l', toSmall: BIG },
};

/** A plain number in the person's own way of writing. */
export function number(value: number, digits: number): string {
  return new Intl.NumberFormat(locale(), {
    maximumFractionDigits: digits,
    signDisplay: 'negative',
  }).format(value);
}

/** A share as a percentage, as the language writes it. */
export const percent = (share: number, digits = 0): string =>
  new Intl.NumberFormat(locale(), { style: 'percent', maximumFractionDigits: digits }).format(
    share,
  );

/** A share that says which way: +12 %, −3 %. */
export const signedShare = (share: number): string =>
  new Intl.NumberFormat(locale(), {
    style: 'percent',
    maximumFractionDigits: 1,
    signDisplay: 'exceptZero',
  }).format(share);

function show({ value, unit }: AmountLike, bigDigits: number, smallDigits: number): Shown {
  const known = UNITS[unit];
  if (!known) return { number: number(value, smallDigits), unit: '' };
  const small = value * known.toSmall;
  return small >= BIG
    ? { number: number(small / BIG, bigDigits), unit: known.big }
    : {
        number: number(small, small < 10 ? Math.max(1, smallDigits) : smallDigits),
        unit: known.small,
      };
}

/** An amount to make or use: 1.64 kg, 870 g, 30 pieces. */
export function amount(value: AmountLike): string {
  const shown = show(value, 2, 0);
  if (shown.unit !== '') return `${shown.number}\u00a0${shown.unit}`;
  return words.t.pieces(number(value.value, 1), value.value);
}

/** An amount for the scale, to the gram: 1.547 kg, 300 g; pieces as a bare number. */
export function weight(quantity: number, baseUnit: string): Shown {
  return show({ value: quantity, unit: baseUnit }, 3, 2);
}

/** The same rounding as `amount`: two decimals of kilograms, whole grams, one decimal below ten. */
function inUnit({ value, unit }: AmountLike, shownUnit: string): number {
  const small = value * (UNITS[unit]?.toSmall ?? 1);
  if (shownUnit === 'kg' || shownUnit === 'l') return Number((small / BIG).toFixed(2));
  return Number(small.toFixed(shownUnit === '' || small < 10 ? 1 : 0));
}

/** The unit and number a person is asked in: as the amount is shown, so that nothing jumps. */
export function asked(value: AmountLike): { text: string; unit: string; unitWord: string } {
  const shown = show(value, 2, 0);
  const plain = new Intl.NumberFormat(locale(), { maximumFractionDigits: 2, useGrouping: false });
  const ucum: Readonly<Record<string, string>> = {
    g: 'g',
    kg: 'kg',
    ml: 'mL',
    l: 'L',
    '': '{each}',
  };
  return {
    text: plain.format(inUnit(value, shown.unit)),
    unit: ucum[shown.unit] ?? value.unit,
    unitWord: shown.unit === '' ? words.t.piecesWord : shown.unit,
  };
}

/** The amount as it is shown and asked, ready to send. */
export function goodAmount(value: AmountLike): { value: number; unit: string } {
  const question = asked(value);
  return { value: readNumber(question.text) ?? value.value, unit: question.unit };
}

/** Reads a number typed with point or comma. @returns null when it is none */
export function readNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  return /^\d+(\.\d+)?$/.test(plain) ? Number(plain) : null;
}

/** How often a batch is made: 1, 1.5, 3. */
export function batches(count: number): string {
  return words.t.batches(number(count, 2), count);
}
