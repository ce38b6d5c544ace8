import type { forecastCovers } from '../../../api/core/forecast/index.ts';
import { serviceDateOf, weekdayOf } from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

/** What a model says of one simulated room: of each day ahead, and what it has learned. */
export interface RoomFigures {
  readonly days: readonly {
    readonly mean: number;
    readonly spreadCovers: number;
    readonly firmCovers: number;
    readonly quantiles: readonly number[];
  }[];
  readonly theta: readonly number[];
  readonly memberErrors: readonly number[];
}

const FIRST = 20_000;
const AHEAD = 28;
const ROOMS = [
  { seed: 21, covers: 70, walkInPart: 0.2, days: 500 },
  { seed: 22, covers: 18, walkInPart: 0.6, days: 210 },
  { seed: 23, covers: 140, walkInPart: 0.05, days: 60, open: [2, 3, 4, 5, 6] as const },
  { seed: 24, covers: 45, walkInPart: 0.3, days: 730, walkInsRecorded: true },
];

/** Four rooms of different sizes, walk-ins, weekdays and lengths of history, four weeks ahead each. */
export function roomFigures(forecast: typeof forecastCovers): readonly RoomFigures[] {
  return ROOMS.map(({ days, open, ...room }) => {
    const { history, events, capacityCovers } = simulateSeries({
      ...room,
      days: days + AHEAD,
      firstDay: FIRST,
      ...(open === undefined ? {} : { open: [...open] }),
    });
    const today = FIRST + days;
    const targets = Array.from({ length: AHEAD }, (_, horizonDays) => ({
      serviceDate: serviceDateOf(today + horizonDays),
      weekday: weekdayOf(today + horizonDays),
      horizonDays,
    }));
    const ahead = new Map(targets.map((target) => [target.serviceDate, target.horizonDays]));
    const made = unwrap(
      forecast({
        asOf: `${serviceDateOf(today)}T05:00:00Z`,
        targets,
        history: history.filter((service) => service.serviceDate < serviceDateOf(today)),
        openBookings: history.flatMap(({ serviceDate, snapshots }) => {
          const h = ahead.get(serviceDate);
          if (h === undefined) return [];
          return [{ serviceDate, snapshots: snapshots.filter((s) => s.daysBefore >= h) }];
        }),
        knownEvents: events.filter((event) => ahead.has(event.serviceDate)),
        capacityCovers,
      }),
    );
    return {
      days: made.targets.map(({ mean, parts, quantiles }) => ({
        mean,
        spreadCovers: parts.spreadCovers,
        firmCovers: parts.firmCovers,
        quantiles: quantiles.map((q) => q.covers),
      })),
      theta: made.state.level.theta,
      memberErrors: made.state.combination.errors,
    };
  });
}
