import { describe, expect, it } from 'vitest';

import { lineItem, lineQuantityBase, need } from '../../../seed/generator/demo-index.ts';
import { boughtFor, current, data, index } from './balance.ts';

/** What one plate uses of every component, by-product and ingredient, straight down the recipes. */
function usedBy(dish: string): Map<string, number> {
  const used = new Map<string, number>();
  const walk = (key: string, quantity: number): void => {
    const version = current(key);
    for (const line of version.lines) {
      const item = lineItem(line);
      const amount = (lineQuantityBase(index, line) * quantity) / version.output.value;
      used.set(item.key, (used.get(item.key) ?? 0) + amount);
      if (item.kind === 'component') walk(item.key, amount);
    }
  };
  walk(dish, 1);
  return used;
}

const dishes = data.recipes.filter((recipe) => recipe.kind === 'dish').map((recipe) => recipe.key);

describe('by-products', () => {
  it('there are several, and at least five recipes take one', () => {
    expect(index.byProducts.size).toBeGreaterThanOrEqual(5);
    const takers = data.recipes.filter((recipe) =>
      recipe.versions.some((v) => v.lines.some((line) => lineItem(line).kind === 'byProduct')),
    );
    expect(takers.length).toBeGreaterThanOrEqual(5);
  });

  it('that may not start a batch are left over by the plates that need them', () => {
    const taken = new Set<string>();
    for (const dish of dishes) {
      const used = usedBy(dish);
      for (const [key, { byProduct, recipe }] of index.byProducts) {
        const needed = used.get(key) ?? 0;
        if (needed === 0) continue;
        taken.add(key);
        if (byProduct.mayStartBatch) continue;
        const batches = (used.get(recipe.key) ?? 0) / current(recipe.key).output.value;
        expect(batches * byProduct.value, `${key} for ${dish}`).toBeGreaterThanOrEqual(needed);
      }
    }
    expect([...taken].sort()).toEqual([...index.byProducts.keys()].sort());
  });
});

describe('parts of a piece', () => {
  const parts = data.ingredients.filter((item) => item.partOf !== undefined);

  it('several pieces are taken apart, peel before flesh', () => {
    expect(new Set(parts.map((part) => part.partOf?.piece)).size).toBeGreaterThanOrEqual(4);
    for (const part of parts) {
      expect(part.partOf?.order, part.key).toBe(part.partOf?.group === 'peel' ? 1 : 2);
    }
  });

  it('give less than the whole piece weighs', () => {
    for (const piece of new Set(parts.map((part) => part.partOf?.piece ?? ''))) {
      const massG = need(index.ingredients, piece, 'piece').pieceMass?.massG ?? 0;
      const most = (group: string): number =>
        Math.max(
          0,
          ...parts
            .filter((part) => part.partOf?.piece === piece && part.partOf.group === group)
            .map((part) => part.partOf?.yieldPerPiece ?? 0),
        );
      expect(most('peel') + most('flesh'), piece).toBeLessThan(massG);
    }
  });

  it('follow the published yields: 48 g juice from a lemon, 44 from a lime, 86 from an orange', () => {
    // USDA SR28, records 09152, 09160 and 09206.
    const yieldOf = (key: string): number | undefined =>
      index.ingredients.get(key)?.partOf?.yieldPerPiece;
    expect([yieldOf('lemon-juice'), yieldOf('lime-juice'), yieldOf('orange-juice')]).toEqual([
      48, 44, 86,
    ]);
  });

  it('zest drives the lemons of the lemon tart, flesh the blood oranges of the polenta cake', () => {
    const tart = usedBy('lemon-meringue-tart');
    expect((tart.get('lemon-zest') ?? 0) / 5).toBeGreaterThan((tart.get('lemon-juice') ?? 0) / 48);
    expect(boughtFor('lemon-meringue-tart', 1).get('lemons')).toBeCloseTo(
      (tart.get('lemon-zest') ?? 0) / 5,
      9,
    );
    const cake = usedBy('blood-orange-plate');
    const flesh =
      (cake.get('blood-orange-juice') ?? 0) / 70 + (cake.get('blood-orange-segments') ?? 0) / 80;
    expect(flesh).toBeGreaterThan((cake.get('blood-orange-zest') ?? 0) / 7);
    expect(boughtFor('blood-orange-plate', 1).get('blood-oranges')).toBeCloseTo(flesh, 9);
  });
});
