import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { COMING_LOT } from '../../../api/core/central/index.ts';
import type { Weekday } from '../../../api/core/calendar/index.ts';
import { evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { at, versions } from '../planning/lake-scenario.ts';
import { component, dinners, supplyOf, throughBoth, tripsFrom } from './two-sites.ts';

const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0);

describe('a component made at another site', () => {
  it('is asked for in full containers, made there, and eaten in date; nothing is lost on the way', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.record({
          covers: fc.array(fc.integer({ min: 0, max: 90 }), { minLength: 1, maxLength: 4 }),
          own: fc.integer({ min: 0, max: 60 }),
          itemId: fc.constantFrom('shell', 'curd'),
          weekdays: fc.constantFrom<readonly Weekday[]>([1, 3, 5], [2], [1, 2, 3, 4, 5, 6, 7]),
          limit: fc.constantFrom(undefined, 2, 5),
          keepsHours: fc.constantFrom(undefined, 20, 40),
          after: fc.constantFrom<'making' | 'transfer'>('making', 'transfer'),
          restMadeHere: fc.boolean(),
        }),
        async ({ covers, own, itemId, weekdays, limit, keepsHours, after, restMadeHere }) => {
          const trips = tripsFrom(
            { weekdays },
            limit === undefined ? {} : { containerLimit: limit },
          );
          const keeping = keepsHours === undefined ? null : { minutes: keepsHours * 60, after };
          const made = component(itemId, { restMadeHere, keeping });
          const makerInput = dinners([own, own, 0, 0]);
          const supply = supplyOf([made], trips, makerInput);
          const { asking, asked, given, plan, wanted, makerGiven, maker, promised } =
            await throughBoth(dinners(covers), makerInput, supply);

          // What leaves is what arrives.
          const coming = given.lots.filter(({ id }) => id.startsWith(COMING_LOT));
          const sent = sum(asked.transfers.map(({ quantity }) => quantity));
          expect(sum(coming.map(({ quantity }) => quantity))).toBe(sent);
          expect(sum(makerGiven.outsideNeeds.map(({ quantity }) => quantity))).toBe(sent);
          // Nothing is used before it is there, or after its use-by.
          for (const use of plan.stockUses) {
            const lot = coming.find(({ id }) => id === use.lotId);
            if (!lot) continue;
            expect(use.usedBy.atMin).toBeGreaterThanOrEqual(lot.availableFromMin);
            expect(use.usedBy.atMin).toBeLessThanOrEqual(lot.useByMin);
          }
          // What was needed comes, is made here, or is named as short.
          const needed = sum(
            asking.neededFromElsewhere
              .filter((need) => need.itemId === itemId)
              .map(({ quantity }) => quantity),
          );
          const eaten = sum(
            plan.stockUses
              .filter(({ lotId }) => lotId.startsWith(COMING_LOT))
              .map(({ quantity }) => quantity),
          );
          const short = sum(
            plan.shortages.filter((s) => s.itemId === itemId).map(({ quantity }) => quantity),
          );
          const here = sum(
            plan.tasks.filter((t) => t.itemId === itemId).map((t) => t.neededQuantity),
          );
          expect(eaten + short + here).toBeCloseTo(needed, 3);
          if (!restMadeHere) {
            expect(here).toBe(0);
            for (const one of plan.shortages.filter((s) => s.itemId === itemId)) {
              expect(one.reason).toBe('made-elsewhere');
              expect(one.message).toContain('Serafina');
            }
          }
          // The maker's runs for it are ready when it leaves, and keep long enough.
          for (const task of maker.tasks) {
            for (const need of task.neededBy.filter(({ kind }) => kind === 'transfer')) {
              const transfer = wanted.find(({ id }) => need.id === `transfer:${id}`);
              expect(task.readyMin).toBeLessThanOrEqual(transfer?.leaveMin ?? -1);
              expect(task.useByMin).toBeGreaterThanOrEqual(transfer?.lotUntilMin ?? Infinity);
              expect(need.label).toMatch(/^Molo, leaves (Mon|Tue|Wed|Thu|Fri|Sat|Sun) 14:00$/);
            }
          }
          for (const { id, quantity, containerQuantity } of wanted) {
            const promise = promised.get(id) ?? -1;
            expect(promise).toBeGreaterThanOrEqual(0);
            expect(promise).toBeLessThanOrEqual(quantity);
            expect(promise % containerQuantity).toBe(0);
          }
          // Every figure can be worked out again from the covers.
          for (const { node, quantity } of asked.transfers) {
            const again = evaluate(asked.explanation, node, { quantile: planQuantile });
            expect(unwrap(again)).toBeCloseTo(quantity, 9);
          }
        },
      ),
      { numRuns: 40 },
    );
  }, 180_000);

  it('puts nothing of its own ingredients on the receiving site’s list', async () => {
    const makerInput = dinners([10, 0, 0, 0]);
    const supply = supplyOf([component('curd')], tripsFrom(), makerInput);
    const { plan, maker } = await throughBoth(dinners([40]), makerInput, supply);
    expect(plan.tasks.map(({ itemId }) => itemId)).not.toContain('curd');
    expect(plan.ingredientNeeds.map(({ ingredientId }) => ingredientId)).not.toContain('lemon');
    expect(maker.ingredientNeeds.map(({ ingredientId }) => ingredientId)).toContain('lemon');
    expect(plan.shortages).toEqual([]);
  });

  it('holds from the lead’s date on: before it each site makes its own', async () => {
    const makerInput = dinners([10, 0, 0, 0]);
    const supply = supplyOf(
      [component('shell', { fromDate: '2026-03-12' })],
      tripsFrom(),
      makerInput,
    );
    const { asked, plan } = await throughBoth(dinners([40, 40, 40, 40]), makerInput, supply);
    const own = plan.tasks.filter(({ itemId }) => itemId === 'shell');
    const dates = own.flatMap((task) => task.neededBy.map(({ serviceDate }) => serviceDate));
    expect(new Set(dates)).toEqual(new Set(['2026-03-10', '2026-03-11']));
    expect(
      asked.transfers.flatMap(({ serves }) => serves.map((s) => s.serviceDate)).sort(),
    ).toEqual(['2026-03-12', '2026-03-13']);
  });

  it('of two recipe versions goes apart, each for the dates its version holds for', async () => {
    const [first] = component('curd').versions;
    if (!first) throw new Error('The curd has a version.');
    const second = { ...first, versionId: 'ver-curd-2', firstServiceDate: '2026-03-12' };
    const twice = versions.flatMap((version) =>
      version.itemId === 'curd'
        ? [
            version,
            {
              ...version,
              versionId: second.versionId,
              versionNumber: 2,
              firstServiceDate: '2026-03-12',
            },
          ]
        : [version],
    );
    const makerInput = { ...dinners([10, 0, 0]), versions: twice };
    const supply = supplyOf(
      [component('curd', { versions: [first, second] })],
      tripsFrom({ weekdays: [2] }),
      makerInput,
    );
    const { asked } = await throughBoth(
      { ...dinners([0, 40, 40]), versions: twice },
      makerInput,
      supply,
    );
    expect(
      asked.transfers.map(({ versionId, tripId, serviceDate }) => [versionId, tripId, serviceDate]),
    ).toEqual([
      ['ver-curd-1', '2026-03-10', '2026-03-11'],
      ['ver-curd-2', '2026-03-10', '2026-03-12'],
    ]);
  });

  it('is promised only as far as the maker has hands, and the rest is named at the maker', async () => {
    const slow = versions.map((version) =>
      version.itemId === 'shell'
        ? {
            ...version,
            steps: [{ id: 'line', workingMin: 120, waitingMin: 0, growingFraction: 1 }],
          }
        : version,
    );
    const kitchen = dinners([0]);
    const makerInput = {
      ...kitchen,
      versions: slow,
      nowMin: at('2026-03-10', '06:30'),
      shifts: kitchen.open.map((open) => ({ ...open, people: 1 })),
    };
    const made = component('shell', {
      versions: component('shell').versions.map((version) => ({
        ...version,
        steps: [{ id: 'line', workingMin: 120, waitingMin: 0 }],
      })),
    });
    const supply = supplyOf([made], tripsFrom({ weekdays: [2] }), makerInput);
    const { asked, maker, promised } = await throughBoth(dinners([200]), makerInput, supply);
    const [wanted] = asked.transfers;
    expect(wanted?.quantity).toBeGreaterThan(60);
    // One pair of hands, seven hours, four for a making of forty shells: one making, three full boxes.
    expect([...promised.values()]).toEqual([36]);
    expect(maker.shortages.map(({ neededBy, reason }) => [neededBy, reason])).toContainEqual([
      'Molo, leaves Tue 14:00',
      'no-hands',
    ]);
  });
});
