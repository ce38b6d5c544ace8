import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planWithMakers, type PlanOne } from '../../../api/modules/prep/with-makers.ts';

/** Sites in a row: each makes for the ones with a lower number that name it. */
interface World {
  readonly makersOf: readonly (readonly number[])[];
  readonly full: readonly boolean[];
}

function planner({ makersOf, full }: World) {
  const order: { site: number; onlyPromised: boolean }[] = [];
  const planOne: PlanOne<number> = async (siteId, onlyPromised) => {
    const site = Number(siteId);
    order.push({ site, onlyPromised });
    return {
      plan: order.length,
      makerSiteIds: (makersOf[site] ?? []).map(String),
      shortSiteIds: full[site]
        ? makersOf.flatMap((makers, i) => (makers.includes(site) ? [String(i)] : []))
        : [],
    };
  };
  return { order, planOne };
}

const worlds = fc.integer({ min: 1, max: 6 }).chain((count) =>
  fc.record({
    makersOf: fc.tuple(
      ...Array.from({ length: count }, (_, i) =>
        fc.subarray(Array.from({ length: count - i - 1 }, (__, j) => i + j + 1)),
      ),
    ),
    full: fc.array(fc.boolean(), { minLength: count, maxLength: count }),
  }),
);

describe('planning a site with whoever makes for it', () => {
  it('plans receivers before makers, and then those again who are short, makers first, each once', async () => {
    await fc.assert(
      fc.asyncProperty(worlds, async (world) => {
        const { order, planOne } = planner(world);
        const { plan, siteIds } = await planWithMakers('0', planOne);
        const again = order.filter((one) => one.onlyPromised).map(({ site }) => site);
        const free = order.filter((one) => !one.onlyPromised).map(({ site }) => site);
        // Nothing asks anew once the second round has begun.
        expect(order.slice(0, free.length).map(({ site }) => site)).toEqual(free);
        expect(free[0]).toBe(0);
        expect(new Set(again).size).toBe(again.length);
        for (const [at, site] of free.entries()) {
          const asked = free.slice(0, at).some((other) => world.makersOf[other]?.includes(site));
          expect(site === 0 || asked).toBe(true);
        }
        // Whoever a full maker makes for is planned again after the first round.
        for (const maker of new Set(free)) {
          if (!world.full[maker]) continue;
          for (const [i, makers] of world.makersOf.entries()) {
            if (makers.includes(maker)) expect(again).toContain(i);
          }
        }
        const last = order.map(({ site }) => site).lastIndexOf(0);
        expect(plan).toBe(last + 1);
        expect(new Set(siteIds)).toEqual(new Set(order.map(({ site }) => String(site))));
      }),
    );
  });

  it('ends though sites make for each other in a circle', async () => {
    const { order, planOne } = planner({ makersOf: [[1], [0]], full: [true, true] });
    await planWithMakers('0', planOne);
    expect(order.length).toBeLessThan(6);
  });
});
