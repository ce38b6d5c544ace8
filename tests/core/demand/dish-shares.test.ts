import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dishShares } from '../../../api/core/demand/index.ts';
import type { DishSharesInput, ServiceSales } from '../../../api/core/demand/index.ts';
import { serviceDateOf, weekdayOf } from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { seededUniform } from '../forecast/simulated-service.ts';

const FIRST = 20_000;
const sale = (
  i: number,
  covers: number,
  portions: Record<string, number>,
  soldOut?: string[],
): ServiceSales => ({
  serviceDate: serviceDateOf(FIRST + i),
  weekday: weekdayOf(FIRST + i),
  covers,
  portions,
  ...(soldOut === undefined ? {} : { soldOut }),
});
const learn = (input: DishSharesInput) =>
  new Map(unwrap(dishShares(input)).map((share) => [share.dishId, share]));
const meanOf = (input: DishSharesInput, dishId: string): number =>
  learn(input).get(dishId)?.mean ?? Number.NaN;
const prior = (shares: Record<string, number>, strength = 100, course?: string) =>
  Object.entries(shares).map(([dishId, share]) => ({
    dishId,
    share,
    strength,
    ...(course === undefined ? {} : { course }),
  }));

/** Portions that guests of a simulated service ask for, each of them choosing on their own. */
function asked(uniform: () => number, covers: number, share: number): number {
  let count = 0;
  for (let guest = 0; guest < covers; guest += 1) if (uniform() < share) count += 1;
  return count;
}

describe('the share of a dish', () => {
  it('is the stated share before anything is sold', () => {
    expect(meanOf({ prior: prior({ tart: 0.3, cake: 0.2 }), sales: [] }, 'tart')).toBe(0.3);
  });

  it('moves from what was stated to what is sold as covers come in (Dirichlet posterior)', () => {
    const sales = [sale(0, 100, { tart: 40, cake: 10 }), sale(1, 100, { tart: 40, cake: 10 })];
    const known = learn({
      prior: prior({ tart: 0.3, cake: 0.2 }, 100, 'dessert'),
      sales,
      forgetting: 1,
    });
    // 100 covers' worth of 30 and 20, then 80 and 20 of 200 covers: 110/300 and 40/300.
    expect(known.get('tart')?.mean).toBeCloseTo(110 / 300, 9);
    expect(known.get('cake')?.mean).toBeCloseTo(40 / 300, 9);
    for (const share of known.values()) {
      const sum = share.terms.reduce((a, t) => a + t.value * t.factor, 0);
      expect(sum).toBeCloseTo(share.mean, 9);
    }
  });

  it('forgets: after a change the newer sales count for more', () => {
    const days = Array.from({ length: 120 }, (_, i) => sale(i, 100, { tart: i < 60 ? 10 : 40 }));
    const input = { prior: prior({ tart: 0.2 }), sales: days };
    const even = meanOf({ ...input, forgetting: 1 }, 'tart');
    const fading = meanOf({ ...input, forgetting: 0.95 }, 'tart');
    expect(even).toBeLessThan(0.27);
    expect(fading).toBeGreaterThan(0.35);
  });

  it('does not depend on the order in which sales are listed (property)', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            covers: fc.integer({ min: 1, max: 150 }),
            part: fc.integer({ min: 0, max: 90 }),
          }),
          {
            minLength: 2,
            maxLength: 20,
          },
        ),
        (rows) => {
          const sales = rows.map((r, i) => sale(i, r.covers, { tart: r.part, cake: 90 - r.part }));
          const input = { prior: prior({ tart: 0.3, cake: 0.3 }, 50, 'dessert'), sales };
          expect(learn({ ...input, sales: [...sales].reverse() })).toEqual(learn(input));
          for (const share of learn(input).values()) {
            expect(share.mean).toBeGreaterThan(0);
            expect(share.strength).toBeGreaterThanOrEqual(50);
            expect(share.dayVariation).toBeGreaterThanOrEqual(0);
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  it('of a dish new on the menu stays as stated, and the others of its course make room', () => {
    const sales = Array.from({ length: 40 }, (_, i) => sale(i, 100, { tart: 30, cake: 30 }));
    const known = learn({
      prior: prior({ tart: 0.2, cake: 0.2, sorbet: 0.2 }, 100, 'dessert'),
      sales,
      forgetting: 1,
    });
    // Six guests in ten take a dessert; one stated third of the course stays with the new dish.
    const total = [...known.values()].reduce((a, s) => a + s.mean, 0);
    expect(total).toBeGreaterThan(0.55);
    expect(total).toBeLessThan(0.65);
    const sorbet = known.get('sorbet');
    expect((sorbet?.mean ?? 0) / total).toBeCloseTo(1 / 3, 6);
    expect(sorbet?.servicesSeen).toBe(0);
    expect(known.get('tart')?.mean).toBeLessThan(0.3);
    expect(known.get('tart')?.mean).toBeCloseTo(known.get('cake')?.mean ?? 0, 9);
  });

  it('is learned by weekday, starting from that of all days', () => {
    const sales = Array.from({ length: 140 }, (_, i) =>
      sale(i, 100, { tart: weekdayOf(FIRST + i) === 7 ? 60 : 20 }),
    );
    const tart = learn({ prior: prior({ tart: 0.25 }), sales, forgetting: 1 }).get('tart');
    expect(tart?.byWeekday[7].mean).toBeGreaterThan(0.5);
    expect(tart?.byWeekday[2].mean).toBeLessThan(0.24);
    const short = learn({ prior: prior({ tart: 0.25 }), sales: sales.slice(0, 7) }).get('tart');
    expect(short?.byWeekday[7].mean).toBeLessThan(tart?.byWeekday[7].mean ?? 0);
  });

  it('may go above one portion a cover, and shares need not add up to 1', () => {
    const sales = Array.from({ length: 60 }, (_, i) => sale(i, 50, { bite: 120, tart: 30 }));
    const known = learn({ prior: prior({ bite: 1.5, tart: 0.8 }), sales, forgetting: 1 });
    expect(known.get('bite')?.mean).toBeGreaterThan(2.2);
    expect(known.get('tart')?.mean).toBeLessThan(0.65);
  });
});

