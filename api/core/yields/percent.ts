import { checkRange } from '../quantity/index.ts';
import { mapResult } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/**
 * A yield fraction from a percentage kept, above 0 and at most 100.
 * Error: `out-of-range`.
 */
export function fractionFromPercent(percent: number): Result<number> {
  return mapResult(
    checkRange(percent, 'A yield in per cent', 0, 100, { above: true }),
    (value) => value / 100,
  );
}

/**
 * A yield fraction from a refuse percentage (what is thrown away), at least 0 and below 100, as food
 * tables print it. Error: `out-of-range`.
 */
export function fractionFromRefuse(refusePercent: number): Result<number> {
  return mapResult(
    checkRange(100 - refusePercent, 'What is left after refuse, in per cent,', 0, 100, {
      above: true,
    }),
    (kept) => kept / 100,
  );
}
