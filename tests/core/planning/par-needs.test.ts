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