describe('a day on which a dish ran out', () => {
  it('never lowers its share: it says "at least so many" (property)', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 60 }),
        fc.integer({ min: 60, max: 140 }),
        (sold, covers) => {
          const before = [sale(0, 100, { tart: 30 }), sale(1, 100, { tart: 32 })];
          const input = { prior: prior({ tart: 0.3 }), sales: before, forgetting: 1 };
          const without = meanOf(input, 'tart');
          const with1 = { ...input, sales: [...before, sale(2, covers, { tart: sold }, ['tart'])] };
          expect(meanOf(with1, 'tart')).toBeGreaterThanOrEqual(without - 1e-6);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('counted as demand would hide a third of it; as "at least" the truth is found (simulated)', () => {
    const uniform = seededUniform(4);
    const truth = 0.4;
    const made = 24;
    const sales = Array.from({ length: 250 }, (_, i) => {
      const covers = 40 + Math.floor(60 * uniform());
      const wanted = asked(uniform, covers, truth);
      return sale(
        i,
        covers,
        { tart: Math.min(wanted, made) },
        wanted >= made ? ['tart'] : undefined,
      );
    });
    const naive = sales.map(({ soldOut: _ran, ...rest }) => rest as ServiceSales);
    const input = { prior: prior({ tart: 0.3 }, 100), forgetting: 1 };
    expect(meanOf({ ...input, sales: naive }, 'tart')).toBeLessThan(0.34);
    expect(Math.abs(meanOf({ ...input, sales }, 'tart') - truth)).toBeLessThan(0.03);
  });
});

describe('bad input to shares', () => {
  const good = { prior: prior({ tart: 0.3 }), sales: [sale(0, 100, { tart: 30 })] };
  it.each([
    [{ ...good, prior: prior({ tart: -0.1 }) }, ['prior', 0, 'share']],
    [{ ...good, prior: prior({ tart: 0.1 }, 0) }, ['prior', 0, 'strength']],
    [{ ...good, prior: [...good.prior, ...good.prior] }, ['prior', 1, 'dishId']],
    [{ ...good, sales: [sale(0, -1, {})] }, ['sales', 0, 'covers']],
    [{ ...good, sales: [sale(0, 10, { tart: 1.5 })] }, ['sales', 0, 'portions', 'tart']],
    [{ ...good, forgetting: 0 }, ['forgetting']],
    [{ ...good, weekdayStrength: 0 }, ['weekdayStrength']],
  ])('is refused with its path: %#', (input, path) => {
    const refused = dishShares(input);
    expect(refused.ok ? [] : refused.error.path).toEqual(path);
  });
});
