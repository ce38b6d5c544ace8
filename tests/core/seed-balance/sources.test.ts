import { readFileSync } from 'node:fs';

import { describe, expect, it } from 'vitest';

import { data } from './balance.ts';

// USDA National Nutrient Database for Standard Reference, Release 28 (public domain).
interface UsdaFood {
  readonly ndb: string;
  readonly refusePercent: number;
  readonly per100g: Readonly<Partial<Record<string, number>>>;
  readonly weights: readonly { amount: number; measure: string; g: number }[];
}
const usda = JSON.parse(
  readFileSync(new URL('../../fixtures/usda-sr28-pastry.json', import.meta.url), 'utf8'),
) as { readonly foods: readonly UsdaFood[] };
const foods = new Map(usda.foods.map((food) => [food.ndb, food]));
const recordIn = (source: string): UsdaFood | undefined =>
  foods.get(/NDB (\d{5})/.exec(source)?.[1] ?? '');

const US_CUP_ML = 236.588_236_5;

describe('figures copied from the public data set', () => {
  it('nutrition per 100 g is the record it names, and what the record lacks is left out', () => {
    const withNutrition = data.ingredients.filter((item) => item.nutrition !== undefined);
    expect(withNutrition.length).toBeGreaterThanOrEqual(40);
    for (const { key, nutrition } of withNutrition) {
      const food = recordIn(nutrition?.source ?? '');
      expect(
        {
          kcal: nutrition?.energyKcal,
          fat: nutrition?.fatG,
          sat: nutrition?.saturatesG,
          carb: nutrition?.carbohydrateByDifferenceG,
          sug: nutrition?.sugarsG,
          fib: nutrition?.fibreG,
          prot: nutrition?.proteinG,
          na: nutrition?.sodiumMg,
          water: nutrition?.waterG,
        },
        key,
      ).toEqual(food?.per100g);
    }
  });

  it('densities are a weighed US cup of the record, to three places', () => {
    const derived = data.ingredients.filter((item) => item.density?.source.includes('US cup'));
    expect(derived.length).toBeGreaterThanOrEqual(20);
    for (const { key, density } of derived) {
      const cups = recordIn(density?.source ?? '')?.weights.filter((w) =>
        w.measure.startsWith('cup'),
      );
      const possible = (cups ?? []).map((cup) => (cup.g / cup.amount / US_CUP_ML).toFixed(3));
      expect(possible, key).toContain(density?.gPerMl.toFixed(3));
    }
  });

  it('household weights are weights of the record they name', () => {
    const named = data.ingredients.flatMap((item) =>
      (item.measures ?? [])
        .filter((measure) => measure.source.startsWith('USDA SR28 NDB'))
        .map((measure) => ({ key: item.key, measure })),
    );
    expect(named.length).toBeGreaterThanOrEqual(6);
    for (const { key, measure } of named) {
      const weights = recordIn(measure.source)?.weights.map((w) => w.g / w.amount);
      expect(weights, key).toContain(measure.massG);
    }
  });

  it('trim yields are what the record does not refuse', () => {
    const checked = data.ingredients.filter(
      (item) =>
        item.trimYield?.source.includes('refuse') === true &&
        recordIn(item.trimYield.source) !== undefined,
    );
    expect(checked.length).toBeGreaterThanOrEqual(4);
    for (const { key, trimYield } of checked) {
      const refuse = recordIn(trimYield?.source ?? '')?.refusePercent ?? NaN;
      expect(trimYield?.fraction, key).toBeCloseTo(1 - refuse / 100, 9);
    }
  });

  it('every figure that is not copied says where it comes from', () => {
    for (const item of data.ingredients) {
      const sources = [
        item.density?.source,
        item.pieceMass?.source,
        item.trimYield?.source,
        item.partOf?.source,
        item.composition?.source,
        ...(item.measures ?? []).map((measure) => measure.source),
      ].filter((source) => source !== undefined);
      for (const source of sources) {
        expect(source, item.key).toMatch(
          /SR28|common practice, no source|from memory|EU\/UK class|Texture/,
        );
      }
    }
  });
});

describe('pack numbers', () => {
  /** GS1: weights 3, 1, 3, … counted from the digit next to the check digit. */
  const checkDigit = (body: string): number =>
    (10 -
      ([...body]
        .reverse()
        .reduce((sum, digit, i) => sum + Number(digit) * (i % 2 === 0 ? 3 : 1), 0) %
        10)) %
    10;

  it('follow the worked examples of GS1', () => {
    // gs1.org: 6291041500213; GS1 Sweden: 7300011000017.
    expect(checkDigit('629104150021')).toBe(3);
    expect(checkDigit('730001100001')).toBe(7);
  });

  it('are valid GTIN-13 in the range for restricted circulation, 200 to 299', () => {
    for (const { sku, gtin } of data.packs) {
      expect(gtin, sku).toMatch(/^2\d{12}$/);
      expect(Number(gtin.at(-1)), sku).toBe(checkDigit(gtin.slice(0, -1)));
    }
  });
});
