import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemsUsed, recordedWaste } from '../../../api/core/cost/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

// One dish of 100 g compote; 1 kg compote from 1 kg plums as weighed, of which 0.8 is kept.
const graph = unwrap(
  buildRecipeGraph(
    [
      { id: 'dish', kind: 'dish', name: 'Plate', baseUnit: 'each' },
      { id: 'compote', kind: 'component', name: 'Compote', baseUnit: 'g' },
      { id: 'plum', kind: 'ingredient', name: 'Plum', baseUnit: 'g' },
    ],
    [
      {
        itemId: 'dish',
        versionId: 'v1',
        outputs: [{ itemId: 'dish', quantity: 1, main: true }],
        lines: [{ id: 'a', itemId: 'compote', quantity: 100, yieldFraction: 1 }],
      },
      {
        itemId: 'compote',
        versionId: 'v2',
        outputs: [{ itemId: 'compote', quantity: 1000, main: true }],
        lines: [{ id: 'b', itemId: 'plum', quantity: 1000, yieldFraction: 0.8 }],
      },
    ],
  ),
);

describe('recorded waste', () => {
  it('counts what plates took down to what was bought, yields put back', () => {
    const used = itemsUsed(graph, new Map([['dish', 10]]));
    expect(used.get('compote')).toBe(1000);
    expect(used.get('plum')).toBe(1250);
  });

  it('is a part below one that grows with what is thrown away; nothing sold says nothing', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1000 }),
        fc.double({ min: 0, max: 1e6, noNaN: true }),
        fc.double({ min: 0.001, max: 1e6, noNaN: true }),
        (portions, thrown, more) => {
          const sold = new Map([['dish', portions]]);
          const of = (g: number) =>
            recordedWaste(graph, sold, new Map([['compote', g]])).get('compote');
          const [less, greater] = [of(thrown), of(thrown + more)];
          expect(less?.fraction).toBeGreaterThanOrEqual(0);
          expect(greater?.fraction).toBeLessThan(1);
          expect(greater?.fraction ?? 0).toBeGreaterThanOrEqual(less?.fraction ?? 1);
          // What was made for the plates, less what is thrown away of it, is what they took.
          const made = (less?.used ?? 0) / (1 - (less?.fraction ?? 0));
          expect(made * (1 - (less?.fraction ?? 0))).toBeCloseTo(portions * 100, 3);
          expect(made - (less?.used ?? 0)).toBeCloseTo(thrown, 3);
        },
      ),
    );
    expect(recordedWaste(graph, new Map(), new Map([['compote', 50]])).size).toBe(0);
    expect(recordedWaste(graph, new Map([['dish', 1]]), new Map()).has('dish')).toBe(false);
  });
});
