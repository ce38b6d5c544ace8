import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bakersPercentages } from '../../api/core/dough/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Sources: (1) Bread-Bakers digest v102.n038, 'Hydration': 500 g flour, 350 g water, 10 g salt, 5 g
 * yeast are 100, 70, 2 and 1 %. (2) A sourdough school's glossary, 'baker's percentage': 1000 g flour,
 * 600 g water, 2 g yeast, 10 g salt are 100, 60, 0.2 and 1 %.
 */
describe("published baker's percentages", () => {
  it.each([
    [
      [500, 350, 10, 5],
      [100, 70, 2, 1],
    ],
    [
      [1000, 600, 2, 10],
      [100, 60, 0.2, 1],
    ],
  ])('%j g are %j %%', (massesG, percents) => {
    const dough = unwrap(
      bakersPercentages(
        massesG.map((massG, index) => ({
          id: String(index),
          name: String(index),
          massG,
          isFlour: index === 0,
          waterFraction: index === 1 ? 1 : 0,
        })),
      ),
    );
    for (const [index, { percent }] of dough.lines.entries()) {
      expect(percent).toBeCloseTo(percents[index] ?? NaN, 10);
    }
    expect(dough.hydrationPercent).toBeCloseTo(percents[1] ?? NaN, 10);
  });
});

/*
 * Source: USDA SR28 water per 100 g (fixture): whole milk 88.13 g, whole egg 76.15 g, butter 17.94 g.
 * Synthetic enriched dough; 0.8813·250 + 0.7615·150 + 0.1794·100 = 352.49 g water on 1000 g flour.
 */
describe('hydration of an enriched dough by USDA water contents', () => {
  const { foods } = JSON.parse(
    readFileSync(new URL('../fixtures/usda-sr28-pastry.json', import.meta.url), 'utf8'),
  ) as { foods: { ndb: string; per100g: { water: number } }[] };
  const waterFraction = (ndb: string) => {
    const water = foods.find((food) => food.ndb === ndb)?.per100g.water;
    return Number(water) / 100;
  };

  it('is 35.25 %', () => {
    const dough = unwrap(
      bakersPercentages([
        { id: 'flour', name: 'Flour', massG: 1000, isFlour: true },
        { id: 'milk', name: 'Milk', massG: 250, waterFraction: waterFraction('01077') },
        { id: 'egg', name: 'Egg', massG: 150, waterFraction: waterFraction('01123') },
        { id: 'butter', name: 'Butter', massG: 100, waterFraction: waterFraction('01145') },
      ]),
    );
    expect(dough.hydrationPercent).toBeCloseTo(35.249, 3);
    expect(dough.waterUnknown).toEqual([]);
  });
});
