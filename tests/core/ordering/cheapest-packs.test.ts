import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cheapestPacks, unitPriceFor, type PackChoice } from '../../../api/core/ordering/index.ts';

const pack = (id: string, quantityBase: number, amount: string): PackChoice => ({
  id,
  quantityBase,
  minPacks: 1,
  prices: [{ minPacks: 1, amount }],
});

/** Tries every number of every pack up to `most`. */
function everyCount(need: number, choices: readonly PackChoice[], most: number): Decimal | null {
  let best: Decimal | null = null;
  const go = (i: number, held: number, cost: Decimal): void => {
    const choice = choices[i];
    if (choice === undefined) {
      if (held >= need && (best === null || cost.lt(best))) best = cost;
      return;
    }
    go(i + 1, held, cost);
    for (let n = choice.minPacks; n <= most; n += 1) {
      const price = unitPriceFor(choice, n);
      if (price === null) continue;
      go(i + 1, held + n * choice.quantityBase, cost.plus(new Decimal(price).times(n)));
    }
  };
  go(0, 0, new Decimal(0));
  return best;
}

describe('the cheapest packs', () => {
  it('for 61 of packs 12 at 7, 25 at 13 and 4 at 2.60 cost 33: one of 12, two of 25', () => {
    // Own example; HiGHS and GLPK agree on it (planning reference, computed).
    const chosen = cheapestPacks(61, [
      pack('12', 12, '7'),
      pack('25', 25, '13'),
      pack('4', 4, '2.6'),
    ]);
    expect(chosen?.cost).toBe('33');
    expect(chosen?.packs.map((p) => [p.id, p.packs])).toEqual([
      ['25', 2],
      ['12', 1],
    ]);
  });

  it('buy up to a price break where that is cheaper', () => {
    const broken = {
      ...pack('kg', 1, '10'),
      prices: [
        { minPacks: 1, amount: '10' },
        { minPacks: 5, amount: '6' },
      ],
    };
    expect(cheapestPacks(4, [broken])).toMatchObject({ cost: '30', quantityBase: 5 });
  });

  it('are none for nothing, and unknown where no price is', () => {
    expect(cheapestPacks(0, [pack('a', 1, '1')])?.packs).toEqual([]);
    expect(cheapestPacks(3, [{ ...pack('a', 1, '1'), prices: [] }])).toBeNull();
  });

  it('equal a search over every count, with breaks and minimum numbers', () => {
    const anyPack = fc.record({
      quantityBase: fc.integer({ min: 1, max: 6 }),
      minPacks: fc.integer({ min: 1, max: 3 }),
      price: fc.integer({ min: 1, max: 40 }),
      breakAt: fc.integer({ min: 2, max: 6 }),
      off: fc.integer({ min: 0, max: 20 }),
    });
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.array(anyPack, { minLength: 1, maxLength: 3 }),
        (need, list) => {
          const choices = list.map(
            ({ quantityBase, minPacks, price, breakAt, off }, i): PackChoice => ({
              id: `p${i}`,
              quantityBase,
              minPacks,
              prices: [
                { minPacks: 1, amount: String(price) },
                { minPacks: breakAt, amount: String(Math.max(0, price - off)) },
              ],
            }),
          );
          const chosen = cheapestPacks(need, choices);
          expect(chosen?.cost).toBe(everyCount(need, choices, 14)?.toFixed());
          expect(chosen?.quantityBase).toBeGreaterThanOrEqual(need);
        },
      ),
      { numRuns: 200 },
    );
  });
});
