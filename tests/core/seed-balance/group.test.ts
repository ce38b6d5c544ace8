import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

import { afterEach, describe, expect, it } from 'vitest';

import { findFaults } from '../../../seed/generator/check-data.ts';
import { lineItem } from '../../../seed/generator/demo-index.ts';
import { DemoDataError, readDemoData } from '../../../seed/generator/read.ts';
import type { DemoData, Season } from '../../../seed/generator/types.ts';
import { current, data, dataFolder, index } from './balance.ts';

const SEASONS: readonly Season[] = ['spring', 'summer', 'autumn', 'winter'];

describe('the demo group', () => {
  it('is six sites in two zones, two currencies and two rule sets', () => {
    expect(data.sites).toHaveLength(6);
    expect(new Set(data.sites.map((site) => site.zone))).toEqual(
      new Set(['Europe/Rome', 'Europe/London']),
    );
    expect(new Set(data.sites.map((site) => site.currency))).toEqual(new Set(['EUR', 'GBP']));
    expect(new Set(data.sites.map((site) => site.ruleSet))).toEqual(new Set(['eu', 'uk']));
  });

  it('has the breadth a real kitchen has', () => {
    const count = (kind: string): number => data.recipes.filter((r) => r.kind === kind).length;
    expect(count('dish')).toBeGreaterThanOrEqual(14);
    expect(count('component')).toBeGreaterThanOrEqual(45);
    expect(data.ingredients.length).toBeGreaterThanOrEqual(110);
    expect(data.suppliers).toHaveLength(6);
    expect(data.packs.length).toBeGreaterThanOrEqual(150);
  });

  it('nests recipes four levels deep and no deeper, by-products counted', () => {
    const levels = (key: string): number =>
      1 +
      Math.max(
        0,
        ...current(key).lines.map((line) => {
          const item = lineItem(line);
          if (item.kind === 'ingredient') return 0;
          return levels(
            item.kind === 'component'
              ? item.key
              : (index.byProducts.get(item.key)?.recipe.key ?? ''),
          );
        }),
      );
    const deepest = data.recipes.filter((r) => r.kind === 'dish').map((dish) => levels(dish.key));
    expect(Math.max(...deepest)).toBe(4);
    expect(deepest.filter((depth) => depth === 4).length).toBeGreaterThanOrEqual(5);
  });

  it('offers six to ten desserts at every site in every season, different ones', () => {
    const cards = data.sites.flatMap((site) =>
      SEASONS.map((season) => {
        const dishes = data.menus
          .filter((menu) => menu.site === site.key)
          .flatMap((menu) => menu.lines)
          .filter((line) => line.seasons === undefined || line.seasons.includes(season))
          .map((line) => line.dish);
        return { title: `${site.key} ${season}`, dishes: [...new Set(dishes)].sort() };
      }),
    );
    for (const { title, dishes } of cards) {
      expect(dishes.length, title).toBeGreaterThanOrEqual(6);
      expect(dishes.length, title).toBeLessThanOrEqual(10);
    }
    expect(new Set(cards.map((card) => card.dishes.join())).size).toBe(
      cards.length - repeats(cards),
    );
  });

  it('never promises more desserts than covers: shares add up to 1 at most', () => {
    for (const menu of data.menus) {
      for (const season of SEASONS) {
        const sum = menu.lines
          .filter((line) => line.seasons === undefined || line.seasons.includes(season))
          .reduce((total, line) => total + line.share, 0);
        expect(sum, `${menu.key} ${season}`).toBeLessThanOrEqual(1);
        expect(sum, `${menu.key} ${season}`).toBeGreaterThanOrEqual(0.35);
      }
    }
  });

  it('keeps earlier versions that drove past dates, one to come and one draft', () => {
    const published = data.recipes.map((recipe) =>
      recipe.versions.filter((version) => version.status === 'published'),
    );
    const changed = published.filter(
      ([first, second]) =>
        second !== undefined &&
        second.firstServiceDaysAgo !== null &&
        second.firstServiceDaysAgo > 0 &&
        JSON.stringify(first?.lines) !== JSON.stringify(second.lines),
    );
    expect(changed.length).toBeGreaterThanOrEqual(2);
    expect(published.flat().some((version) => (version.firstServiceDaysAgo ?? 0) < 0)).toBe(true);
    expect(data.recipes.flatMap((r) => r.versions).some((v) => v.status === 'draft')).toBe(true);
    for (const [first] of published) {
      expect(first?.firstServiceDaysAgo).toBeGreaterThanOrEqual(26 * 7);
    }
  });

  it('changes prices in time for some packs and breaks prices by quantity for others', () => {
    expect(data.packs.filter((pack) => pack.prices.length > 1).length).toBeGreaterThanOrEqual(30);
    expect(data.packs.some((pack) => pack.prices.at(-1)?.breaks !== undefined)).toBe(true);
    for (const pack of data.packs) {
      expect(pack.prices[0]?.fromDaysAgo).toBeGreaterThanOrEqual(26 * 7);
      for (const { amount, breaks } of pack.prices) {
        for (const broken of breaks ?? []) {
          expect(Number(broken.amount), pack.sku).toBeLessThan(Number(amount));
        }
      }
    }
  });

  it('holds one undeclared ingredient, one withdrawn and several seasonal ones', () => {
    expect(data.ingredients.filter((item) => item.allergens === null)).toHaveLength(1);
    expect(data.ingredients.filter((item) => item.withdrawn !== undefined)).toHaveLength(1);
    expect(data.ingredients.filter((item) => item.months !== undefined).length).toBeGreaterThan(5);
  });

  it('every ingredient is used by a recipe, or is the piece its parts come from', () => {
    const used = new Set(
      data.recipes.flatMap((r) => r.versions.flatMap((v) => v.lines.map((l) => lineItem(l).key))),
    );
    const pieces = new Set(data.ingredients.map((item) => item.partOf?.piece));
    const unused = data.ingredients.filter((item) => !used.has(item.key) && !pieces.has(item.key));
    expect(unused).toEqual([]);
  });
});

