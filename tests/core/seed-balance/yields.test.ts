import { describe, expect, it } from 'vitest';

import type { RecipeFamily } from '../../../seed/generator/types.ts';
import { allOutputsG, inputMassG, versionsOf } from './balance.ts';

// Mass of everything a batch gives over the mass weighed in. Common practice, no source: bands a
// pastry cook would accept for baking loss, evaporation, off-cuts and what stays in the pan.
const KEPT: Readonly<Record<Exclude<RecipeFamily, 'dish'>, readonly [number, number]>> = {
  syrup: [0.85, 1],
  infusion: [0.75, 0.85],
  paste: [0.96, 1],
  laminated: [0.96, 1],
  shell: [0.7, 0.85],
  'baked-puff': [0.65, 0.8],
  sponge: [0.78, 0.92],
  cake: [0.82, 0.93],
  biscuit: [0.75, 0.88],
  crumble: [0.84, 0.93],
  'baked-yeast': [0.68, 0.82],
  'choux-paste': [0.92, 0.98],
  'baked-choux': [0.52, 0.68],
  scone: [0.78, 0.9],
  meringue: [0.83, 0.92],
  'dried-meringue': [0.62, 0.75],
  custard: [0.93, 0.98],
  curd: [0.92, 0.97],
  cream: [0.95, 1],
  mousse: [0.94, 0.98],
  'frozen-parfait': [0.89, 0.96],
  'ice-cream': [0.9, 0.98],
  sorbet: [0.95, 0.98],
  fruit: [0.78, 1],
  'fruit-jelly': [0.95, 1],
  'fluid-gel': [0.92, 0.97],
  jam: [0.65, 0.8],
  caramel: [0.88, 0.96],
  brittle: [0.82, 0.92],
  praline: [0.83, 0.92],
  ganache: [0.95, 0.99],
  glaze: [0.86, 0.95],
  chocolate: [0.92, 1],
  'clarified-butter': [0.76, 0.86],
  wash: [0.97, 1],
  assembly: [0.9, 1],
  'filled-tart': [0.88, 1],
};

describe('what a batch gives against what goes in', () => {
  const made = versionsOf().filter(({ recipe }) => recipe.kind === 'component');

  it.each(made)('$title keeps a believable part of its mass', ({ recipe, version }) => {
    if (recipe.family === 'dish') throw new Error(`${recipe.key} is a component, not a dish.`);
    const [low, high] = KEPT[recipe.family];
    const kept = allOutputsG(recipe, version) / inputMassG(version);
    expect(kept).toBeGreaterThanOrEqual(low);
    expect(kept).toBeLessThanOrEqual(high);
  });

  it('flour goods lose more in the oven the drier they end', () => {
    const kept = (key: string): number => {
      const [found] = made.filter(({ recipe }) => recipe.key === key);
      if (found === undefined) throw new Error(`No recipe ${key}`);
      return allOutputsG(found.recipe, found.version) / inputMassG(found.version);
    };
    expect(kept('choux-ring')).toBeLessThan(kept('meringue-nest'));
    expect(kept('meringue-nest')).toBeLessThan(kept('sponge-fingers'));
    expect(kept('sponge-fingers')).toBeLessThan(kept('cocoa-sponge'));
    expect(kept('cocoa-sponge')).toBeLessThan(kept('walnut-cake'));
  });

  it('plates weigh what a guest can eat: 70 to 220 g', () => {
    for (const { title, version } of versionsOf('dish')) {
      const massG = inputMassG(version);
      expect(massG, title).toBeGreaterThanOrEqual(70);
      expect(massG, title).toBeLessThanOrEqual(220);
    }
  });
});
