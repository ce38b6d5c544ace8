import { describe, expect, it } from 'vitest';
import { backtestCovers } from '../../../api/core/backtest/index.ts';
import { serviceDateOf } from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { oracleCovers } from './simulated-oracle.ts';
import { simulateSeries, type SimulatedSeries } from './simulated-service.ts';

const FIRST = 19_500;
const LEARNED_DAYS = 400;
const horizons = Array.from({ length: 14 }, (_, i) => i + 1);
const KINDS = [
  { covers: 45, walkInPart: 0.3 },
  { covers: 80, walkInPart: 0.2 },
  { covers: 120, walkInPart: 0.4 },
  { covers: 60, walkInPart: 0.25, open: [3, 4, 5, 6, 7] },
  { covers: 30, walkInPart: 0.15, walkInsRecorded: true },
] as const;

/** What 25 rooms, seeds 1 to 25 as they come, gave at one horizon. */
interface Tally {
  readonly horizonDays: number;
  services: number;
  actual: number;
  inside: number;
  error: number;
  oracle: number;
  readonly baselines: Record<string, number>;
}

const tallies: Tally[] = horizons.map((horizonDays) => ({
  horizonDays,
  services: 0,
  actual: 0,
  inside: 0,
  error: 0,
  oracle: 0,
  baselines: {},
}));

function addRoom(seed: number): void {
  const room = KINDS[seed % KINDS.length] ?? KINDS[0];
  const simulated: SimulatedSeries = simulateSeries({ ...room, seed, days: 800, firstDay: FIRST });
  const { points } = unwrap(
    backtestCovers({
      history: simulated.history,
      capacityCovers: simulated.capacityCovers,
      events: simulated.events,
      horizons,
      firstOrigin: serviceDateOf(FIRST + LEARNED_DAYS),
      lastOrigin: serviceDateOf(FIRST + 785),
      // Three and seven have no common divisor: every weekday is met at every horizon.
      everyDays: 3,
    }),
  );
  const at = new Map(simulated.history.map((service, i) => [service.serviceDate, i] as const));
  for (const point of points) {
    const tally = tallies[point.horizonDays - 1];
    if (tally === undefined || Object.keys(point.baselines).length < 3) continue;
    const { actual } = point;
    const level = (wanted: number) =>
      point.quantiles.find((q) => q.level === wanted)?.covers ?? Number.NaN;
    tally.services += 1;
    tally.actual += actual;
    tally.error += Math.abs(point.mean - actual);
    if (actual >= level(0.05) && actual <= level(0.95)) tally.inside += 1;
    const index = at.get(point.serviceDate) ?? -1;
    tally.oracle += Math.abs(
      oracleCovers(simulated, index, room.walkInPart, point.horizonDays) - actual,
    );
    for (const [name, covers] of Object.entries(point.baselines)) {
      tally.baselines[name] = (tally.baselines[name] ?? 0) + Math.abs(covers - actual);
    }
  }
}
for (let seed = 1; seed <= 25; seed += 1) addRoom(seed);

describe('against simulated rooms that share no formula with the model', () => {
  it.each(tallies)(
    '$horizonDays days ahead its WAPE is at least 15% under the best of three baselines',
    (tally) => {
      expect(tally.services).toBeGreaterThan(2000);
      expect(Object.keys(tally.baselines)).toHaveLength(3);
      const best = Math.min(...Object.values(tally.baselines));
      const gain = 1 - tally.error / best;
      expect(gain).toBeGreaterThanOrEqual(0.15);
    },
  );

  it.each(tallies)(
    '$horizonDays days ahead 88 to 92 of 100 services fall inside the 90% interval',
    ({ inside, services }) => {
      expect(inside / services).toBeGreaterThanOrEqual(0.88);
      expect(inside / services).toBeLessThanOrEqual(0.92);
    },
  );

  it.each(tallies)(
    '$horizonDays days ahead it errs more than one who knows the hidden demand, but by under 30%',
    ({ error, oracle }) => {
      expect(error).toBeGreaterThan(oracle);
      expect(error).toBeLessThan(oracle * 1.3);
    },
  );
});
