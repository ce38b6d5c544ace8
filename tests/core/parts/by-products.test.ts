import { describe, expect, it } from 'vitest';
import { evaluate, ExplanationBuilder } from '../../../api/core/explanation/index.ts';
import { explainByProducts, netByProducts } from '../../../api/core/parts/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const ITEMS: readonly Item[] = [
  { id: 'quince', kind: 'component', name: 'Quince in syrup', baseUnit: 'g' },
  { id: 'liquor', kind: 'component', name: 'Quince liquor', baseUnit: 'g' },
  { id: 'yolk-cream', kind: 'component', name: 'Yolk cream', baseUnit: 'g' },
  { id: 'white', kind: 'ingredient', name: 'Egg white', baseUnit: 'g' },
  { id: 'sugar', kind: 'ingredient', name: 'Sugar', baseUnit: 'g' },
];
function graphWith(options: { mayStartBatch?: boolean; ownRecipe?: boolean }) {
  const recipes: RecipeDef[] = [
    {
      itemId: 'quince',
      versionId: 'q1',
      outputs: [
        { itemId: 'quince', quantity: 2000, main: true },
        {
          itemId: 'liquor',
          quantity: 1500,
          main: false,
          mayStartBatch: options.mayStartBatch ?? false,
        },
      ],
      lines: [{ id: 's', itemId: 'sugar', quantity: 600, yieldFraction: 1 }],
    },
    {
      itemId: 'yolk-cream',
      versionId: 'y1',
      outputs: [
        { itemId: 'yolk-cream', quantity: 1000, main: true },
        { itemId: 'white', quantity: 300, main: false },
      ],
      lines: [{ id: 's', itemId: 'sugar', quantity: 200, yieldFraction: 1 }],
    },
  ];
  if (options.ownRecipe === true) {
    recipes.push({
      itemId: 'liquor',
      versionId: 'l1',
      outputs: [{ itemId: 'liquor', quantity: 1000, main: true }],
      lines: [{ id: 's', itemId: 'sugar', quantity: 300, yieldFraction: 1 }],
    });
  }
  return unwrap(buildRecipeGraph(ITEMS, recipes));
}
const twoQuinceBatches = new Map([['quince', 2]]);

describe('by-products', () => {
  it('of batches planned anyway are supply before more is made', () => {
    const netting = unwrap(
      netByProducts(graphWith({}), {
        itemId: 'liquor',
        need: 2800,
        onHand: 200,
        plannedBatches: twoQuinceBatches,
      }),
    );
    expect(netting).toEqual({
      supplies: [{ mainItemId: 'quince', batches: 2, quantity: 3000 }],
      supply: 3200,
      shortfall: 0,
      left: 400,
      remedy: { kind: 'none-needed' },
    });
  });

  it('never start a batch unless the lead says they may', () => {
    const ask = { itemId: 'liquor', need: 3900, plannedBatches: twoQuinceBatches };
    expect(unwrap(netByProducts(graphWith({}), ask)).remedy).toEqual({
      kind: 'short',
      quantity: 900,
    });
    expect(unwrap(netByProducts(graphWith({ mayStartBatch: true }), ask)).remedy).toEqual({
      kind: 'start-batches',
      mainItemId: 'quince',
      batches: 0.6,
    });
  });

  it('with a recipe of their own are made by that, even where they may start a batch', () => {
    const graph = graphWith({ ownRecipe: true, mayStartBatch: false });
    const ask = { itemId: 'liquor', need: 3900, plannedBatches: twoQuinceBatches };
    expect(unwrap(netByProducts(graph, ask)).remedy).toEqual({ kind: 'make', quantity: 900 });
  });

  it('that are bought as well lower what is ordered', () => {
    const netting = unwrap(
      netByProducts(graphWith({}), {
        itemId: 'white',
        need: 1000,
        plannedBatches: new Map([['yolk-cream', 3]]),
      }),
    );
    expect(netting.remedy).toEqual({ kind: 'buy', quantity: 100 });
  });

  it('are refused for a stranger and for amounts below zero', () => {
    const graph = graphWith({});
    const none = new Map<string, number>();
    expect(netByProducts(graph, { itemId: 'soup', need: 1, plannedBatches: none })).toMatchObject({
      error: { kind: 'missing-component' },
    });
    expect(
      netByProducts(graph, { itemId: 'liquor', need: -1, plannedBatches: none }),
    ).toMatchObject({
      error: { kind: 'out-of-range', path: ['need'] },
    });
    const negative = new Map([['quince', -2]]);
    expect(
      netByProducts(graph, { itemId: 'liquor', need: 1, plannedBatches: negative }),
    ).toMatchObject({ error: { kind: 'out-of-range', path: ['quince'] } });
  });

  it('are explained by the same figures', () => {
    const graph = graphWith({});
    const builder = new ExplanationBuilder();
    const nodes = explainByProducts(
      graph,
      {
        itemId: 'liquor',
        needNodeId: builder.given({ label: 'need', value: 3900, unit: 'g' }),
        onHandNodeId: builder.given({ label: 'stock', value: 200, unit: 'g' }),
        batchNodeIds: new Map([
          ['quince', builder.given({ label: 'batches', value: 2, unit: 'batches' })],
        ]),
        idPrefix: 'liquor:',
      },
      builder,
    );
    const shown = builder.graph();
    expect(unwrap(evaluate(shown, nodes.supplyNodeId))).toBe(3200);
    expect(unwrap(evaluate(shown, nodes.shortfallNodeId))).toBe(700);
    expect(unwrap(evaluate(shown, nodes.leftNodeId))).toBe(0);
    const unknown = { itemId: 'soup', needNodeId: 'x', batchNodeIds: new Map(), idPrefix: 's:' };
    expect(() => explainByProducts(graph, unknown, builder)).toThrow('does not hold soup');
  });
});