/** Cards of one site that do not change between seasons count once. */
function repeats(cards: readonly { title: string; dishes: readonly string[] }[]): number {
  const perSite = new Map<string, Set<string>>();
  for (const { title, dishes } of cards) {
    const site = title.split(' ')[0] ?? '';
    perSite.set(site, (perSite.get(site) ?? new Set()).add(dishes.join()));
  }
  return cards.length - [...perSite.values()].reduce((sum, kinds) => sum + kinds.size, 0);
}

describe('faults in the data are named', () => {
  const broken = (change: (copy: DemoData) => void): string[] => {
    const copy = structuredClone(data);
    change(copy);
    return findFaults(copy);
  };
  type Loose<T> = { -readonly [K in keyof T]: T[K] };
  const loose = <T>(value: T | undefined): Loose<T> => {
    if (value === undefined) throw new Error('nothing to change');
    return value;
  };

  it('the data as it stands has none', () => {
    expect(findFaults(data)).toEqual([]);
  });

  it('an unknown component', () => {
    const faults = broken((copy) => {
      const version = loose(copy.recipes[0]?.versions[0]);
      version.lines = [{ component: 'no-such-thing', amount: { value: 1, unit: 'g' } }];
    });
    expect(faults).toContain(
      `Recipe ${data.recipes[0]?.key ?? ''} version 1 takes the component 'no-such-thing', which is unknown.`,
    );
  });

  it('a circle of recipes, with its path', () => {
    const faults = broken((copy) => {
      const base = copy.recipes.find((recipe) => recipe.key === 'sweet-paste');
      const version = loose(base?.versions[0]);
      version.lines = [{ component: 'tart-shell', amount: { value: 1, unit: 'each' } }];
    });
    expect(faults.join('\n')).toMatch(/go round in a circle: .*sweet-paste.*tart-shell.*/);
  });

  it('a unit that does not convert', () => {
    const faults = broken((copy) => {
      const version = loose(copy.recipes.find((recipe) => recipe.key === 'scone')?.versions[0]);
      version.lines = [{ ingredient: 'rolled-oats', amount: { value: 1, unit: 'L' } }];
    });
    expect(faults.join('\n')).toMatch(/scone version 1: .*Rolled oats has no density/);
  });

  it('a wrong GTIN, a pack nobody makes, a site that cannot buy, a dish without a price', () => {
    const faults = broken((copy) => {
      loose(copy.packs[0]).gtin = '2100000000000';
      loose(copy.packs[1]).ingredient = 'moon-dust';
      loose(copy).packs = copy.packs.filter((pack) => pack.ingredient !== 'caster-sugar');
      loose(copy.recipes.find((recipe) => recipe.key === 'cream-tea')).prices = [];
    }).join('\n');
    expect(faults).toMatch(/check digit of 2100000000000 is wrong/);
    expect(faults).toMatch(/'moon-dust' is unknown/);
    expect(faults).toMatch(/Nobody sells 'caster-sugar' to serafina/);
    expect(faults).toMatch(/cream-tea has no price in GBP/);
  });

  it('a key used twice', () => {
    const faults = broken((copy) => {
      loose(copy.ingredients[1]).key = loose(copy.ingredients[0]).key;
    });
    expect(faults.join('\n')).toContain(
      `The key '${data.ingredients[0]?.key ?? ''}' is used twice.`,
    );
  });
});

describe('reading the folder', () => {
  const folders: string[] = [];
  afterEach(() => {
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
  });
  const copied = (): string => {
    const folder = mkdtempSync(join(tmpdir(), 'demo-data-'));
    folders.push(folder);
    cpSync(dataFolder, folder, { recursive: true });
    return folder;
  };

  it('refuses a member it does not know, with file and place', () => {
    const folder = copied();
    const path = join(folder, 'events.json');
    writeFileSync(path, readFileSync(path, 'utf8').replace('"fromDays"', '"fromDaze"'));
    expect(() => readDemoData(folder)).toThrow(DemoDataError);
    expect(() => readDemoData(folder)).toThrow(/events\.json at \/events\/0/);
  });

  it('refuses a file that is not JSON', () => {
    const folder = copied();
    writeFileSync(join(folder, 'sites.json'), '{ "note": ');
    expect(() => readDemoData(folder)).toThrow(/sites\.json/);
  });

  it('every file opens with a note that says it is invented', () => {
    const file = (path: string): { note?: string } =>
      JSON.parse(readFileSync(join(dataFolder, path), 'utf8')) as { note?: string };
    for (const path of [
      'group.json',
      'sites.json',
      'recipes/dishes.json',
      'packs/orto-orvessa.json',
    ]) {
      expect(file(path).note, path).toMatch(/^Invented for the demo/);
    }
  });
});
