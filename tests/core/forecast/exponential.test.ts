import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exponential } from '../../../api/core/forecast/exponential.ts';

describe('the exponential of a log level', () => {
  it('is within 1e-15 of what Math.exp says, inside its table and beyond it', () => {
    fc.assert(
      fc.property(fc.double({ min: -30, max: 30, noNaN: true }), (x) => {
        expect(Math.abs(exponential(x) / Math.exp(x) - 1)).toBeLessThan(1e-15);
      }),
      { numRuns: 5000 },
    );
  });

  it.each([-4, 12, 0, 1 / 128, -1 / 128, 11.9999999999999, -3.9999999999999])(
    'holds at the edge %d of its table or of a step',
    (x) => {
      expect(Math.abs(exponential(x) / Math.exp(x) - 1)).toBeLessThan(1e-15);
    },
  );

  it('gives what no table holds as Math.exp does', () => {
    expect(exponential(Number.NaN)).toBeNaN();
    expect(exponential(Infinity)).toBe(Infinity);
    expect(exponential(-Infinity)).toBe(0);
    expect(exponential(1e9)).toBe(Infinity);
  });
});
