import { describe, expect, it } from 'vitest';
import { itemCost } from '../../api/core/cost/index.ts';
import { explode } from '../../api/core/explosion/index.ts';
import { buildRecipeGraph } from '../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/** A dish that takes one ingredient with one yield. */
function oneLine(quantity: number, yieldFraction: number) {
  return unwrap(
    buildRecipeGraph(
      [
        { id: 'made', kind: 'component', name: 'Prepared', baseUnit: 'g' },
        { id: 'bought', kind: 'ingredient', name: 'As bought', baseUnit: 'g' },
      ],
      [
        {
          itemId: 'made',
          versionId: 'v',
          outputs: [{ itemId: 'made', quantity, main: true }],
          lines: [{ id: 'l', itemId: 'bought', quantity, yieldFraction }],
        },
      ],
    ),
  );
}

/*
 * Source: open textbook "Bakery and Business Math", chapter 25, Yield Percents (Open Washington
 * Pressbooks): 32 oz of sliced pears at 78 % ask for 41.03 oz bought; 5000 g of strawberries at
 * 87 % leave 4350 g.
 */
describe('as-purchased amounts of the textbook', () => {
  it('32 oz of sliced pears at 78 % ask for 41.03 oz', () => {
    const need = unwrap(explode(oneLine(32, 0.78), [{ itemId: 'made', quantity: 32 }]));
    expect(need.get('bought')).toBeCloseTo(41.03, 2);
  });

  it('4350 g of strawberries at 87 % ask for 5000 g', () => {
    const need = unwrap(explode(oneLine(4350, 0.87), [{ itemId: 'made', quantity: 4350 }]));
    expect(need.get('bought')).toBeCloseTo(5000, 9);
  });
});

/*
 * Source: MTH 81 lecture notes, chapter 11, holt.blue, bonus example 2: 3 oz of seeded, diced peppers,
 * 1.67 a pound, yield 71 %. The notes leave the answer to the reader; 3 ÷ 0.71 ÷ 16 × 1.67 = 0.44102…
 */
describe('an ingredient cost of the lecture notes', () => {
  it('3 oz prepared at 1.67 a pound and 71 % cost 0.44', () => {
    const book = {
      packs: [
        {
          packId: 'pound',
          itemId: 'bought',
          quantityBase: 16,
          currency: 'USD',
          prices: [{ validFrom: '2026-01-01', amount: '1.67' }],
        },
      ],
    };
    const ask = { itemId: 'made', quantity: 3, date: '2026-03-14', currency: 'USD' };
    const costing = unwrap(itemCost(oneLine(3, 0.71), book, ask));
    expect(Number(costing.cost?.amount)).toBeCloseTo((3 / 0.71 / 16) * 1.67, 12);
    expect(Number(costing.cost?.amount).toFixed(2)).toBe('0.44');
  });
});
