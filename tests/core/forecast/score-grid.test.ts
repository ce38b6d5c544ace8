import { describe, expect, it } from 'vitest';
import { GRID } from '../../../api/core/forecast/booking-grid.ts';
import { weightsAt } from '../../../api/core/forecast/combination.ts';
import { learnSeries, learnServices, weekdayOf } from '../../../api/core/forecast/index.ts';
import { keptAt } from '../../../api/core/forecast/kept-model.ts';
import { expectedVariance } from '../../../api/core/forecast/learn-service.ts';
import { knowsSeason, openState } from '../../../api/core/forecast/learning.ts';
import {
  boundedInverseSize,
  driftVariance,
  logLevel,
} from '../../../api/core/forecast/level-model.ts';
import { MEMBER_COUNT, emptyMembers, memberForecasts } from '../../../api/core/forecast/members.ts';
import { curveAt } from '../../../api/core/forecast/pickup-model.ts';
import { seasonWaves } from '../../../api/core/forecast/season-waves.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

const FIRST = 20_000;
const DAYS = 500;
const { history, capacityCovers } = simulateSeries({
  seed: 11,
  days: DAYS,
  covers: 70,
  walkInPart: 0.2,
  firstDay: FIRST,
});

describe('learning a service', () => {
  it('scores the very forecasts that would have been made on each day before it', () => {
    const before = unwrap(
      learnSeries({ history: history.slice(0, DAYS - 1), capacityCovers }),
    ).state;
    const service = history[DAYS - 1];
    const day = FIRST + DAYS - 1;
    const weekday = weekdayOf(day) - 1;
    const after = openState(
      unwrap(learnServices(before, service === undefined ? [] : [service], capacityCovers)).state,
    );
    const now = openState(before);
    const moved = (grid: number, member: number): boolean =>
      after.combination.errors[grid * MEMBER_COUNT + member] !==
      now.combination.errors[grid * MEMBER_COUNT + member];
    GRID.forEach((daysBefore, grid) => {
      // The level as it was on the evening before the day the forecast would have been made.
      const origin = unwrap(
        learnSeries({ history: history.slice(0, DAYS - 1 - daysBefore), capacityCovers }),
      ).state;
      const past = openState(origin);
      const ahead = day - past.level.day;
      const level = Math.exp(logLevel(past.level.theta, 0, ahead, weekday, seasonWaves(day)));
      const booked = service?.snapshots.find((s) => s.daysBefore === daysBefore)?.booked ?? -1;
      const members = emptyMembers();
      memberForecasts(
        level,
        booked,
        keptAt(now.kept, daysBefore).kept,
        curveAt(now.pickup, daysBefore, weekday, level),
        members,
      );
      const weights = weightsAt(now.combination, daysBefore, members.values);
      expect(weights.reduce((a, w) => a + w, 0)).toBeCloseTo(1, 12);
      const gain = (member: number): number => {
        const at = grid * MEMBER_COUNT + member;
        const error = (service?.actualCovers ?? 0) - (members.values[member] ?? 0);
        const old = now.combination.errors[at] ?? 0;
        return ((after.combination.errors[at] ?? 0) - old) / ((error * error) / level - old);
      };
      // Every member's mean moves toward its own squared error, by the one gain of that day.
      for (let member = 1; member < MEMBER_COUNT; member += 1) {
        if ((members.values[member] ?? -1) < 0) continue;
        expect(moved(grid, member)).toBe(true);
        expect(gain(member)).toBeCloseTo(gain(1), 9);
      }
      // The spread moves by the same gain of the level toward what the weighted mean was off by.
      const combined = members.values.reduce(
        (a, v, m) => a + (v < 0 ? 0 : v * (weights[m] ?? 0)),
        0,
      );
      const row = past.past.count - 1;
      const unsure =
        (past.past.variances[row * 7 + weekday] ?? 0) + driftVariance(ahead, knowsSeason(now));
      const variance = expectedVariance(combined, boundedInverseSize(now.level), unsure);
      const ratio = ((service?.actualCovers ?? 0) - combined) ** 2 / variance;
      const spread = now.combination.spread[grid] ?? 0;
      const spreadAfter = spread + gain(0) * (ratio - spread);
      expect(ratio).toBeLessThan(12);
      expect(after.combination.spread[grid]).toBeCloseTo(spreadAfter, 10);
      expect(gain(1)).toBeGreaterThan(0);
      expect(gain(1)).toBeLessThan(0.1);
    });
  });
});
