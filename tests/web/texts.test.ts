import { expect, it } from 'vitest';
import { betweenEn } from '../../web/src/texts/between.en.ts';
import { buyingEn } from '../../web/src/texts/buying.en.ts';
import { deskEn } from '../../web/src/texts/desk.en.ts';
import { en } from '../../web/src/texts/en.ts';
import { expectedEn } from '../../web/src/texts/expected.en.ts';
import { menusEn } from '../../web/src/texts/menus.en.ts';
import { peopleEn } from '../../web/src/texts/people.en.ts';
import { recipesEn } from '../../web/src/texts/recipes.en.ts';
import { safetyEn } from '../../web/src/texts/safety.en.ts';
import { supplyEn } from '../../web/src/texts/supply.en.ts';
import { viewsEn } from '../../web/src/texts/views.en.ts';

const parts = {
  betweenEn,
  buyingEn,
  deskEn,
  expectedEn,
  menusEn,
  peopleEn,
  recipesEn,
  safetyEn,
  supplyEn,
  viewsEn,
};

// The parts are spread into one object, where a later one would silently stand in for an earlier one.
it.each(Object.entries(parts))('every text of %s is the one that screens show', (_name, part) => {
  const shown = en as Readonly<Record<string, unknown>>;
  const replaced = Object.entries(part).filter(([key, text]) => shown[key] !== text);
  expect(replaced.map(([key]) => key)).toEqual([]);
});
