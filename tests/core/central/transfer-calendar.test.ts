import { describe, expect, it } from 'vitest';
import {
  productionOrder,
  tripsBetween,
  type TransferDays,
} from '../../../api/core/central/index.ts';
import { toRfc3339 } from '../../../api/core/calendar/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const days = (extra: Partial<TransferDays> = {}): TransferDays => ({
  weekdays: [2, 5],
  leavesAt: '14:00',
  arrivesAt: '15:30',
  arrivesDaysLater: 0,
  noTripDates: [],
  ...extra,
});
const rome = { zone: 'Europe/Rome', closedDates: [] };
const times = (of: ReturnType<typeof tripsBetween>) =>
  unwrap(of).trips.map(({ leaveMin, arriveMin }) => [toRfc3339(leaveMin), toRfc3339(arriveMin)]);

describe('the calendar of transfers', () => {
  it('has a trip on each transfer day, each clock in its own zone', () => {
    const london = { zone: 'Europe/London', closedDates: [] };
    expect(times(tripsBetween(days(), rome, london, '2026-03-09', '2026-03-15'))).toEqual([
      ['2026-03-10T13:00:00Z', '2026-03-10T15:30:00Z'],
      ['2026-03-13T13:00:00Z', '2026-03-13T15:30:00Z'],
    ]);
  });

  it('keeps the clock times when the clocks change, so that the road takes longer or shorter', () => {
    const overnight = days({
      weekdays: [6],
      leavesAt: '22:00',
      arrivesAt: '05:00',
      arrivesDaysLater: 1,
    });
    // Clocks go forward in the night of 29 March 2026: seven hours by the clock are six.
    const [spring] = unwrap(tripsBetween(overnight, rome, rome, '2026-03-28', '2026-03-28')).trips;
    expect((spring?.arriveMin ?? 0) - (spring?.leaveMin ?? 0)).toBe(6 * 60);
    const [usual] = unwrap(tripsBetween(overnight, rome, rome, '2026-03-21', '2026-03-21')).trips;
    expect((usual?.arriveMin ?? 0) - (usual?.leaveMin ?? 0)).toBe(7 * 60);
    expect(usual?.arriveDate).toBe('2026-03-22');
  });

  it('drops a trip on a holiday, from a closed maker or to a closed receiver, and says which', () => {
    const calendar = unwrap(
      tripsBetween(
        days({ weekdays: [1, 2, 3, 4, 5], noTripDates: ['2026-03-09'] }),
        { ...rome, closedDates: ['2026-03-10'] },
        { ...rome, closedDates: ['2026-03-11'] },
        '2026-03-09',
        '2026-03-12',
      ),
    );
    expect(calendar.dropped).toEqual([
      { leaveDate: '2026-03-09', reason: 'no-trip' },
      { leaveDate: '2026-03-10', reason: 'maker-closed' },
      { leaveDate: '2026-03-11', reason: 'receiver-closed' },
    ]);
    expect(calendar.trips.map(({ id }) => id)).toEqual(['2026-03-12']);
  });

  it('refuses what would arrive before it leaves, also across zones', () => {
    const back = days({ arrivesAt: '13:30' });
    expect(tripsBetween(back, rome, rome, '2026-03-09', '2026-03-15')).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range', path: ['arrivesAt'] },
    });
    // Half past one in London is half past two in Rome.
    const london = { zone: 'Europe/London', closedDates: [] };
    expect(tripsBetween(back, rome, london, '2026-03-09', '2026-03-15').ok).toBe(true);
  });
});

describe('the order in which sites are planned', () => {
  it('puts whoever receives before whoever makes for them, and keeps the rest as it was', () => {
    const makesFor = [
      { makerSiteId: 'a', receiverSiteId: 'c' },
      { makerSiteId: 'b', receiverSiteId: 'a' },
    ];
    expect(unwrap(productionOrder(['a', 'b', 'c', 'd'], makesFor))).toEqual(['c', 'a', 'b', 'd']);
    expect(unwrap(productionOrder(['d', 'c'], []))).toEqual(['d', 'c']);
  });

  it('refuses sites that make for each other in a circle, and names them', () => {
    const circle = productionOrder(
      ['a', 'b', 'c', 'd'],
      [
        { makerSiteId: 'a', receiverSiteId: 'b' },
        { makerSiteId: 'b', receiverSiteId: 'c' },
        { makerSiteId: 'c', receiverSiteId: 'a' },
        { makerSiteId: 'a', receiverSiteId: 'd' },
      ],
    );
    expect(circle).toMatchObject({
      ok: false,
      error: { kind: 'infeasible', detail: { siteIds: ['a', 'b', 'c'] } },
    });
  });
});
