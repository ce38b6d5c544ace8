import { describe, expect, it } from 'vitest';
import { backtestCovers } from '../../../api/core/backtest/index.ts';
import { serviceDateOf } from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

const FIRST = 19_500;
const horizons = [1, 2, 3, 5, 7, 10, 14];
const rooms = [
  { seed: 1, covers: 45, walkInPart: 0.3 },
  { seed: 2, covers: 80, walkInPart: 0.2 },
  { seed: 3, covers: 120, walkInPart: 0.4 },
  { seed: 4, covers: 60, walkInPart: 0.25 },
];
const tests = rooms.map((room) => {
  const simulated = simulateSeries({ ...room, days: 620, firstDay: FIRST });
  return unwrap(
    backtestCovers({
      history: simulated.history,
      capacityCovers: simulated.capacityCovers,
      events: simulated.events.flatMap((event) =>
        event.label === undefined ? [] : [{ serviceDate: event.serviceDate, label: event.label }],
      ),
      horizons,
      firstOrigin: serviceDateOf(FIRST + 400),
      lastOrigin: serviceDateOf(FIRST + 600),
      everyDays: 2,
    }),
  );
});

describe('against a simulated room that shares no formula with the model', () => {
  it.each(horizons)('%i days ahead it beats the best of the three baselines', (days) => {
    for (const backtest of tests) {
      const score = backtest.horizons.find((h) => h.horizonDays === days);
      expect(score?.compared.gainOverBest ?? -1).toBeGreaterThan(0);
    }
  });

  it('nine in ten services fall inside the 90% interval, give or take', () => {
    const points = tests.flatMap((backtest) => backtest.horizons);
    const services = points.reduce((sum, h) => sum + h.services, 0);
    const inside = points.reduce((sum, h) => sum + (h.coverage.ninety ?? 0) * h.services, 0);
    const gains = points.map((h) => h.compared.gainOverBest ?? 0);
    const report = {
      coverage: inside / services,
      meanGain: gains.reduce((a, b) => a + b, 0) / gains.length,
      leastGain: Math.min(...gains),
    };
    expect(report.coverage, JSON.stringify(report)).toBeGreaterThan(0.88);
    expect(report.coverage, JSON.stringify(report)).toBeLessThan(0.92);
    expect(report.meanGain, JSON.stringify(report)).toBeGreaterThan(0.15);
  });
});
