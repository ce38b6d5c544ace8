import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { densityOf, findUnitByWord, toBaseAmount } from '../../api/core/quantity/index.ts';
import type { IngredientMeasures } from '../../api/core/quantity/index.ts';
import { asPurchased, fractionFromRefuse } from '../../api/core/yields/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: USDA National Nutrient Database for Standard Reference, Release 28 (public domain), tables
 * WEIGHT and FOOD_DES; see tests/fixtures/usda-sr28-pastry.source.md. Its cups and spoons are US ones.
 */
interface Food {
  ndb: string;
  name: string;
  refusePercent: number;
  weights: { amount: number; measure: string; g: number }[];
}
const { foods } = JSON.parse(
  readFileSync(new URL('../fixtures/usda-sr28-pastry.json', import.meta.url), 'utf8'),
) as { foods: Food[] };

const US_NAME: Readonly<Record<string, string>> = {
  cup: 'US cup',
  tbsp: 'US tbsp',
  tablespoon: 'US tbsp',
  tsp: 'US tsp',
  'fl oz': 'US fl oz',
  quart: 'US quart',
};

function food(ndb: string): Food {
  const found = foods.find((candidate) => candidate.ndb === ndb);
  if (found === undefined) throw new Error(`No food ${ndb} in the fixture`);
  return found;
}

/** One household measure of the record, as grams for one of it. */
function massOf(ndb: string, measure: string): number {
  const weight = food(ndb).weights.find((candidate) => candidate.measure === measure);
  if (weight === undefined) throw new Error(`No measure ${measure} for ${ndb}`);
  return weight.g / weight.amount;
}

/** An ingredient that knows only the weight of its US cup. */
function byCup(ndb: string): IngredientMeasures {
  return {
    name: food(ndb).name,
    baseUnit: 'g',
    household: [{ name: 'US cup', massG: massOf(ndb, 'cup') }],
  };
}

describe('household measures of USDA SR28', () => {
  /* Densities derived from SR28: grams per cup by 236.5882365 ml, to three places. */
  it.each<[string, number]>([
    ['20081', 0.528],
    ['20083', 0.579],
    ['19335', 0.845],
    ['01145', 0.959],
    ['01077', 1.031],
    ['19296', 1.433],
    ['19353', 1.331],
    ['19350', 1.441],
    ['04582', 0.921],
    ['02047', 1.234],
    ['19165', 0.364],
    ['20027', 0.541],
    ['09152', 1.031],
  ])('NDB %s has a density of %d g/ml by its cup', (ndb, densityGPerMl) => {
    expect(unwrap(densityOf(byCup(ndb))).value).toBeCloseTo(densityGPerMl, 3);
  });

  /* Free-flowing foods: another measure of the same record, from the cup alone; SR28 rounds to 0.1 to 1 g. */
  it.each<[string, string, number]>([
    ['01077', 'fl oz', 0.005],
    ['01077', 'tbsp', 0.02],
    ['01077', 'quart', 0.0001],
    ['19335', 'tsp', 0.01],
    ['19296', 'tbsp', 0.01],
    ['19353', 'tbsp', 0.02],
    ['04582', 'tbsp', 0.03],
    ['02047', 'tsp', 0.02],
    ['02047', 'tbsp', 0.02],
    ['09152', 'fl oz', 0.001],
    ['01145', 'tbsp', 0.001],
  ])('NDB %s: one %s by the cup is what SR28 lists, within %d', (ndb, measure, tolerance) => {
    const unit = US_NAME[measure] ?? measure;
    const { value } = unwrap(toBaseAmount({ value: 1, unit }, byCup(ndb)));
    expect(Math.abs(value / massOf(ndb, measure) - 1)).toBeLessThanOrEqual(tolerance);
  });

  it('every measure of every food converts to its listed weight, and two of it to twice that', () => {
    let count = 0;
    for (const { name, weights } of foods) {
      const household = weights.map((weight) => ({
        name: US_NAME[weight.measure] ?? weight.measure,
        massG: weight.g / weight.amount,
      }));
      for (const measure of household) {
        const amount = { value: 2, unit: measure.name };
        const first = household.find((other) => other.name === measure.name);
        const { value } = unwrap(toBaseAmount(amount, { name, baseUnit: 'g', household }));
        // A weight ('oz', which SR28 lists as 28.35 g or so) keeps its exact definition; the rest is as listed.
        const tolerance = findUnitByWord(measure.name)?.dimension === 'mass' ? 5e-3 : 1e-14;
        expect(Math.abs(value / (2 * Number(first?.massG)) - 1)).toBeLessThanOrEqual(tolerance);
        count += 1;
      }
    }
    expect(count).toBeGreaterThan(150);
  });

  it('three large eggs (US size) are 150 g without shell, and 170.5 g to buy with 12 % shell', () => {
    const egg: IngredientMeasures = {
      name: 'Whole egg',
      baseUnit: 'g',
      household: [{ name: 'large', massG: massOf('01123', 'large') }],
    };
    const { value } = unwrap(toBaseAmount({ value: 3, unit: 'large' }, egg));
    expect(value).toBe(150);
    const fraction = unwrap(fractionFromRefuse(food('01123').refusePercent));
    const bought = asPurchased(value, [{ kind: 'trim', fraction, source: 'USDA SR28 01123' }]);
    expect(unwrap(bought)).toBeCloseTo(170.4545, 4);
  });
});

describe('as purchased by the refuse of USDA SR28', () => {
  /* AP factor 1 / (1 - refuse), as tabulated from FOOD_DES to four places. */
  it.each<[string, number]>([
    ['09003', 1.1111],
    ['09150', 1.8868],
    ['09200', 1.3699],
    ['09302', 1.0417],
    ['09307', 1.3333],
    ['09316', 1.0638],
    ['01123', 1.1364],
    ['12061', 2.5],
    ['12120', 2.439],
    ['12155', 2.2222],
    ['12142', 1.8868],
    ['12151', 1.8868],
  ])('1 kg of NDB %s ready to use asks for %d kg', (ndb, factor) => {
    const fraction = unwrap(fractionFromRefuse(food(ndb).refusePercent));
    const step = { kind: 'trim', fraction, source: `USDA SR28 ${ndb}` } as const;
    expect(unwrap(asPurchased(1000, [step])) / 1000).toBeCloseTo(factor, 4);
  });
});
