import { coreError, err, ok, type Result } from '../../core/shared/index.ts';

const LENGTHS = new Set([8, 12, 13, 14]);

/**
 * Checks a Global Trade Item Number of 8, 12, 13 or 14 digits by its last digit: the others,
 * weighted 3 and 1 in turn from the right, and the check digit add up to a multiple of ten.
 * Source: GS1 General Specifications, check digit calculation (modulo 10).
 * Error: `invalid-code`.
 */
export function checkGtin(gtin: string): Result<string> {
  if (!/^\d+$/.test(gtin) || !LENGTHS.has(gtin.length)) {
    return err(
      coreError('invalid-code', 'A GTIN has 8, 12, 13 or 14 digits.', { detail: { gtin } }),
    );
  }
  const sum = [...gtin]
    .reverse()
    .reduce((total, digit, place) => total + Number(digit) * (place % 2 === 0 ? 1 : 3), 0);
  return sum % 10 === 0
    ? ok(gtin)
    : err(
        coreError('invalid-code', 'The last digit of this GTIN does not fit the others.', {
          detail: { gtin },
        }),
      );
}
