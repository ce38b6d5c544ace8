import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { missingGoods, type MissingNeed } from '../../../api/core/ordering/index.ts';
import { dishesBehind } from '../../../api/core/planning/index.ts';
import { ExplanationBuilder } from '../../../api/core/explanation/index.ts';

const missing = (given: Partial<MissingNeed>): MissingNeed => ({
  siteId: 'site_a',
  ingredientId: 'ing_a',
  needDate: '2026-03-12',
  quantity: 100,
  certain: 0,
  whole: false,
  dishes: [],
  ...given,
});
const TART = { id: 'rcp_tart', name: 'Lemon tart' };
const CAKE = { id: 'rcp_cake', name: 'Almond cake' };

describe('what cannot be bought, put together', () => {
  it('is one entry an ingredient, with its days, sites and dishes', () => {
    const [flour, ...more] = missingGoods([
      missing({ needDate: '2026-03-13', quantity: 300, certain: 50, dishes: [TART] }),
      missing({ siteId: 'site_b', needDate: '2026-03-13', dishes: [CAKE] }),
      missing({ certain: 20, dishes: [TART] }),
    ]);
    expect(more).toEqual([]);
    expect(flour).toMatchObject({
      ingredientId: 'ing_a',
      quantity: 500,
      certain: 70,
      firstDate: '2026-03-12',
      lastDate: '2026-03-13',
      dishes: [CAKE, TART],
    });
    expect(flour?.needs.map(({ needDate, siteId }) => `${needDate} ${siteId}`)).toEqual([
      '2026-03-12 site_a',
      '2026-03-13 site_a',
      '2026-03-13 site_b',
    ]);
  });

  it('stands with the soonest first, then what nothing is there of, then what stops more dishes', () => {
    const found = missingGoods([
      missing({ ingredientId: 'later', needDate: '2026-03-13', whole: true }),
      missing({ ingredientId: 'part' }),
      missing({ ingredientId: 'part of two', dishes: [TART, CAKE] }),
      missing({ ingredientId: 'whole', whole: true }),
    ]);
    expect(found.map(({ ingredientId }) => ingredientId)).toEqual([
      'whole',
      'part of two',
      'part',
      'later',
    ]);
  });

  it('is whole by its first date only: that later nothing is there says nothing of today', () => {
    const [goods] = missingGoods([
      missing({ needDate: '2026-03-12' }),
      missing({ needDate: '2026-03-14', whole: true }),
    ]);
    expect(goods?.whole).toBe(false);
  });

  it('loses and adds nothing: every need stands in one entry, and the amounts add up', () => {
    const need = fc.record({
      siteId: fc.constantFrom('site_a', 'site_b'),
      ingredientId: fc.constantFrom('ing_a', 'ing_b', 'ing_c'),
      needDate: fc.constantFrom('2026-03-12', '2026-03-13', '2026-03-14'),
      quantity: fc.integer({ min: 1, max: 900 }),
      certain: fc.integer({ min: 0, max: 900 }),
      whole: fc.boolean(),
      dishes: fc.subarray([TART, CAKE]),
    });
    fc.assert(
      fc.property(fc.array(need), (needs) => {
        const found = missingGoods(needs);
        expect(found.flatMap((goods) => goods.needs)).toHaveLength(needs.length);
        expect(new Set(found.flatMap((goods) => goods.needs))).toEqual(new Set(needs));
        expect(new Set(found.map((goods) => goods.ingredientId)).size).toBe(found.length);
        for (const goods of found) {
          const sum = goods.needs.reduce((total, one) => total + one.quantity, 0);
          expect(goods.quantity).toBe(sum);
          expect(goods.needs.every((one) => one.ingredientId === goods.ingredientId)).toBe(true);
        }
        const firsts = found.map((goods) => goods.firstDate);
        expect(firsts).toEqual([...firsts].sort());
      }),
    );
  });
});

describe('the dishes behind a figure of the plan', () => {
  it('are those whose portions go into it, each once, through whatever is between', () => {
    const builder = new ExplanationBuilder();
    const portions = (dish: string, name: string, service: string) =>
      builder.given({
        id: `portions:${service}:${dish}:fixed`,
        label: `${name}, portions a person fixed, Dinner`,
        value: 10,
        unit: 'portions',
      });
    const sum = (id: string, unit: string, inputs: string[]) =>
      builder.add({
        id,
        label: id,
        unit,
        formula: 'weighted-sum',
        inputs: inputs.map((nodeId) => ({ nodeId })),
      });
    const tart = [
      portions('rcp_tart', 'Lemon tart', 'svc:1'),
      portions('rcp_tart', 'Lemon tart', 'svc:2'),
    ];
    const cake = portions('rcp_cake', 'Almond cake', 'svc:1');
    const curd = sum('curd', 'g', tart);
    const flour = sum('flour', 'g', [curd, cake]);
    const behind = dishesBehind(builder.graph());
    expect(behind([flour])).toEqual([CAKE, TART]);
    expect(behind([curd])).toEqual([TART]);
    expect(behind(['not there'])).toEqual([]);
  });
});
