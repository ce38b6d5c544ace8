import { describe, expect, it } from 'vitest';

import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { lineItem, lineQuantityBase, versionInForce } from '../../../seed/generator/demo-index.ts';
import { data, index } from './balance.ts';

/** The demo's items, and its recipe versions in force some days before today, as the core takes them. */
function graphInput(daysAgo: number): { items: Item[]; recipes: RecipeDef[] } {
  const items: Item[] = [
    ...data.ingredients.map(({ key, name, baseUnit }) => ({
      id: key,
      kind: 'ingredient' as const,
      name,
      baseUnit,
    })),
    ...[...index.byProducts.values()].map(({ byProduct }) => ({
      id: byProduct.key,
      kind: 'component' as const,
      name: byProduct.name,
      baseUnit: byProduct.unit,
    })),
    ...data.recipes.map((recipe) => ({
      id: recipe.key,
      kind: recipe.kind,
      name: recipe.name,
      baseUnit: versionInForce(recipe, daysAgo).output.unit,
    })),
  ];
  const recipes = data.recipes.map((recipe): RecipeDef => {
    const version = versionInForce(recipe, daysAgo);
    return {
      itemId: recipe.key,
      versionId: `${recipe.key} v${version.number}`,
      outputs: [
        { itemId: recipe.key, quantity: version.output.value, main: true },
        ...version.byProducts.map((made) => ({
          itemId: made.key,
          quantity: made.value,
          main: false,
          mayStartBatch: made.mayStartBatch,
        })),
      ],
      lines: version.lines.map((line, i) => ({
        id: `${recipe.key} ${i}`,
        itemId: lineItem(line).key,
        quantity: lineQuantityBase(index, line),
        yieldFraction:
          line.trimYield ?? index.ingredients.get(lineItem(line).key)?.trimYield?.fraction ?? 1,
        perBatch: line.perBatch ?? false,
      })),
      batchLimits: {
        stepBatches: version.batch.multiple,
        minimumBatches: version.batch.min,
        maximumBatches: version.batch.max,
      },
    };
  });
  return { items, recipes };
}

describe('the core takes the demo recipes', () => {
  it.each([181, 60, 0, -28])(
    'as they stand %d days before today: nothing missing, no circle',
    (days) => {
      const { items, recipes } = graphInput(days);
      const graph = unwrap(buildRecipeGraph(items, recipes));
      expect(graph.recipes.size).toBe(data.recipes.length);
      expect(graph.order).toHaveLength(items.length);
      const dishes = data.recipes.filter((recipe) => recipe.kind === 'dish');
      for (const dish of dishes) expect(graph.lowLevelCodes.get(dish.key), dish.key).toBe(0);
      expect(graph.byProductSources.size).toBe(index.byProducts.size);
    },
  );

  it('a date before a change is driven by the earlier version', () => {
    const versions = (days: number): string[] => graphInput(days).recipes.map((r) => r.versionId);
    expect(versions(100)).toContain('lemon-curd v1');
    expect(versions(0)).toContain('lemon-curd v2');
    expect(versions(0)).toContain('toffee-sauce v1');
    expect(versions(-9)).toContain('toffee-sauce v2');
  });
});
