import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** Lengths of GS1 keys that end in a check digit: GTIN-8, -12, -13, -14; GLN is 13, SSCC 18. */
const GTIN_LENGTHS: readonly number[] = [8, 12, 13, 14];
const GLN_LENGTH = 13;
const SSCC_LENGTH = 18;

/**
 * The GS1 check digit for the digits before it: weights 3 and 1 in turn, starting with 3 at the
 * digit next to the check digit, and the distance of the sum to the next multiple of ten.
 *
 * @param body digits without the check digit, at least one
 * @returns 0 to 9; error `invalid-code` for anything but digits
 * Source: GS1, "How to calculate a check digit manually" (GS1 General Specifications, section 7.9)
 */
export function gs1CheckDigit(body: string): Result<number> {
  if (!/^\d+$/.test(body)) {
    return err(
      coreError('invalid-code', `"${body}" is not a row of digits.`, { detail: { body } }),
    );
  }
  let sum = 0;
  for (const [fromRight, digit] of [...body].reverse().entries()) {
    sum += Number(digit) * (fromRight % 2 === 0 ? 3 : 1);
  }
  return ok((10 - (sum % 10)) % 10);
}

function checkKey(text: string, lengths: readonly number[], name: string): Result<string> {
  const refuse = (message: string): Result<never> =>
    err(coreError('invalid-code', message, { detail: { code: text, expected: name } }));
  if (!/^\d+$/.test(text)) return refuse(`${name}: "${text}" is not a row of digits.`);
  if (!lengths.includes(text.length)) {
    return refuse(`A ${name} has ${lengths.join(', ')} digits, not ${text.length}.`);
  }
  const digit = gs1CheckDigit(text.slice(0, -1));
  if (!digit.ok) return digit;
  if (digit.value !== Number(text.at(-1))) {
    return refuse(`${name} ${text}: the last digit should be ${digit.value}. Check for a slip.`);
  }
  return ok(text);
}

/** Checks a GTIN of 8, 12, 13 or 14 digits. Error `invalid-code` for form, length or check digit. */
export function checkGtin(text: string): Result<string> {
  return checkKey(text, GTIN_LENGTHS, 'GTIN');
}

/** Checks a global location number, 13 digits. Error `invalid-code`. */
export function checkGln(text: string): Result<string> {
  return checkKey(text, [GLN_LENGTH], 'GLN');
}

/** Checks a serial shipping container code, 18 digits. Error `invalid-code`. */
export function checkSscc(text: string): Result<string> {
  return checkKey(text, [SSCC_LENGTH], 'SSCC');
}

/**
 * A GTIN in 14 digits, filled with zeros on the left; the check digit stays the same. GTINs of one
 * article written in different lengths are equal in this form.
 *
 * @returns error `invalid-code` for a GTIN that is none
 */
export function toGtin14(text: string): Result<string> {
  const checked = checkGtin(text);
  return checked.ok ? ok(checked.value.padStart(14, '0')) : checked;
}

/**
 * The GTIN-14 of a case from the GTIN of what it holds: indicator 1 to 8 (9 is for variable measure)
 * before the twelve digits after the first of its 14-digit form, with a new check digit.
 *
 * @returns error `invalid-code` for the GTIN, `out-of-range` for the indicator
 */
export function gtinOfCase(gtin: string, indicator: number): Result<string> {
  const whole = toGtin14(gtin);
  if (!whole.ok) return whole;
  if (!Number.isInteger(indicator) || indicator < 1 || indicator > 9) {
    return err(coreError('out-of-range', 'A case indicator is 1 to 9.', { detail: { indicator } }));
  }
  const body = `${indicator}${whole.value.slice(1, 13)}`;
  const digit = gs1CheckDigit(body);
  return digit.ok ? ok(`${body}${digit.value}`) : digit;
}
