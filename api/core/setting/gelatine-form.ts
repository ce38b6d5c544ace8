import { MAX_BASE_AMOUNT, checkRange, plainNumber } from '../quantity/index.ts';
import { allResults, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { checkBloom, equivalentMassG } from './bloom.ts';
import type { BloomRule } from './bloom.ts';

/** Gelatine as it is bought: powder, or sheets of a stated weight; both of a stated Bloom value. */
export type GelatineForm =
  | { readonly kind: 'powder'; readonly bloom: number }
  | {
      readonly kind: 'sheet';
      /** The maker's word for the grade, such as silver. */
      readonly grade: string;
      readonly bloom: number;
      readonly sheetMassG: number;
    };

/** A grade of sheet gelatine as listed. */
export interface SheetGrade {
  readonly grade: string;
  readonly bloomMin: number;
  readonly bloomMax: number;
  readonly sheetMassG: number;
}

/**
 * Usual sheet grades (M. Lersch (ed.), Texture: a hydrocolloid recipe collection, as quoted
 * second-hand; no standard body, makers vary). A starting point for the form, never a default.
 */
export const SHEET_GRADES: readonly SheetGrade[] = [
  { grade: 'bronze', bloomMin: 125, bloomMax: 155, sheetMassG: 3.3 },
  { grade: 'silver', bloomMin: 160, bloomMax: 160, sheetMassG: 2.5 },
  { grade: 'gold', bloomMin: 190, bloomMax: 220, sheetMassG: 2 },
  { grade: 'platinum', bloomMin: 235, bloomMax: 265, sheetMassG: 1.7 },
];

/** An amount of gelatine: its mass in g and its Bloom value. */
export interface GelatineAmount {
  readonly massG: number;
  readonly bloom: number;
}

/** An amount of gelatine in another form. */
export interface ConvertedGelatine {
  readonly form: GelatineForm;
  /** Unrounded mass in g of this form. */
  readonly massG: number;
  /** For sheets: the exact number, the number to use (halves), and firmness against what was asked (1 = the same). */
  readonly sheets?: {
    readonly exact: number;
    readonly rounded: number;
    readonly firmnessRatio: number;
  };
  /** What the card says, such as '5½ sheets of silver (160 Bloom, 2.5 g each)'. */
  readonly text: string;
}

/** Sheets are cut in half but no finer. Common practice, no source. */
export const SHEET_STEP = 0.5;

/**
 * The amount held in a number of sheets or grams of a form.
 * @param count sheets for a sheet form, grams for powder
 * Errors: `out-of-range`, also for a sheet with no weight.
 */
export function gelatineAmount(count: number, form: GelatineForm): Result<GelatineAmount> {
  const checked = checkForm(form);
  if (!checked.ok) return checked;
  const range = checkRange(count, 'An amount of gelatine', 0, MAX_BASE_AMOUNT);
  if (!range.ok) return range;
  const massG = form.kind === 'sheet' ? count * form.sheetMassG : count;
  return ok({ massG, bloom: form.bloom });
}

/**
 * An amount of gelatine as another form of equal firmness. Sheets are rounded to the nearest half
 * (never to none), and the firmness that rounding gives is stated: it goes as (c·√B)².
 * Errors: `out-of-range`.
 */
export function convertGelatine(
  amount: GelatineAmount,
  form: GelatineForm,
  rule: BloomRule = 'square-root',
): Result<ConvertedGelatine> {
  const checked = checkForm(form);
  if (!checked.ok) return checked;
  const mass = equivalentMassG(amount.massG, amount.bloom, form.bloom, rule);
  if (!mass.ok) return mass;
  const massG = mass.value;
  if (form.kind === 'powder') {
    return ok({ form, massG, text: `${gramsOnCard(massG)} g powder (${form.bloom} Bloom)` });
  }
  const exact = massG / form.sheetMassG;
  const nearest = Math.round(exact / SHEET_STEP) * SHEET_STEP;
  const rounded = exact > 0 ? Math.max(SHEET_STEP, nearest) : 0;
  const firmnessRatio = exact > 0 ? (rounded / exact) ** 2 : 1;
  const noun = rounded > 1 ? 'sheets' : 'sheet';
  return ok({
    form,
    massG,
    sheets: { exact, rounded, firmnessRatio },
    text: `${halves(rounded)} ${noun} of ${form.grade} (${form.bloom} Bloom, ${plainNumber(form.sheetMassG)} g each)`,
  });
}

/**
 * What the card says: the amount in each form the kitchen keeps, ready to print as 'use N sheets of
 * grade X or M g powder'. Errors: `out-of-range`.
 */
export function settingCard(
  amount: GelatineAmount,
  forms: readonly GelatineForm[],
  rule: BloomRule = 'square-root',
): Result<{ readonly options: readonly ConvertedGelatine[]; readonly text: string }> {
  const options = allResults(forms.map((form) => convertGelatine(amount, form, rule)));
  if (!options.ok) return options;
  const text =
    options.value.length === 0
      ? `use ${gramsOnCard(amount.massG)} g gelatine of ${amount.bloom} Bloom`
      : `use ${options.value.map((option) => option.text).join(' or ')}`;
  return ok({ options: options.value, text });
}

function checkForm(form: GelatineForm): Result<unknown> {
  const bloom = checkBloom(form.bloom);
  if (!bloom.ok || form.kind === 'powder') return bloom;
  return checkRange(form.sheetMassG, `The weight in g of one ${form.grade} sheet`, 0, 50, {
    above: true,
  });
}

/** Gelatine is weighed to a tenth of a gram. */
function gramsOnCard(massG: number): string {
  return plainNumber(Number(massG.toFixed(1)));
}

function halves(count: number): string {
  const whole = Math.floor(count);
  if (whole === count) return String(whole);
  return `${whole === 0 ? '' : whole}½`;
}
