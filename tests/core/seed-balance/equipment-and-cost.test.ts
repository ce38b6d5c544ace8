import { describe, expect, it } from 'vitest';

import { lineItem } from '../../../seed/generator/demo-index.ts';
import type { CurrencyCode } from '../../../seed/generator/types.ts';
import { boughtFor, data, index, recipeOf, unitPrice, versionsOf } from './balance.ts';

/** Every recipe a site makes for its cards of all seasons. */
function madeAt(site: string): Set<string> {
  const made = new Set<string>();
  const walk = (key: string): void => {
    if (made.has(key)) return;
    made.add(key);
    for (const line of recipeOf(key).versions.flatMap((version) => version.lines)) {
      const item = lineItem(line);
      if (item.kind === 'component') walk(item.key);
      if (item.kind === 'byProduct') walk(index.byProducts.get(item.key)?.recipe.key ?? '');
    }
  };
  for (const menu of data.menus.filter((m) => m.site === site))
    menu.lines.forEach((l) => walk(l.dish));
  return made;
}

describe('equipment', () => {
  it.each(data.sites.map((site) => ({ site, title: site.name })))(
    '$title can make its largest batch of everything on its cards',
    ({ site }) => {
      const counts = new Map(site.equipment.map((item) => [item.kind, item.count]));
      const made = madeAt(site.key);
      expect(made.size).toBeGreaterThan(20);
      for (const { title, recipe, version } of versionsOf()) {
        if (!made.has(recipe.key)) continue;
        for (const { equipment } of version.steps) {
          if (equipment === undefined) continue;
          const taken = Math.ceil(equipment.amount * version.batch.max - 1e-9);
          expect(taken, `${title} on ${equipment.kind}`).toBeLessThanOrEqual(
            counts.get(equipment.kind) ?? 0,
          );
        }
      }
    },
  );

  it('every kind a site owns is used by something it makes', () => {
    for (const site of data.sites) {
      const made = madeAt(site.key);
      const used = new Set(
        versionsOf()
          .filter(({ recipe }) => made.has(recipe.key))
          .flatMap(({ version }) => version.steps.map((step) => step.equipment?.kind)),
      );
      for (const { kind } of site.equipment)
        expect(used.has(kind), `${site.key} ${kind}`).toBe(true);
    }
  });

  it('a batch of mixer work weighs no more than 14 kg for a 20 l bowl', () => {
    // Common practice, no source: a bowl is filled to two thirds, dough weighs about 1 kg a litre.
    for (const { title, version } of versionsOf()) {
      if (!version.steps.some((step) => step.equipment?.kind === 'mixer')) continue;
      if (version.output.unit !== 'g') continue;
      expect(version.output.value * version.batch.max, title).toBeLessThanOrEqual(14_000);
    }
  });
});

describe('steps', () => {
  it('bake between 80 and 250 °C, freeze below −6 °C and chill between 0 and 5 °C', () => {
    for (const { title, version } of versionsOf()) {
      for (const { kind, temperatureC } of version.steps) {
        if (temperatureC === undefined) continue;
        const within = { bake: [80, 250], freeze: [-30, -6], chill: [0, 5] }[kind as string];
        if (within === undefined) continue;
        expect(temperatureC, `${title} ${kind}`).toBeGreaterThanOrEqual(within[0] ?? NaN);
        expect(temperatureC, `${title} ${kind}`).toBeLessThanOrEqual(within[1] ?? NaN);
      }
    }
  });

  it('cooling takes 90 minutes at most, and what is cooked and chilled names it', () => {
    // UK guidance: cool within 90 minutes, from memory. Local rules decide.
    for (const { title, version } of versionsOf()) {
      for (const step of version.steps.filter(({ cooling }) => cooling === true)) {
        expect(step.waitingMin, title).toBeLessThanOrEqual(90);
      }
    }
    for (const { title, version } of versionsOf(
      'custard',
      'curd',
      'ice-cream',
      'caramel',
      'fluid-gel',
    )) {
      expect(
        version.steps.some(({ cooling }) => cooling === true),
        title,
      ).toBe(true);
    }
  });

  it('at least ten components need a night: they wait eight hours or more', () => {
    const overnight = versionsOf().filter(({ version }) =>
      version.steps.some((step) => step.waitingMin >= 480),
    );
    expect(new Set(overnight.map(({ recipe }) => recipe.key)).size).toBeGreaterThanOrEqual(10);
  });
});

describe('plate cost', () => {
  const sold = data.menus.flatMap((menu) => {
    const currency = data.sites.find((site) => site.key === menu.site)?.currency ?? 'EUR';
    return menu.lines.map((line) => `${line.dish} ${currency}`);
  });
  const cases = [...new Set(sold)].sort().map((title) => {
    const [dish = '', currency] = title.split(' ');
    return { title, dish, currency: currency as CurrencyCode };
  });

  const costShare = (dish: string, currency: CurrencyCode): number => {
    const price = recipeOf(dish).prices?.find((p) => p.currency === currency);
    if (price === undefined) throw new Error(`${dish} has no price in ${currency}.`);
    const cost = [...boughtFor(dish, 1)].reduce(
      (sum, [key, quantity]) => sum + quantity * unitPrice(key, currency),
      0,
    );
    return cost / (Number(price.amount) / (1 + price.taxRateFraction));
  };

  it.each(cases)('$title costs 8 to 35 per cent of its price net of tax', ({ dish, currency }) => {
    const share = costShare(dish, currency);
    expect(share).toBeGreaterThanOrEqual(0.08);
    expect(share).toBeLessThanOrEqual(0.35);
  });

  it('most dishes meet their target and a few do not', () => {
    const over = cases.filter(
      ({ dish, currency }) =>
        costShare(dish, currency) > (recipeOf(dish).targetFoodCostFraction ?? Infinity),
    );
    expect(over.length).toBeGreaterThanOrEqual(1);
    expect(over.length).toBeLessThanOrEqual(cases.length / 4);
  });
});
