import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addWeights,
  choosePlace,
  isSamePlace,
  tryReceivers,
  weighPlan,
  type WeighedPlace,
} from '../../../api/core/central/index.ts';
import { planSite, type SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { component, dinners, supplyOf, throughBoth, tripsFrom } from './two-sites.ts';

const place = (
  makerSiteId: string | null,
  receiverSiteIds: readonly string[],
  totalMin: number,
  shortBatches = 0,
): WeighedPlace => ({
  makerSiteId,
  receiverSiteIds,
  workMin: totalMin,
  planMin: 0,
  carryingMin: 0,
  trips: 0,
  shortBatches,
  totalMin,
});

const places = fc.array(
  fc.record({
    makerSiteId: fc.constantFrom('a', 'b', null),
    receivers: fc.subarray(['c', 'd', 'e']),
    totalMin: fc.integer({ min: 0, max: 400 }),
    shortBatches: fc.constantFrom(0, 0, 0, 0.5, 2),
  }),
  { minLength: 1, maxLength: 8 },
);

describe('where a component is made', () => {
  it('is where least is short, and of those where work is least, unless what stands is nearly as good', () => {
    fc.assert(
      fc.property(places, fc.nat(), (given, pick) => {
        const all = given.map((g) => place(g.makerSiteId, g.receivers, g.totalMin, g.shortBatches));
        const standing = all[pick % all.length] ?? null;
        const least = Math.min(...all.map((one) => one.shortBatches));
        const cheapest = Math.min(
          ...all.filter((one) => one.shortBatches === least).map((one) => one.totalMin),
        );
        const free = choosePlace(all).chosen;
        expect(free.shortBatches).toBe(least);
        expect(free.totalMin).toBe(cheapest);
        const kept = choosePlace(all, standing);
        expect(kept.chosen.shortBatches).toBe(least);
        expect(kept.chosen.totalMin).toBeLessThanOrEqual(cheapest + 20);
        if (kept.why === 'stands') expect(isSamePlace(kept.chosen, standing ?? free)).toBe(true);
      }),
    );
  });

  it('moves from where it stands only for more than a clean-down', () => {
    const here = place(null, [], 100);
    expect(choosePlace([here, place('a', ['b'], 81)], here).why).toBe('stands');
    expect(choosePlace([here, place('a', ['b'], 79)], here).chosen.makerSiteId).toBe('a');
    expect(choosePlace([here, place('a', ['b'], 20, 1)], here).chosen).toBe(here);
    expect(choosePlace([place(null, [], 100, 1), place('a', ['b'], 300)]).why).toBe('less-short');
  });

  it('tries every combination of up to three receivers, each once', async () => {
    const asked: string[] = [];
    await tryReceivers(['b', 'c', 'd'], async (receivers) => {
      asked.push(receivers.join(''));
      return place('a', receivers, 0);
    });
    expect(asked.sort()).toEqual(['b', 'bc', 'bcd', 'bd', 'c', 'cd', 'd']);
  });

  it('of more receivers never ends worse than with all of them, and leaves out who costs too much', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 4, maxLength: 6 }),
        async (gains) => {
          const ids = gains.map((_, i) => `s${i}`);
          const weigh = async (receivers: readonly string[]) =>
            place(
              'a',
              receivers,
              1000 - receivers.reduce((sum, id) => sum + (gains[ids.indexOf(id)] ?? 0), 0),
            );
          const tried = await tryReceivers(ids, weigh);
          const best = choosePlace(tried).chosen.totalMin;
          expect(best).toBeLessThanOrEqual((await weigh(ids)).totalMin);
          // Gains that add up: leaving one out at a time finds the best (of at least one receiver).
          const wanted = gains.filter((gain) => gain > 0);
          const alone = Math.max(...gains);
          const most = wanted.length > 0 ? wanted.reduce((a, b) => a + b, 0) : alone;
          expect(best).toBe(1000 - most);
        },
      ),
    );
  });
});

describe('plans worked out both ways', () => {
  const hands = (input: SitePlanInput, people: number): SitePlanInput => ({
    ...input,
    shifts: input.open.map((open) => ({ ...open, people })),
  });
  async function bothWays(makerPeople: number) {
    const receiver = hands(dinners([8, 8, 8, 8]), 2);
    const maker = hands(dinners([20, 20, 20, 20]), makerPeople);
    const local = addWeights([
      weighPlan(unwrap(planSite(receiver)), receiver),
      weighPlan(unwrap(planSite(maker)), maker),
    ]);
    const supply = supplyOf([component('shell')], tripsFrom(), maker);
    const both = await throughBoth(receiver, maker, supply);
    const central = addWeights([
      weighPlan(both.plan, both.given),
      weighPlan(both.maker, both.makerGiven),
    ]);
    return { local, central, carryingMin: both.asked.costMin };
  }

  it('show what a common making saves: a set-up and a part of the hands', async () => {
    const { local, central } = await bothWays(2);
    expect(central.shortBatches).toBe(0);
    expect(local.shortBatches).toBe(0);
    expect(central.planMin).toBeLessThan(local.planMin);
    expect(central.workMin).toBeLessThan(local.workMin);
  });

  it('show where the maker has no hands for it', async () => {
    const { local, central } = await bothWays(0);
    // The maker alone is short of everything; made for the other site as well, it is short of more.
    expect(central.shortBatches).toBeGreaterThan(local.shortBatches);
  });
});
