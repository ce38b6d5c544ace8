import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { needsInWholePieces, wholePieces } from '../../../api/core/ordering/index.ts';
import { day, need } from './problem-builder.ts';

const counted = (id: string): boolean => id === 'eggs';
const sum = (values: readonly number[]): number => values.reduce((total, one) => total + one, 0);

describe('what is counted in pieces', () => {
  it('goes in whole pieces, rounded up over the days and not on each of them', () => {
    const needs = [need('eggs', 2, 5.2), need('eggs', 3, 5.2), need('eggs', 4, 5.3)];
    expect(needsInWholePieces(needs, counted).map((one) => one.quantityBase)).toEqual([6, 5, 5]);
    expect(wholePieces(15.7)).toBe(16);
    expect(wholePieces(0.1 + 0.2 + 15.7)).toBe(16);
  });

  it('leaves what is weighed as it is, and takes each site for itself', () => {
    const needs = [
      need('cream', 2, 15.7),
      need('eggs', 2, 1.5),
      need('eggs', 2, 1.5, { siteId: 'hill' }),
    ];
    expect(needsInWholePieces(needs, counted).map((one) => one.quantityBase)).toEqual([15.7, 2, 2]);
  });

  it('is enough by each date and never a whole piece too much', () => {
    const some = fc.record({
      onDay: fc.integer({ min: 1, max: 28 }),
      quantity: fc.double({ min: 0.01, max: 200, noNaN: true }),
      booked: fc.double({ min: 0, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(some, { minLength: 1, maxLength: 12 }), (given) => {
        const needs = given.map(({ onDay, quantity, booked }) =>
          need('eggs', onDay, quantity, { certainBase: quantity * booked }),
        );
        const whole = needsInWholePieces(needs, counted);
        for (const one of whole) {
          expect(Number.isInteger(one.quantityBase)).toBe(true);
          expect(one.quantityBase).toBeGreaterThan(0);
          expect(one.certainBase).toBeLessThanOrEqual(one.quantityBase);
        }
        for (let date = 1; date <= 28; date += 1) {
          const until = (list: typeof needs) =>
            sum(list.filter((one) => one.needDate <= day(date)).map((one) => one.quantityBase));
          expect(until(whole)).toBeGreaterThanOrEqual(until(needs) - 0.01);
          expect(until(whole)).toBeLessThan(until(needs) + 1);
        }
        const booked = (list: typeof needs) => sum(list.map((one) => one.certainBase));
        expect(booked(whole)).toBeLessThanOrEqual(booked(needs) + 0.01);
        expect(booked(whole)).toBeGreaterThan(booked(needs) - 1);
      }),
      { seed: 31, numRuns: 200 },
    );
  });
});
