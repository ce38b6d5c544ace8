import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { netNeeds, type DatedNeed, type LotOnHand } from '../../../api/core/netting/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const usable = (lot: LotOnHand, need: DatedNeed): boolean =>
  lot.availableFromMin <= need.atMin && lot.useByMin >= need.untilMin;

/** Most that the lots can cover of the needs, whatever goes where: a maximum flow, unit by unit. */
function mostCovered(needs: readonly DatedNeed[], lots: readonly LotOnHand[]): number {
  // Whole units only: every unit of a need looks for a unit of a lot, pushing others aside (Kuhn).
  const units = lots.flatMap((lot) => Array.from({ length: lot.quantity }, () => lot));
  const takenBy: (DatedNeed | undefined)[] = units.map(() => undefined);
  const place = (need: DatedNeed, seen: Set<number>): boolean =>
    units.some((lot, i) => {
      if (seen.has(i) || !usable(lot, need)) return false;
      seen.add(i);
      const holder = takenBy[i];
      if (holder !== undefined && !place(holder, seen)) return false;
      takenBy[i] = need;
      return true;
    });
  let covered = 0;
  for (const need of needs) {
    for (let unit = 0; unit < need.quantity; unit += 1) if (place(need, new Set())) covered += 1;
  }
  return covered;
}

const anyNeeds = fc
  .array(
    fc.record({
      atMin: fc.integer({ min: 0, max: 12 }),
      lasts: fc.integer({ min: 0, max: 4 }),
      quantity: fc.integer({ min: 0, max: 4 }),
    }),
    { maxLength: 5 },
  )
  .map((list) =>
    list.map(({ atMin, lasts, quantity }, i) => ({
      id: `n${i}`,
      atMin,
      untilMin: atMin + lasts,
      quantity,
    })),
  );
const anyLots = fc
  .array(
    fc.record({
      availableFromMin: fc.integer({ min: 0, max: 10 }),
      keeps: fc.integer({ min: 0, max: 10 }),
      quantity: fc.integer({ min: 0, max: 4 }),
    }),
    { maxLength: 5 },
  )
  .map((list) =>
    list.map(({ availableFromMin, keeps, quantity }, i) => ({
      id: `l${i}`,
      availableFromMin,
      useByMin: availableFromMin + keeps,
      quantity,
    })),
  );

describe('netting needs against lots', () => {
  it('covers as much as any allocation can, for every first stretch of needs too', () => {
    fc.assert(
      fc.property(anyNeeds, anyLots, (needs, lots) => {
        const result = unwrap(netNeeds({ needs, lots }));
        const inOrder = result.net.map((net) => needs.find((need) => need.id === net.id));
        for (let k = 1; k <= inOrder.length; k += 1) {
          const first = inOrder.slice(0, k).filter((need) => need !== undefined);
          const wanted = first.reduce((sum, need) => sum + need.quantity, 0);
          const open = result.net.slice(0, k).reduce((sum, net) => sum + net.quantity, 0);
          expect(wanted - open).toBe(mostCovered(first, lots));
        }
      }),
      { numRuns: 400 },
    );
  });

  it('gives nothing away twice, uses only lots in date, and loses nothing', () => {
    fc.assert(
      fc.property(anyNeeds, anyLots, (needs, lots) => {
        const { allocations, net, leftovers } = unwrap(netNeeds({ needs, lots }));
        for (const { needId, lotId, quantity } of allocations) {
          const need = needs.find((n) => n.id === needId);
          const lot = lots.find((l) => l.id === lotId);
          expect(need !== undefined && lot !== undefined && usable(lot, need)).toBe(true);
          expect(quantity).toBeGreaterThan(0);
        }
        for (const lot of lots) {
          const used = allocations.filter((a) => a.lotId === lot.id);
          const left = leftovers.find((l) => l.id === lot.id)?.quantity ?? 0;
          expect(used.reduce((sum, a) => sum + a.quantity, left)).toBe(lot.quantity);
        }
        for (const need of needs) {
          const taken = allocations.filter((a) => a.needId === need.id);
          const open = net.find((n) => n.id === need.id)?.quantity ?? NaN;
          expect(taken.reduce((sum, a) => sum + a.quantity, open)).toBe(need.quantity);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('takes the lot that expires first, and leaves alone one that does not last through service', () => {
    const need = { id: 'dinner', atMin: 100, untilMin: 200, quantity: 5 };
    const lots = [
      { id: 'long', quantity: 9, availableFromMin: 0, useByMin: 900 },
      { id: 'ends mid-service', quantity: 9, availableFromMin: 0, useByMin: 150 },
      { id: 'soon', quantity: 2, availableFromMin: 0, useByMin: 200 },
    ];
    const { allocations } = unwrap(netNeeds({ needs: [need], lots }));
    expect(allocations.map((a) => [a.lotId, a.quantity])).toEqual([
      ['soon', 2],
      ['long', 3],
    ]);
  });

  it('refuses a negative amount and an id used twice, with the path', () => {
    const need = { id: 'a', atMin: 0, untilMin: 1, quantity: 1 };
    const negative = netNeeds({ needs: [need, { ...need, id: 'b', quantity: -1 }], lots: [] });
    expect(negative.ok ? null : negative.error.path).toEqual(['needs', 1]);
    const twice = netNeeds({ needs: [need, need], lots: [] });
    expect(twice.ok ? null : twice.error.path).toEqual(['needs', 1]);
  });
});
