import { describe, expect, it } from 'vitest';
import type { AllergenDeclaration } from '../../../api/core/allergens/index.ts';
import { allergenStatement } from '../../../api/core/allergens/index.ts';
import type { LabelSegment } from '../../../api/core/nutrition/index.ts';
import { emphasise, ingredientList, quantityDeclared } from '../../../api/core/nutrition/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const names: Readonly<Record<string, string>> = {
  tart: 'Lemon tart',
  curd: 'Lemon curd',
  case: 'Sweet case',
  butter: 'Butter',
  flour: 'Wheat flour',
  sugar: 'Sugar',
  juice: 'Lemon juice',
  egg: 'Whole egg',
  water: 'Water',
};
const item = (id: string): Item => ({
  id,
  kind: id === 'tart' ? 'dish' : id === 'curd' || id === 'case' ? 'component' : 'ingredient',
  name: names[id] ?? id,
  baseUnit: id === 'tart' || id === 'egg' ? 'each' : id === 'juice' ? 'ml' : 'g',
});
const recipe = (
  itemId: string,
  quantity: number,
  lines: Readonly<Record<string, number>>,
): RecipeDef => ({
  itemId,
  versionId: itemId,
  outputs: [{ itemId, quantity, main: true }],
  lines: Object.entries(lines).map(([id, q]) => ({
    id,
    itemId: id,
    quantity: q,
    yieldFraction: 1,
  })),
});
const graphWith = (caseOutputG: number) =>
  unwrap(
    buildRecipeGraph(Object.keys(names).map(item), [
      recipe('tart', 1, { case: 40, curd: 60 }),
      recipe('curd', 1000, { sugar: 300, butter: 300, egg: 4, juice: 200 }),
      recipe('case', caseOutputG, { flour: 500, butter: 300, sugar: 100, water: 100 }),
    ]),
  );
const masses = new Map([
  ['egg', 50],
  ['juice', 1.03],
]);
const options = {
  massPerBaseUnit: (id: string) => masses.get(id),
  waterItemIds: new Set(['water']),
};
const DECLARED: ReadonlyMap<string, AllergenDeclaration> = new Map([
  ['butter', { contains: ['milk'], mayContain: ['nuts'] }],
  ['flour', { contains: ['gluten:wheat'], mayContain: [] }],
  ['egg', { contains: ['eggs'], mayContain: [] }],
  ['sugar', { contains: [], mayContain: [] }],
  ['juice', { contains: [], mayContain: [] }],
  ['water', { contains: [], mayContain: [] }],
]);
const list = (caseOutputG: number, declared = DECLARED) => {
  const graph = graphWith(caseOutputG);
  const statement = unwrap(allergenStatement(graph, declared, 'tart', 'eu', options));
  return unwrap(ingredientList(graph, 'tart', statement, options));
};
/** Emphasis in capitals, as one may print it. */
const print = (segments: readonly LabelSegment[]) =>
  segments.map((s) => (s.emphasised ? s.text.toUpperCase() : s.text)).join('');

