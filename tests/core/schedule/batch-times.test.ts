import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openIntervals, serviceInstant } from '../../../api/core/calendar/index.ts';
import { earliestFinish, latestStart, type PlanStep } from '../../../api/core/schedule/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const ZONE = 'Europe/Rome';
const at = (date: string, time: string): number => unwrap(serviceInstant(date, time, ZONE));
const hours = (opens: string, closes: string) =>
  ([1, 2, 3, 4, 5, 6, 7] as const).map((weekday) => ({ weekday, opens, closes }));
const open = (fromDate: string, toDate: string, opens = '08:00', closes = '22:00') =>
  unwrap(
    openIntervals({ zone: ZONE, hours: hours(opens, closes), closedDates: [], fromDate, toDate }),
  );

/** A set cream: half an hour of work, four hours in the chiller, then it may wait. */
const SET_CREAM: readonly PlanStep[] = [
  { id: 'cook and set', workingMin: 30, waitingMin: 240, holdMaxMin: 48 * 60 },
];

describe('when a batch must be started', () => {
  it('a set cream that needs four hours is made the day before an early lunch (common practice, no source)', () => {
    // The kitchen opens at 8; set by 12:00 would need a start at 7:30.
    const batch = unwrap(
      latestStart(SET_CREAM, at('2026-03-10', '12:00'), open('2026-03-08', '2026-03-10')),
    );
    expect(batch.startMin).toBe(at('2026-03-09', '21:30'));
    expect(batch.readyMin).toBeLessThanOrEqual(at('2026-03-10', '12:00'));
  });

  it('and early the same morning where the kitchen opens in time', () => {
    const batch = unwrap(
      latestStart(SET_CREAM, at('2026-03-10', '12:00'), open('2026-03-08', '2026-03-10', '06:00')),
    );
    expect(batch.startMin).toBe(at('2026-03-10', '07:30'));
    expect(batch.readyMin).toBe(at('2026-03-10', '12:00'));
  });

  it('a wait over the night the clocks go forward is counted in true hours', () => {
    // 29 March 2026, Europe/Rome: 02:00 becomes 03:00. Twelve hours back from 10:00 is 21:00.
    const steps = [{ id: 'freeze', workingMin: 0, waitingMin: 720 }];
    const batch = unwrap(
      latestStart(steps, at('2026-03-29', '10:00'), open('2026-03-27', '2026-03-29')),
    );
    expect(batch.startMin).toBe(at('2026-03-28', '21:00'));
  });

  it('says which step has no time inside the hours', () => {
    const refused = latestStart(
      [{ id: 'bake', workingMin: 15 * 60, waitingMin: 0 }],
      at('2026-03-10', '12:00'),
      open('2026-03-08', '2026-03-10'),
    );
    expect(refused.ok ? null : refused.error.detail).toMatchObject({
      reason: 'step-longer-than-opening',
    });
  });
});

const anySteps = fc.array(
  fc.record({
    workingMin: fc.integer({ min: 0, max: 180 }),
    waitingMin: fc.integer({ min: 0, max: 900 }),
    holdMaxMin: fc.option(fc.integer({ min: 0, max: 900 }), { nil: undefined }),
  }),
  { minLength: 1, maxLength: 4 },
);
const toSteps = (
  list: readonly { workingMin: number; waitingMin: number; holdMaxMin?: number | undefined }[],
) =>
  list.map(({ holdMaxMin, ...step }, i): PlanStep => ({
    id: `s${i}`,
    ...step,
    ...(holdMaxMin === undefined ? {} : { holdMaxMin }),
  }));

describe('for any recipe', () => {
  const stretches = open('2026-03-01', '2026-03-10');

  it('work lies inside the hours, steps follow on within their hold, and it is ready in time', () => {
    fc.assert(
      fc.property(anySteps, fc.integer({ min: 0, max: 1439 }), (list, minute) => {
        const steps = toSteps(list);
        const ready = at('2026-03-09', '00:00') + minute;
        const placed = latestStart(steps, ready, stretches);
        if (!placed.ok) return;
        const batch = placed.value;
        expect(batch.readyMin).toBeLessThanOrEqual(ready);
        batch.steps.forEach((step, i) => {
          const plan = steps[i];
          expect(step.workEndMin - step.startMin).toBe(plan?.workingMin);
          expect(step.endMin - step.workEndMin).toBe(plan?.waitingMin);
          if ((plan?.workingMin ?? 0) > 0) {
            expect(
              stretches.some((o) => o.fromMin <= step.startMin && step.workEndMin <= o.toMin),
            ).toBe(true);
          }
          const next = batch.steps[i + 1];
          if (!next) return;
          expect(next.startMin).toBeGreaterThanOrEqual(step.endMin);
          expect(next.startMin - step.endMin).toBeLessThanOrEqual(plan?.holdMaxMin ?? 0);
        });
      }),
      { numRuns: 300 },
    );
  });

  it('no later start is possible: begun a minute later it would not be ready in time', () => {
    fc.assert(
      fc.property(anySteps, fc.integer({ min: 0, max: 1439 }), (list, minute) => {
        const steps = toSteps(list);
        const ready = at('2026-03-09', '00:00') + minute;
        const placed = latestStart(steps, ready, stretches);
        if (!placed.ok) return;
        const later = earliestFinish(steps, placed.value.startMin + 1, stretches);
        if (later.ok)
          expect(later.value.readyMin).toBeGreaterThan(
            ready - (steps.at(-1)?.holdMaxMin ?? Infinity),
          );
        const same = unwrap(earliestFinish(steps, placed.value.startMin, stretches));
        expect(same.readyMin).toBeLessThanOrEqual(ready);
      }),
      { numRuns: 300 },
    );
  });
});
