import { describe, expect, it } from 'vitest';

import { bakersPercentages } from '../../../api/core/dough/index.ts';
import type { DoughFormula } from '../../../api/core/dough/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { lineItem, lineMassG } from '../../../seed/generator/demo-index.ts';
import { current, index, makeupOfLine, massOf } from './balance.ts';

const FLOURS = ['soft-wheat-flour', 'strong-wheat-flour', 'wholemeal-flour'];

function formulaOf(key: string): DoughFormula {
  const lines = current(key).lines.map((line) => {
    const item = lineItem(line).key;
    return {
      id: item,
      name: item,
      massG: lineMassG(index, line),
      isFlour: FLOURS.includes(item),
      waterFraction: item === 'water' ? 1 : makeupOfLine(line).water,
    };
  });
  return unwrap(bakersPercentages(lines));
}

const percentOf = (key: string, ...items: readonly string[]): number =>
  formulaOf(key)
    .lines.filter((line) => items.includes(line.id))
    .reduce((sum, line) => sum + line.percent, 0);

const within = (value: number, [low, high]: readonly [number, number], what: string): void => {
  expect(value, what).toBeGreaterThanOrEqual(low);
  expect(value, what).toBeLessThanOrEqual(high);
};

// Baker's percentages: everything per 100 flour. Bands: common practice, no source.
describe('doughs and pastes', () => {
  it('hydration: puff dough 45 to 58, scones 45 to 60, baba 55 to 80', () => {
    within(formulaOf('detrempe').hydrationPercent, [45, 58], 'detrempe');
    within(formulaOf('scone').hydrationPercent, [45, 65], 'scone');
    within(formulaOf('baba').hydrationPercent, [55, 80], 'baba');
  });

  it('salt stays between 1 and 2.5 in puff and yeast doughs, yeast between 2 and 6', () => {
    within(percentOf('detrempe', 'fine-salt'), [1, 2.5], 'detrempe salt');
    within(percentOf('baba', 'fine-salt'), [1, 2.5], 'baba salt');
    within(percentOf('baba', 'fresh-yeast'), [2, 6], 'baba yeast');
    within(percentOf('scone', 'baking-powder'), [3, 6], 'scone baking powder');
  });

  it('puff pastry carries 75 to 100 butter, most of it rolled in', () => {
    const flourG = formulaOf('detrempe').flourG;
    const rolledInG = massOf(current('puff-pastry'), 'butter-sheet');
    const inDoughG = massOf(current('detrempe'), 'butter-unsalted');
    within((100 * (rolledInG + inDoughG)) / flourG, [75, 100], 'butter');
    expect(rolledInG).toBeGreaterThan(5 * inDoughG);
  });

  it('sweet paste: butter 45 to 65, sugar 30 to 45, egg 15 to 25', () => {
    within(percentOf('sweet-paste', 'butter-unsalted'), [45, 65], 'butter');
    within(percentOf('sweet-paste', 'icing-sugar'), [30, 45], 'sugar');
    within(percentOf('sweet-paste', 'whole-egg'), [15, 25], 'egg');
  });

  it('choux: liquid 160 to 200, butter 70 to 90, egg 150 to 190', () => {
    within(percentOf('choux-paste', 'water', 'whole-milk'), [160, 200], 'liquid');
    within(percentOf('choux-paste', 'butter-unsalted'), [70, 90], 'butter');
    within(percentOf('choux-paste', 'whole-egg'), [150, 190], 'egg');
  });

  it('almond cream is equal parts of butter, sugar and almonds, nearly so of egg', () => {
    const version = current('almond-cream');
    const butterG = massOf(version, 'butter-unsalted');
    expect(massOf(version, 'caster-sugar')).toBe(butterG);
    expect(massOf(version, 'ground-almonds')).toBe(butterG);
    within(massOf(version, 'shell-eggs') / butterG, [0.75, 1.05], 'egg');
  });

  it('rests overnight where it must: sweet paste, puff, madeleine batter', () => {
    for (const key of ['sweet-paste', 'puff-pastry', 'madeleine']) {
      const longest = Math.max(...current(key).steps.map((step) => step.waitingMin));
      expect(longest, key).toBeGreaterThanOrEqual(480);
    }
  });
});