describe('the ingredient list', () => {
  it('goes down by weight, components with their own list, allergens emphasised', () => {
    expect(print(list(1000).segments)).toBe(
      'Lemon curd (Butter (MILK), Sugar, Lemon juice, Whole EGG), ' +
        'Sweet case (WHEAT flour, Butter (MILK), Sugar, Water)',
    );
  });

  it('weighs volumes and pieces by their mass', () => {
    const curd = list(1000).entries[0];
    expect(curd?.contents.map((c) => [c.itemId, c.massG])).toEqual([
      ['butter', 300],
      ['sugar', 300],
      ['juice', 206],
      ['egg', 200],
    ]);
  });

  it('counts added water as what baking leaves of it, and leaves out up to 5 %', () => {
    const waterIn = (caseOutputG: number) =>
      list(caseOutputG).entries[1]?.contents.find((c) => c.itemId === 'water')?.massG;
    expect(waterIn(1000)).toBe(100);
    expect(waterIn(960)).toBe(60);
    expect(waterIn(940)).toBeUndefined();
    expect(waterIn(850)).toBeUndefined();
  });

  it('says which ingredients have no allergen declaration', () => {
    const partly = new Map([...DECLARED].filter(([id]) => id !== 'sugar'));
    expect(list(1000, partly).notDeclaredItemIds).toEqual(['sugar']);
    expect(list(1000).notDeclaredItemIds).toEqual([]);
  });

  it('is refused without a density, and for what has no recipe', () => {
    const graph = graphWith(1000);
    const statement = unwrap(allergenStatement(graph, DECLARED, 'tart', 'eu'));
    expect(ingredientList(graph, 'tart', statement)).toMatchObject({
      error: { kind: 'no-density' },
    });
    expect(ingredientList(graph, 'butter', statement, options)).toMatchObject({
      error: { kind: 'missing-component' },
    });
  });
});

describe('emphasis', () => {
  it.each([
    ['Buttermilk', ['milk'], 'Buttermilk (MILK)'],
    ['Whole milk powder', ['milk'], 'Whole MILK powder'],
    ['Roasted hazelnuts', ['nuts:hazelnut'], 'Roasted HAZELNUTS'],
    ['Praline paste', ['nuts:almond', 'nuts:hazelnut'], 'Praline paste (ALMOND, HAZELNUT)'],
    ['Soya lecithin', ['soybeans'], 'SOYA lecithin'],
    ['Oat and almond crumble', ['nuts:almond', 'gluten:oats'], 'OAT and ALMOND crumble'],
    ['Egg and milk wash', ['milk', 'eggs', 'gluten:wheat'], 'EGG and MILK wash (WHEAT)'],
    ['Caster sugar', [], 'Caster sugar'],
    ['Cod roe', ['fish:cod'], 'COD roe'],
  ] as const)('%s with %o is %s', (name, codes, printed) => {
    expect(print(emphasise(name, codes))).toBe(printed);
  });
});

describe('declared quantities', () => {
  it('may be of a component, as it weighs when used', () => {
    const quid = unwrap(
      quantityDeclared(graphWith(1000), 'tart', ['curd'], options.massPerBaseUnit),
    );
    expect(quid.percent).toBeCloseTo(60, 9);
  });

  it('above 100 % are grams per 100 g, and below 5 % go by halves', () => {
    const quid = (quantity: number, finishedG: number) => {
      const graph = unwrap(
        buildRecipeGraph(
          [item('curd'), item('sugar'), item('butter')],
          [recipe('curd', finishedG, { sugar: quantity, butter: 100 - quantity })],
        ),
      );
      return unwrap(quantityDeclared(graph, 'curd', ['sugar'])).text;
    };
    expect(quid(90, 60)).toBe('150 g per 100 g of product');
    expect(quid(3.3, 100)).toBe('3.5 %');
    expect(quid(33.3, 100)).toBe('33 %');
  });

  it('are refused for what is not in it, what is counted twice, and an unknown mass', () => {
    const graph = graphWith(1000);
    const { massPerBaseUnit } = options;
    expect(quantityDeclared(graph, 'tart', ['saffron'], massPerBaseUnit)).toMatchObject({
      error: { kind: 'missing-ingredient' },
    });
    expect(quantityDeclared(graph, 'tart', ['curd', 'butter'], massPerBaseUnit)).toMatchObject({
      error: { kind: 'out-of-range', detail: { itemId: 'butter', inside: 'curd' } },
    });
    expect(quantityDeclared(graph, 'tart', ['butter'])).toMatchObject({
      error: { kind: 'no-density' },
    });
    expect(quantityDeclared(graph, 'soup', ['butter'])).toMatchObject({
      error: { kind: 'missing-component' },
    });
  });
});
