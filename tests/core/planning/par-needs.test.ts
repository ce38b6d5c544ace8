import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile, planSite } from '../../../api/core/planning/index.ts';
import type { SitePlan, SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { planInput, service } from './lake-scenario.ts';

const TUESDAY = '2026-03-10';
const WEDNESDAY = '2026-03-11';
const tart = [{ dishId: 'tart', share: 0.4 }];
const source = { kind: 'par level', id: 'par_1' };
const plan = (input: SitePlanInput): SitePlan => unwrap(planSite(input));
const figure = (result: SitePlan, node: string): number =>
  unwrap(evaluate(result.explanation, node, { quantile: planQuantile }));
/** What is asked of a component for a day, by whoever asks. */
const askedFor = (result: SitePlan, itemId: string, date: string): number =>
  result.explanation.nodes
    .filter((n) => n.id.startsWith('need:') || n.id.startsWith('par:'))
    .filter((n) => n.label.startsWith(itemId) && n.id.includes(date) && !n.id.endsWith(':wanted'))
    .reduce((sum, n) => sum + n.value, 0);

describe('portions that a person fixed', () => {
  it('are planned as they are, whatever is expected, and name where they come from', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 200 }), fc.integer({ min: 1, max: 120 }), (n, mean) => {
        const slot = service(TUESDAY, 'Dinner', mean, tart);
        const dishes = slot.dishes.map((dish) => ({
          ...dish,
          fixedPortions: n,
          levelSource: source,
        }));
        const result = plan(planInput([{ ...slot, dishes }]));
        const [portions] = result.portions;
        expect(portions?.portions).toBe(n);
        const node = result.explanation.nodes.find((one) => one.id === portions?.node);
        expect(node?.source).toEqual(source);
      }),
      { numRuns: 25 },
    );
  });
});

describe('a level that a par gives', () => {
  it('is named by the last node of the portions, and changes no figure by being named', () => {
    const slot = service(TUESDAY, 'Dinner', 40, tart);
    const named = slot.dishes.map((dish) => ({ ...dish, levelSource: source }));
    const plain = plan(planInput([slot]));
    const result = plan(planInput([{ ...slot, dishes: named }]));
    expect(result.portions[0]?.portions).toBe(plain.portions[0]?.portions);
    const node = result.portions[0]?.node ?? '';
    expect(result.explanation.nodes.find((one) => one.id === node)?.source).toEqual(source);
    expect(figure(result, node)).toBe(result.portions[0]?.portions);
  });
});

describe('a quantity of a component wanted over some days', () => {
  const slots = [service(TUESDAY, 'Dinner', 40, tart), service(WEDNESDAY, 'Dinner', 40, tart)];
  const withPar = (quantity: number) =>
    plan({
      ...planInput(slots),
      componentPars: [
        {
          kind: 'quantity',
          itemId: 'curd',
          fromDate: WEDNESDAY,
          toDate: WEDNESDAY,
          quantity,
          source,
        },
      ],
    });
  const plain = plan(planInput(slots));
  const without = askedFor(plain, 'curd', WEDNESDAY);

  it('is there in all: what the services do not need of it is added, never less than they need', () => {
    expect(without).toBeGreaterThan(0);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 20_000, noNaN: true }), (quantity) => {
        const result = withPar(quantity);
        expect(askedFor(result, 'curd', WEDNESDAY)).toBeCloseTo(Math.max(quantity, without), 6);
        expect(askedFor(result, 'curd', TUESDAY)).toBe(askedFor(plain, 'curd', TUESDAY));
      }),
      { numRuns: 25 },
    );
  });

  it('shows in what a run is made for, and the run can be worked out from its explanation', () => {
    const result = withPar(without + 5000);
    const task = result.tasks.find(
      (one) => one.itemId === 'curd' && one.neededBy.some((need) => need.id.startsWith('par:')),
    );
    expect(task?.neededBy.map((need) => need.label).join()).toContain('Par of curd');
    expect(figure(result, task?.quantityNode ?? '')).toBe(task?.quantity);
  });
});

