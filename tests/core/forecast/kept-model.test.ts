import { describe, expect, it } from 'vitest';
import {
  forecastCovers,
  serviceDateOf,
  weekdayOf,
  type BookingSnapshot,
  type CompletedService,
  type ForecastParts,
} from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const FIRST = 20_000;
const SERVICES = 120;
const dated = (day: number) => ({ serviceDate: serviceDateOf(day), weekday: weekdayOf(day) });

/** Services that all went alike, and what is expected of the next one seen so many days before. */
function expected(
  service: Omit<CompletedService, 'serviceDate' | 'weekday'>,
  horizonDays: number,
  booked: number,
): ForecastParts {
  const history = Array.from({ length: SERVICES }, (_, i) => ({ ...dated(FIRST + i), ...service }));
  const asOf = FIRST + SERVICES;
  const target = dated(asOf + horizonDays);
  const forecast = forecastCovers({
    asOf: `${serviceDateOf(asOf)}T05:00:00Z`,
    targets: [{ ...target, horizonDays }],
    history,
    openBookings: [
      { serviceDate: target.serviceDate, snapshots: [{ daysBefore: horizonDays, booked }] },
    ],
  });
  const [found] = unwrap(forecast).targets;
  if (!found) throw new Error('no target');
  return found.parts;
}

/** 40 booked a week before; 4 of them cancel the day before. */
const COUNTED: readonly BookingSnapshot[] = [
  { daysBefore: 7, booked: 40, cancelledSoFar: 0 },
  { daysBefore: 1, booked: 40, cancelledSoFar: 0 },
  { daysBefore: 0, booked: 36, cancelledSoFar: 4 },
];
const uncounted = (snapshots: readonly BookingSnapshot[]): BookingSnapshot[] =>
  snapshots.map(({ daysBefore, booked }) => ({ daysBefore, booked }));

describe('what becomes of bookings', () => {
  it('is learned apart: cancelled before, not come, and walk-ins beside them', () => {
    // 36 booked to the last: 33 came, 3 did not; 5 walked in.
    const parts = expected(
      { actualCovers: 38, walkInCovers: 5, noShowCovers: 3, snapshots: COUNTED },
      7,
      40,
    );
    // A little under 4 of 40, since a few covers without a cancellation are assumed at first.
    expect(parts.cancelledFraction).toBeLessThan(4 / 40);
    expect(parts.cancelledFraction).toBeCloseTo(4 / 40, 2);
    expect(parts.noShowFraction).toBeCloseTo(3 / 36, 2);
    expect(parts.walkIns).toBeCloseTo(5, 9);
    const { cancelledFraction = 0, noShowFraction = 0 } = parts;
    expect(parts.keptFraction).toBeCloseTo((1 - cancelledFraction) * (1 - noShowFraction), 12);
  });

  it('counts who cancels on the day itself as cancelled, not as not come', () => {
    // 36 booked in the morning, 2 call off, 2 do not come, 32 come, 5 walk in.
    const parts = expected(
      { actualCovers: 37, walkInCovers: 5, cancelledCovers: 6, snapshots: COUNTED },
      0,
      36,
    );
    expect(parts.cancelledFraction).toBeCloseTo(2 / 36, 2);
    expect(parts.noShowFraction).toBeCloseTo(2 / 36, 2);
    // Nobody having counted what cancelled, all four count as not come.
    const blind = expected(
      { actualCovers: 37, walkInCovers: 5, snapshots: uncounted(COUNTED) },
      0,
      36,
    );
    expect(blind.cancelledFraction).toBe(0);
    expect(blind.noShowFraction).toBeCloseTo(4 / 36, 2);
  });

  it('takes the outcome for the day on which nobody looked at the bookings', () => {
    const parts = expected(
      {
        actualCovers: 38,
        walkInCovers: 5,
        noShowCovers: 3,
        cancelledCovers: 4,
        snapshots: COUNTED.slice(0, 2),
      },
      7,
      40,
    );
    expect(parts.cancelledFraction).toBeCloseTo(4 / 40, 2);
  });

  it('shares a number cancelled in all out as a constant hazard: e^(−λ·days) are kept', () => {
    const held = [28, 21, 14, 10, 7, 5, 3, 2, 1, 0].map((daysBefore) => ({
      daysBefore,
      booked: 40,
    }));
    const cancelled = 12;
    // 40 booked at risk on 28 days and the day itself (survival of an exponential lifetime).
    const hazard = cancelled / (40 * 29);
    for (const days of [0, 3, 7, 14, 28]) {
      const parts = expected(
        { actualCovers: 40, cancelledCovers: cancelled, snapshots: held },
        days,
        40,
      );
      expect(parts.cancelledFraction).toBeCloseTo(1 - Math.exp(-hazard * (days + 1)), 2);
      expect(parts.cancelledFraction).toBeGreaterThan(0);
    }
  });

  it('moves what is firmly booked: where more stay away, fewer are certain', () => {
    const usual = { actualCovers: 38, walkInCovers: 5, snapshots: COUNTED };
    const few = expected({ ...usual, noShowCovers: 0 }, 7, 40).firmCovers;
    const many = expected({ ...usual, noShowCovers: 12 }, 7, 40).firmCovers;
    expect(many).toBeLessThan(few);
  });

  it('assumes one in twenty not to come, nothing cancelled and no walk-ins until they are counted', () => {
    const parts = expected({ actualCovers: 38, snapshots: uncounted(COUNTED) }, 7, 40);
    expect(parts.noShowFraction).toBeCloseTo(0.05, 12);
    expect(parts.cancelledFraction).toBe(0);
    expect(parts.walkIns).toBeUndefined();
  });

  it('is refused where it cannot be, with its path', () => {
    for (const [bad, field] of [
      [{ walkInCovers: 39 }, 'walkInCovers'],
      [{ walkInCovers: -1 }, 'walkInCovers'],
      [{ noShowCovers: 1.5 }, 'noShowCovers'],
      [{ cancelledCovers: -2 }, 'cancelledCovers'],
    ] as const) {
      const refused = forecastCovers({
        asOf: '2024-10-05T05:00:00Z',
        targets: [{ ...dated(FIRST + 2), horizonDays: 1 }],
        history: [{ ...dated(FIRST), actualCovers: 38, snapshots: [], ...bad }],
        openBookings: [],
      });
      expect(refused.ok ? 'ok' : refused.error.path).toEqual(['history', 0, field]);
    }
  });
});
