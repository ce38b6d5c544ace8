import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BEGIN_NOW_MIN, sectionOrder, sectionOrderAt } from '../../../api/core/planning/index.ts';

const AT_SIX = Date.parse('2026-03-10T06:00:00Z');
const at = (minutes: number): Date => new Date(AT_SIX + minutes * 60_000);
const task = fc.record({
  id: fc.uuid(),
  station: fc.constantFrom('oven', 'Cold', 'stove'),
  makeDate: fc.constantFrom('2026-03-10', '2026-03-11'),
  startBy: fc.integer({ min: -60, max: 120 }).map(at),
  status: fc.constantFrom('to_do', 'started', 'done', 'abandoned'),
});
const tasks = fc.uniqueArray(task, { selector: ({ id }) => id, maxLength: 20 });
const shuffled = tasks.chain((all) =>
  fc.tuple(
    fc.constant(all),
    fc.shuffledSubarray(all, { minLength: all.length, maxLength: all.length }),
  ),
);

describe('a section’s list', () => {
  it('is by station and then by time, however the tasks came', () => {
    fc.assert(
      fc.property(shuffled, ([all, mixed]) => {
        const order = sectionOrder(mixed);
        expect(order).toEqual(sectionOrder(all));
        for (const [i, one] of order.entries()) {
          const next = order[i + 1];
          if (!next) continue;
          const stations = one.station.localeCompare(next.station, 'en');
          expect(stations).toBeLessThanOrEqual(0);
          if (stations === 0) {
            expect(one.startBy.getTime()).toBeLessThanOrEqual(next.startBy.getTime());
          }
        }
      }),
    );
  });

  it('moves no task when others are ticked, come or go', () => {
    fc.assert(
      fc.property(tasks, tasks, fc.func(fc.boolean()), (all, others, stays) => {
        const before = sectionOrder(all).map(({ id }) => id);
        const ids = new Set(before);
        const kept = all.filter(({ id }) => stays(id)).map((one) => ({ ...one, status: 'done' }));
        const after = sectionOrder([...others.filter(({ id }) => !ids.has(id)), ...kept]);
        const still = new Set(kept.map(({ id }) => id));
        expect(after.map(({ id }) => id).filter((id) => still.has(id))).toEqual(
          before.filter((id) => still.has(id)),
        );
      }),
    );
  });

  it('begins with exactly what nobody began and is due today by now or within a quarter of an hour', () => {
    fc.assert(
      fc.property(tasks, fc.integer({ min: -60, max: 120 }), (all, nowMin) => {
        const order = sectionOrderAt(all, at(nowMin), '2026-03-10');
        const due = all.filter(
          ({ status, makeDate, startBy }) =>
            status === 'to_do' &&
            makeDate === '2026-03-10' &&
            startBy <= at(nowMin + BEGIN_NOW_MIN),
        );
        const first = order.slice(0, due.length);
        expect(first.map((one) => one.task.id).sort()).toEqual(due.map(({ id }) => id).sort());
        expect(first.every(({ beginNow }) => beginNow)).toBe(true);
        expect(order.slice(due.length).some(({ beginNow }) => beginNow)).toBe(false);
        const times = first.map((one) => one.task.startBy.getTime());
        expect(times).toEqual([...times].sort((a, b) => a - b));
      }),
    );
  });
});
