import { describe, expect, it } from 'vitest';

import { equivalentMassG } from '../../../api/core/setting/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { lineItem, lineMassG, outputMassG } from '../../../seed/generator/demo-index.ts';
import type { RecipeFamily, RecipeVersion } from '../../../seed/generator/types.ts';
import { current, index, massOf, versionsOf } from './balance.ts';

const GOLD_BLOOM = 200;

/** Gelatine of a recipe as gold sheets of equal firmness, in g. */
function goldGelatineG(version: RecipeVersion): number {
  return version.lines.reduce((sum, line) => {
    const bloom = index.ingredients.get(lineItem(line).key)?.gelatine?.bloom;
    if (bloom === undefined) return sum;
    return sum + unwrap(equivalentMassG(lineMassG(index, line), bloom, GOLD_BLOOM));
  }, 0);
}

// g of gold gelatine per kg of finished mix. Common practice, no source: softest to firmest a
// pastry cook would serve; chocolate, butter and whipped cream set part of the lower ones.
const GELATINE_PER_KG: Partial<Record<RecipeFamily, readonly [number, number]>> = {
  curd: [1.5, 7],
  cream: [2, 8],
  ganache: [1, 4],
  mousse: [3, 13],
  'fruit-jelly': [10, 20],
  glaze: [14, 25],
};

describe('gelatine', () => {
  const set = versionsOf().filter(({ version }) => goldGelatineG(version) > 0);

  it('is used where the demo says so, in at least eight recipes', () => {
    expect(set.length).toBeGreaterThanOrEqual(8);
  });

  it.each(set)('$title holds its shape and is not rubber', ({ recipe, version }) => {
    const band = GELATINE_PER_KG[recipe.family];
    expect(band, `${recipe.family} has no gelatine band`).toBeDefined();
    const perKg = (1000 * goldGelatineG(version)) / outputMassG(version, recipe.key);
    expect(perKg).toBeGreaterThanOrEqual(band?.[0] ?? Infinity);
    expect(perKg).toBeLessThanOrEqual(band?.[1] ?? -Infinity);
  });

  it('sheets weigh what their grade does, and each gelatine recipe warns vegetarians', () => {
    // Texture (M. Lersch, ed.), as quoted: silver 160 Bloom 2.5 g, gold 190 to 220 Bloom 2.0 g.
    const sheets = ['gelatine-gold', 'gelatine-silver'].map((key) => index.ingredients.get(key));
    expect(sheets.map((sheet) => sheet?.gelatine?.sheetMassG)).toEqual([2, 2.5]);
    expect(sheets.map((sheet) => sheet?.measures?.find((m) => m.name === 'sheet')?.massG)).toEqual([
      2, 2.5,
    ]);
    for (const { title, version } of set) {
      expect(version.cautions?.join(' '), title).toMatch(/not for vegetarians/);
    }
  });

  it('needs time: what is turned out or cut sets for four hours or more', () => {
    // Common practice, no source: at least 4 h at 0 to 5 °C before turning out.
    for (const key of [
      'yoghurt-mousse',
      'black-cherry-slice',
      'strawberry-jelly',
      'chocolate-delice',
    ]) {
      const longest = Math.max(...current(key).steps.map((step) => step.waitingMin));
      expect(longest, key).toBeGreaterThanOrEqual(240);
    }
  });
});

describe('agar', () => {
  it('makes fluid gels at 7 to 12 g per kg', () => {
    // Common practice, no source.
    for (const { title, recipe, version } of versionsOf('fluid-gel')) {
      const perKg = (1000 * massOf(version, 'agar-agar')) / outputMassG(version, recipe.key);
      expect(perKg, title).toBeGreaterThanOrEqual(7);
      expect(perKg, title).toBeLessThanOrEqual(12);
    }
  });
});

describe('egg custards', () => {
  it('carry 150 to 250 g yolk and 100 to 180 g sugar per kg of milk and cream', () => {
    // Common practice, no source.
    for (const key of ['egg-custard', 'bay-custard']) {
      const version = current(key);
      const dairyG = massOf(version, 'whole-milk', 'whipping-cream');
      expect(massOf(version, 'egg-yolk') / dairyG, key).toBeGreaterThanOrEqual(0.15);
      expect(massOf(version, 'egg-yolk') / dairyG, key).toBeLessThanOrEqual(0.25);
      expect(massOf(version, 'caster-sugar') / dairyG, key).toBeGreaterThanOrEqual(0.1);
      expect(massOf(version, 'caster-sugar') / dairyG, key).toBeLessThanOrEqual(0.18);
    }
  });

  it('stop between 82 and 85 °C, and pastry cream boils for its starch', () => {
    // Common practice, no source.
    const hottest = (key: string): number =>
      Math.max(...current(key).steps.map((step) => step.temperatureC ?? 0));
    for (const key of [
      'egg-custard',
      'lemon-curd',
      'passion-curd',
      'kirsch-mousse',
      'mascarpone-cream',
    ]) {
      expect(hottest(key), key).toBeGreaterThanOrEqual(82);
      expect(hottest(key), key).toBeLessThanOrEqual(85);
    }
    expect(hottest('pastry-cream')).toBeGreaterThanOrEqual(95);
  });

  it('pastry cream has 150 to 250 g yolk, 60 to 100 g starch and 150 to 250 g sugar per kg milk', () => {
    // Common practice, no source.
    const version = current('pastry-cream');
    const milkG = massOf(version, 'whole-milk');
    const part = (key: string): number => massOf(version, key) / milkG;
    expect(part('egg-yolk')).toBeGreaterThanOrEqual(0.15);
    expect(part('egg-yolk')).toBeLessThanOrEqual(0.25);
    expect(part('cornflour')).toBeGreaterThanOrEqual(0.06);
    expect(part('cornflour')).toBeLessThanOrEqual(0.1);
    expect(part('caster-sugar')).toBeGreaterThanOrEqual(0.15);
    expect(part('caster-sugar')).toBeLessThanOrEqual(0.25);
  });
});
