import { describe, expect, it } from 'vitest';

import { unwrap } from '../../../api/core/shared/index.ts';
import { brixOf, saturationBrix } from '../../../api/core/sugar/index.ts';
import { current, makeupOf, makeupOfMix, massOf, recipeOf, versionsOf } from './balance.ts';

const percent = (fraction: number): number => fraction * 100;

describe('syrups and jam', () => {
  it('equal parts of water and sugar by mass are 50 °Brix', () => {
    // Definition of °Brix: sucrose by mass of the solution.
    const version = current('stock-syrup');
    const brix = unwrap(brixOf(massOf(version, 'caster-sugar'), massOf(version, 'water')));
    expect(brix).toBeCloseTo(50, 9);
  });

  it.each([
    // Common practice, no source.
    ['citrus-syrup', 24, 36],
    ['coffee-syrup', 15, 30],
    ['blood-orange-syrup', 42, 60],
  ])('%s holds %d to %d per cent sugars', (key, low, high) => {
    const sugars = percent(makeupOf(recipeOf(key), current(key)).sugars);
    expect(sugars).toBeGreaterThanOrEqual(low);
    expect(sugars).toBeLessThanOrEqual(high);
  });

  it('jam has 60 per cent soluble solids and stays below saturation at 20 °C', () => {
    // Directive 2001/113/EC asks for at least 60 per cent (from memory); saturation 67.09 per cent
    // at 20 °C: Mohos, Confectionery and Chocolate Engineering (2010), read second-hand.
    const made = makeupOf(recipeOf('strawberry-jam'), current('strawberry-jam'));
    expect(percent(1 - made.water)).toBeGreaterThanOrEqual(60);
    expect(percent(made.sugars)).toBeLessThanOrEqual(unwrap(saturationBrix(20)));
  });

  it('fruit meets the sugar it needs: 20 to 100 g per kg for a marinade, 75 to 250 g cooked', () => {
    // Common practice, no source.
    const perKg = (key: string, fruit: string, ...sugars: string[]): number =>
      (1000 * massOf(current(key), ...sugars)) / massOf(current(key), fruit);
    expect(perKg('marinated-strawberries', 'strawberries', 'caster-sugar')).toBeGreaterThanOrEqual(
      20,
    );
    expect(perKg('marinated-strawberries', 'strawberries', 'caster-sugar')).toBeLessThanOrEqual(
      100,
    );
    const cooked = [
      perKg('roast-rhubarb', 'rhubarb', 'caster-sugar'),
      perKg('kirsch-cherries', 'cherries', 'caster-sugar'),
      perKg('braised-quince', 'quinces', 'caster-sugar'),
      perKg('roast-plums', 'plums', 'honey'),
    ];
    expect(Math.min(...cooked)).toBeGreaterThanOrEqual(75);
    expect(Math.max(...cooked)).toBeLessThanOrEqual(250);
  });

  it('curds carry 0.45 to 1.2 times the juice in sugar, every version', () => {
    // Common practice, no source.
    for (const { title, version } of versionsOf('curd')) {
      const ratio =
        massOf(version, 'caster-sugar') / massOf(version, 'lemon-juice', 'passion-puree');
      expect(ratio, title).toBeGreaterThanOrEqual(0.45);
      expect(ratio, title).toBeLessThanOrEqual(1.2);
    }
  });

  it('meringues hold about twice the whites in sugar', () => {
    // Common practice, no source.
    for (const key of ['italian-meringue', 'meringue-nest']) {
      const version = current(key);
      const ratio = massOf(version, 'caster-sugar', 'icing-sugar') / massOf(version, 'egg-white');
      expect(ratio, key).toBeGreaterThanOrEqual(1.8);
      expect(ratio, key).toBeLessThanOrEqual(2.2);
    }
  });
});

describe('ice creams and sorbets', () => {
  // Common practice, no source: too little and it freezes to a block, too much and it never firms.
  it.each(versionsOf('ice-cream', 'sorbet'))(
    '$title has 28 to 42 per cent solids',
    ({ version }) => {
      const solids = percent(1 - makeupOfMix(version).water);
      expect(solids).toBeGreaterThanOrEqual(28);
      expect(solids).toBeLessThanOrEqual(42);
    },
  );

  it.each(versionsOf('ice-cream'))(
    '$title has 7 to 12 per cent fat, 16 to 24 sugars',
    ({ version }) => {
      const mix = makeupOfMix(version);
      expect(percent(mix.fat)).toBeGreaterThanOrEqual(7);
      expect(percent(mix.fat)).toBeLessThanOrEqual(12);
      expect(percent(mix.sugars)).toBeGreaterThanOrEqual(16);
      expect(percent(mix.sugars)).toBeLessThanOrEqual(24);
    },
  );

  it.each(versionsOf('sorbet'))('$title has 18 to 30 per cent sugars', ({ version }) => {
    const sugars = percent(makeupOfMix(version).sugars);
    expect(sugars).toBeGreaterThanOrEqual(18);
    expect(sugars).toBeLessThanOrEqual(30);
  });

  it('are stabilised at 2 to 6 g per kg', () => {
    // Common practice, no source.
    for (const { title, version } of versionsOf('ice-cream', 'sorbet')) {
      const stabiliserG = massOf(version, 'sorbet-stabiliser', 'ice-cream-stabiliser');
      const perKg = (1000 * stabiliserG) / version.output.value;
      expect(perKg, title).toBeGreaterThanOrEqual(2);
      expect(perKg, title).toBeLessThanOrEqual(6);
    }
  });

  it('are churned cold and kept at −18 °C', () => {
    for (const { title, version } of versionsOf('ice-cream', 'sorbet', 'frozen-parfait')) {
      expect(version.storage, title).toBe('frozen');
      expect(Math.min(...version.steps.map((step) => step.temperatureC ?? 99)), title).toBe(-18);
    }
  });
});
