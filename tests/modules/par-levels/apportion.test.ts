import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { apportion } from '../../../api/modules/par-levels/plan-pars.ts';

describe('a whole number split over services', () => {
  it('adds up again, and no part is a whole portion away from its due', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 5000 }),
        fc.array(fc.double({ min: 0.001, max: 500, noNaN: true }), { minLength: 1, maxLength: 30 }),
        (quantity, weights) => {
          const parts = apportion(quantity, weights);
          const total = weights.reduce((a, w) => a + w, 0);
          expect(parts.reduce((a, n) => a + n, 0)).toBe(quantity);
          parts.forEach((part, i) => {
            const due = (quantity * (weights[i] ?? 0)) / total;
            expect(Math.abs(part - due)).toBeLessThan(1 + 1e-9);
          });
        },
      ),
    );
  });

  it('is split evenly where nobody is expected', () => {
    expect(apportion(5, [0, 0])).toEqual([3, 2]);
    expect(apportion(0, [0, 0])).toEqual([0, 0]);
  });
});