describe('a quantity of a component wanted at every review', () => {
  const dates = ['2026-03-10', '2026-03-11', '2026-03-12', '2026-03-13'];
  const dateless = planInput(dates.map((date, i) => service(date, 'Dinner', 30 + 10 * i, tart)));
  const keeping = (days: number): SitePlanInput => ({
    ...dateless,
    versions: dateless.versions.map((version) =>
      version.itemId === 'curd' ? { ...version, shelfLifeMin: days * 1440 } : version,
    ),
  });
  const reviewed = (input: SitePlanInput, quantity: number) =>
    plan({
      ...input,
      componentPars: dates.map((date) => ({
        kind: 'quantity' as const,
        itemId: 'curd',
        fromDate: date,
        toDate: date,
        quantity,
        source,
      })),
    });
  const toppedUp = (result: SitePlan) => dates.map((date) => figure(result, `par:curd:${date}`));

  it('is topped up once and made up to the same each day while what is left keeps', () => {
    const input = keeping(5);
    const needs = dates.map((date) => askedFor(plan(input), 'curd', date));
    expect([...needs].sort((a, b) => a - b)).toEqual(needs);
    const quantity = Math.max(...needs) + 1000;
    // The need grows, so what the first day was topped up by is enough for all later ones.
    const [first, ...later] = toppedUp(reviewed(input, quantity));
    expect(first).toBeCloseTo(quantity - (needs[0] ?? 0), 6);
    for (const added of later) expect(added).toBe(0);
  });

  it('grows by what a quieter day needs less, and never has more there than is wanted', () => {
    const quiet = planInput(dates.map((date, i) => service(date, 'Dinner', 70 - 15 * i, tart)));
    const needs = dates.map((date) => askedFor(plan(quiet), 'curd', date));
    const quantity = Math.max(...needs) + 1000;
    let there = 0;
    for (const [i, added] of toppedUp(reviewed(quiet, quantity)).entries()) {
      there += added;
      expect(there + (needs[i] ?? 0)).toBeCloseTo(quantity, 6);
    }
  });

  it('lasts as long as the needs turn it over, and what they leave of it is thrown away', () => {
    const input = keeping(2);
    const needs = dates.map((date) => askedFor(plan(input), 'curd', date));
    const [, second = 0, third = 0] = needs;
    const most = Math.max(...needs);
    // Little is left over: every day eats the old and has it made fresh.
    const [, ...later] = toppedUp(reviewed(input, most + 1));
    for (const added of later) expect(added).toBe(0);
    // Much is left over: on the third day only what the second ate, made fresh for it, is there.
    const quantity = 4 * most;
    const [, onSecond, onThird] = toppedUp(reviewed(input, quantity));
    expect(onSecond).toBe(0);
    expect(onThird).toBeCloseTo(quantity - third - second, 6);
  });

  it('is made anew where what was left cannot keep and is not eaten in time', () => {
    const input = keeping(1);
    const needs = dates.map((date) => askedFor(plan(input), 'curd', date));
    const quantity = 2 * Math.max(...needs) + 1000;
    const added = toppedUp(reviewed(input, quantity));
    for (const [i, one] of added.entries()) expect(one).toBeCloseTo(quantity - (needs[i] ?? 0), 6);
  });
});

describe('a component with a level of its own', () => {
  it('is drawn for the portions at that level, and the rest of the plate for the dish’s', () => {
    const slot = service(TUESDAY, 'Dinner', 40, tart);
    const plain = plan(planInput([slot]));
    const sure = plan({
      ...planInput([slot]),
      componentPars: [{ kind: 'level', itemId: 'curd', level: 0.995, source }],
    });
    expect(askedFor(sure, 'curd', TUESDAY)).toBeGreaterThan(askedFor(plain, 'curd', TUESDAY));
    expect(askedFor(sure, 'shell', TUESDAY)).toBe(askedFor(plain, 'shell', TUESDAY));
    expect(sure.portions).toEqual(plain.portions);
  });
});
