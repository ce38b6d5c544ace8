import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { serviceDateOf } from '../../../api/core/calendar/index.ts';
import { dishDemand } from '../../../api/core/demand/index.ts';
import { cappedCount, quantile } from '../../../api/core/distributions/index.ts';
import { evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile, planSite } from '../../../api/core/planning/index.ts';
import type { SitePlan, SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { at, both, items, planInput, service, version, versions, ZONE } from './lake-scenario.ts';

const plan = (input: SitePlanInput): SitePlan => unwrap(planSite(input));
const tasksOf = (result: SitePlan, itemId: string) =>
  result.tasks.filter((task) => task.itemId === itemId);
const needOf = (result: SitePlan, ingredientId: string): number =>
  result.ingredientNeeds
    .filter((need) => need.ingredientId === ingredientId)
    .reduce((sum, need) => sum + need.quantity, 0);

describe('the plan of a site', () => {
  it("goes from covers to portions with the dish's own chance of being enough", () => {
    const result = plan(planInput([service('2026-03-10', 'Lunch', 40, both)]));
    const { quantiles } = unwrap(
      dishDemand({
        covers: { kind: 'negative-binomial', mean: 40, size: 20 },
        share: { mean: 0.4, strength: Infinity },
        levels: [0.85],
      }),
    );
    expect(result.portions.find((p) => p.dishId === 'tart')?.portions).toBe(quantiles[0]?.portions);
    expect(quantiles[0]?.portions).toBeGreaterThan(16);
  });

  it('never plans for more guests than the room takes, and explains that too', () => {
    const slot = service('2026-03-10', 'Dinner', 40, [{ dishId: 'tart', share: 1 }]);
    const full = cappedCount(slot.distribution, 42);
    expect(full.kind).toBe('table');
    const result = plan(
      planInput([
        {
          ...slot,
          terms: [{ label: 'Expected', value: full.mean, factor: 1 }],
          distribution: full,
          dishes: slot.dishes.map((dish) => ({ ...dish, perCover: 'at-most-one', level: 0.95 })),
        },
      ]),
    );
    expect(result.portions[0]?.portions).toBe(42);
    expect(result.covers[0]?.high).toBe(42);
    for (const node of [result.portions[0]?.node, result.covers[0]?.highNode]) {
      expect(unwrap(evaluate(result.explanation, node ?? ''))).toBe(42);
    }
  });

  it('plans more for a share it is less sure of', () => {
    const portionsWith = (sure: object) => {
      const slot = service('2026-03-10', 'Lunch', 40, [{ dishId: 'tart', share: 0.4 }]);
      const dishes = slot.dishes.map((dish) => ({ ...dish, ...sure }));
      return plan(planInput([{ ...slot, dishes }])).portions[0]?.portions ?? 0;
    };
    const certain = portionsWith({});
    expect(portionsWith({ shareStrength: 20 })).toBeGreaterThan(certain);
    expect(portionsWith({ shareStrength: 1e9, shareDayVariation: 0.2 })).toBeGreaterThan(certain);
    // Those who ordered beforehand choose nothing more of the dish.
    expect(portionsWith({ preOrdered: 10, preOrderedCovers: 10 })).toBeLessThan(certain + 10);
  });

  it('counts pre-ordered portions exactly, on top', () => {
    const without = plan(
      planInput([service('2026-03-10', 'Lunch', 40, [{ dishId: 'tart', share: 0.4 }])]),
    );
    const withOrders = plan(
      planInput([
        service('2026-03-10', 'Lunch', 40, [{ dishId: 'tart', share: 0.4, preOrdered: 12 }]),
      ]),
    );
    expect(withOrders.portions[0]?.portions).toBe((without.portions[0]?.portions ?? 0) + 12);
  });

  it('makes a component that sets for hours the day before lunch, inside working hours', () => {
    const result = plan(planInput([service('2026-03-10', 'Lunch', 40, both)]));
    const [curd] = tasksOf(result, 'curd');
    expect(curd?.makeDate).toBe('2026-03-09');
    expect(curd?.readyMin).toBeLessThanOrEqual(at('2026-03-10', '12:00'));
    expect(curd?.startMin).toBeGreaterThanOrEqual(at('2026-03-09', '07:00'));
    expect(curd?.startMin).toBeLessThan(at('2026-03-09', '23:00'));
  });

  it('rounds each level to whole batches and draws the level below from the rounded amount', () => {
    const result = plan(
      planInput([service('2026-03-10', 'Dinner', 50, [{ dishId: 'tart', share: 0.4 }])]),
    );
    const portions = result.portions[0]?.portions ?? 0;
    const [curd] = tasksOf(result, 'curd');
    expect(curd?.batches).toBe(Math.ceil((portions * 60) / 1200 / 0.5) * 0.5);
    const shells = tasksOf(result, 'shell').reduce((sum, task) => sum + task.batches, 0);
    expect(shells).toBe(Math.ceil(portions / 20));
    const paste = tasksOf(result, 'sweet-paste').reduce((sum, task) => sum + task.batches, 0);
    expect(paste).toBe(Math.ceil((shells * 700) / 0.95 / 1000));
    // One egg for each batch of paste, eight for each of curd.
    expect(needOf(result, 'egg')).toBeCloseTo(paste + 8 * (curd?.batches ?? 0), 9);
  });

  it('splits a run into makings no larger than the batch maximum', () => {
    const result = plan(
      planInput([service('2026-03-10', 'Dinner', 200, [{ dishId: 'tart', share: 0.5 }])]),
    );
    const [shell] = tasksOf(result, 'shell');
    expect(shell?.batches).toBeGreaterThan(2);
    expect(shell?.makings).toBe(Math.ceil((shell?.batches ?? 0) / 2));
  });

  it('takes stock in date first, first-expiring first, and leaves expired stock alone', () => {
    const services = [service('2026-03-10', 'Dinner', 40, [{ dishId: 'tart', share: 0.4 }])];
    const base = { itemId: 'curd', availableFromMin: at('2026-03-08', '12:00') };
    const result = plan(
      planInput(services, {
        lots: [
          { ...base, id: 'late', quantity: 300, useByMin: at('2026-03-11', '23:00') },
          { ...base, id: 'soon', quantity: 300, useByMin: at('2026-03-10', '23:00') },
          { ...base, id: 'gone', quantity: 900, useByMin: at('2026-03-10', '18:00') },
        ],
      }),
    );
    expect(result.stockUses.map((use) => use.lotId)).toEqual(['soon', 'late']);
    const needed = (result.portions[0]?.portions ?? 0) * 60 - 600;
    expect(tasksOf(result, 'curd')[0]?.neededQuantity).toBeCloseTo(needed, 6);
    expect(result.leftUnused.map((lot) => lot.lotId)).toEqual(['gone']);
  });

  it('counts lemons by the part that needs most, not by the sum, and says which part it is', () => {
    const result = plan(
      planInput([service('2026-03-10', 'Lunch', 40, [{ dishId: 'tart', share: 0.4 }])]),
    );
    const batches = tasksOf(result, 'curd')[0]?.batches ?? 0;
    const forJuice = (300 * batches) / 48;
    const forZest = (12 * batches) / 3;
    expect(needOf(result, 'lemon')).toBe(Math.ceil(Math.max(forJuice, forZest)));
    const lemon = result.ingredientNeeds.find((need) => need.ingredientId === 'lemon');
    expect(lemon?.drivenBy).toBe('lemon-juice');
    expect(result.ingredientNeeds.some((need) => need.ingredientId === 'lemon-zest')).toBe(false);
  });

  it('puts trim losses back: plums as purchased', () => {
    const result = plan(
      planInput([service('2026-03-10', 'Dinner', 40, [{ dishId: 'sponge-plate', share: 0.5 }])]),
    );
    const batches = tasksOf(result, 'roast-plums').reduce((sum, task) => sum + task.batches, 0);
    // USDA SR28 NDB 09279: plums lose 6% as pits, so 2000 g stoned is 2127.7 g bought.
    expect(needOf(result, 'plum')).toBeCloseTo((batches * 2000) / 0.94, 6);
  });

  it('uses what roasting leaves as juice before anything else, and says when it is not enough', () => {
    const enough = plan(
      planInput([service('2026-03-10', 'Dinner', 40, [{ dishId: 'sponge-plate', share: 0.5 }])]),
    );
    expect(enough.shortages).toEqual([]);
    const thirsty = versions.map((v) =>
      v.itemId === 'sponge-plate'
        ? version('sponge-plate', {
            output: 1,
            lines: [
              { id: 'a', itemId: 'roast-plums', quantity: 30, yieldFraction: 1, perBatch: false },
              { id: 'b', itemId: 'plum-juice', quantity: 80, yieldFraction: 1, perBatch: false },
            ],
          })
        : v,
    );
    const short = plan(
      planInput([service('2026-03-10', 'Dinner', 40, [{ dishId: 'sponge-plate', share: 0.5 }])], {
        versions: thirsty,
      }),
    );
    expect(short.shortages).toHaveLength(1);
    expect(short.shortages[0]).toMatchObject({ itemId: 'plum-juice', reason: 'by-product-only' });
    const allowed = thirsty.map((v) =>
      v.itemId === 'roast-plums'
        ? version('roast-plums', {
            output: 1500,
            lines: [
              { id: 'c', itemId: 'plum', quantity: 2000, yieldFraction: 0.94, perBatch: false },
            ],
            byProducts: [{ itemId: 'plum-juice', quantity: 400, mayStartBatch: true }],
          })
        : v,
    );
    const started = plan(
      planInput([service('2026-03-10', 'Dinner', 40, [{ dishId: 'sponge-plate', share: 0.5 }])], {
        versions: allowed,
      }),
    );
    expect(started.shortages).toEqual([]);
    const batches = tasksOf(started, 'roast-plums').reduce((sum, task) => sum + task.batches, 0);
    expect(batches * 400).toBeGreaterThanOrEqual((started.portions[0]?.portions ?? 0) * 80);
  });

  it('names what cannot be ready any more instead of leaving it out', () => {
    const input = planInput([service('2026-03-09', 'Lunch', 40, [{ dishId: 'tart', share: 0.4 }])]);
    const result = plan(input);
    const short = result.shortages.find((s) => s.itemId === 'curd');
    expect(short).toMatchObject({ reason: 'too-late-to-make', serviceDate: '2026-03-09' });
    expect(short?.quantity).toBeCloseTo((result.portions[0]?.portions ?? 0) * 60, 6);
  });

  it('follows the version in force on each service date', () => {
    const richer = version('curd', {
      number: 2,
      from: '2026-03-11',
      output: 1200,
      step: 0.5,
      minimum: 0.5,
      shelfLifeHours: 72,
      lines: [
        { id: 'richer-butter', itemId: 'butter', quantity: 400, yieldFraction: 1, perBatch: false },
      ],
    });
    const dish = [{ dishId: 'tart', share: 0.4 }];
    const result = plan(
      planInput(
        [service('2026-03-10', 'Dinner', 40, dish), service('2026-03-11', 'Dinner', 40, dish)],
        {
          versions: [...versions, richer],
        },
      ),
    );
    expect(tasksOf(result, 'curd').map((task) => task.versionId)).toEqual([
      'ver-curd-1',
      'ver-curd-2',
    ]);
  });

  it('refuses a line that names an unknown item, with its path', () => {
    const broken = [
      ...versions,
      version('sponge-plate', {
        number: 2,
        output: 1,
        lines: [{ id: 'x', itemId: 'nothing', quantity: 1, yieldFraction: 1, perBatch: false }],
      }),
    ];
    const refused = planSite(
      planInput([service('2026-03-10', 'Lunch', 10, both)], { versions: broken }),
    );
    expect(refused.ok).toBe(false);
    if (!refused.ok) {
      expect(refused.error.kind).toBe('missing-component');
      expect(refused.error.path).toEqual([
        'versions',
        versions.length,
        'recipe',
        'lines',
        0,
        'itemId',
      ]);
    }
  });
});

const anyServices = fc
  .array(
    fc.record({
      day: fc.integer({ min: 0, max: 5 }),
      name: fc.constantFrom('Lunch' as const, 'Dinner' as const),
      covers: fc.integer({ min: 0, max: 120 }),
      share: fc.double({ min: 0.05, max: 1.2, noNaN: true }),
    }),
    { minLength: 1, maxLength: 8 },
  )
  .map((list) => [
    ...new Map(
      list.map((s) => [
        `${s.day}-${s.name}`,
        service(`2026-03-${String(10 + s.day)}`, s.name, s.covers, [
          { dishId: 'tart', share: s.share },
          { dishId: 'sponge-plate', share: 0.3 },
        ]),
      ]),
    ).values(),
  ]);

describe('for any run of services', () => {
  it('every figure can be worked out again from its explanation alone', () => {
    fc.assert(
      fc.property(anyServices, (services) => {
        const result = plan(planInput(services));
        const again = (node: string): number =>
          unwrap(evaluate(result.explanation, node, { quantile: planQuantile }));
        for (const task of result.tasks) {
          expect(again(task.batchesNode)).toBe(task.batches);
          expect(again(task.quantityNode)).toBe(task.quantity);
          expect(again(task.neededNode)).toBe(task.neededQuantity);
        }
        for (const need of result.ingredientNeeds) expect(again(need.node)).toBe(need.quantity);
        for (const p of result.portions) expect(again(p.node)).toBe(p.portions);
        for (const c of result.covers) {
          const slot = services.find((s) => s.id === c.serviceSlotId);
          expect(again(c.lowNode)).toBe(c.low);
          expect(again(c.highNode)).toBe(c.high);
          expect([c.low, c.high]).toEqual(
            [0.1, 0.9].map((level) =>
              quantile(slot?.distribution ?? { kind: 'point', mean: -1 }, level),
            ),
          );
        }
      }),
      { numRuns: 60 },
    );
  });

  it('every component needed is made, on stock, or listed as short; nothing is made too late or kept too long', () => {
    fc.assert(
      fc.property(anyServices, (services) => {
        const result = plan(planInput(services));
        for (const id of ['curd', 'shell', 'sponge', 'roast-plums']) {
          const perPortion = { curd: 60, shell: 1, sponge: 50, 'roast-plums': 70 }[id] ?? 0;
          const dish = id === 'curd' || id === 'shell' ? 'tart' : 'sponge-plate';
          const wanted = result.portions
            .filter((p) => p.dishId === dish)
            .reduce((sum, p) => sum + p.portions * perPortion, 0);
          const made = tasksOf(result, id).reduce((sum, task) => sum + task.neededQuantity, 0);
          const short = result.shortages
            .filter((s) => s.itemId === id)
            .reduce((sum, s) => sum + s.quantity, 0);
          expect(made + short).toBeCloseTo(wanted, 5);
        }
        for (const task of result.tasks) {
          expect(unwrap(serviceDateOf(task.startMin, ZONE))).toBe(task.makeDate);
          for (const need of task.neededBy) {
            expect(task.readyMin).toBeLessThanOrEqual(need.atMin);
            expect(task.useByMin).toBeGreaterThanOrEqual(need.atMin);
          }
          expect(task.quantity).toBeGreaterThanOrEqual(task.neededQuantity - 1e-6);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('needs of an ingredient are all dated and above zero', () => {
    fc.assert(
      fc.property(anyServices, (services) => {
        const result = plan(planInput(services));
        const ids = new Set(items.map((i) => i.id));
        for (const need of result.ingredientNeeds) {
          expect(ids.has(need.ingredientId)).toBe(true);
          expect(need.quantity).toBeGreaterThan(0);
          expect(need.certainQuantity).toBeLessThanOrEqual(need.quantity + 1e-9);
          expect(need.needDate >= '2026-03-09').toBe(true);
        }
      }),
      { numRuns: 30 },
    );
  });
});
