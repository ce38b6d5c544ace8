import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  makingsOf,
  mostAtOnce,
  scheduleSite,
  sizedSteps,
  byKind,
} from '../../../api/core/schedule/index.ts';
import type {
  PlanStep,
  ScheduleJob,
  ScheduleSite,
  SiteEquipment,
  SiteSchedule,
} from '../../../api/core/schedule/index.ts';
import { equipmentOf } from '../../../api/core/schedule/plan-step.ts';
import { unitsInUse } from '../../../api/core/schedule/site-resources.ts';

// Synthetic kitchens; minutes count from the opening of the first day.
const HOUR = 60;
const DAY = 24 * HOUR;
const site = (
  people: number,
  equipment: readonly SiteEquipment[] = [],
  days = 2,
): ScheduleSite => ({
  shifts: Array.from({ length: days }, (_, day) => ({
    fromMin: day * DAY,
    toMin: day * DAY + 10 * HOUR,
    date: `day ${day}`,
    people,
  })),
  equipment,
});
const job = (
  id: string,
  steps: readonly PlanStep[],
  more: Partial<ScheduleJob> = {},
): ScheduleJob => ({
  id,
  steps,
  releaseMin: 0,
  readyByMin: 10 * HOUR,
  usedBy: [],
  ...more,
});
const work = (workingMin: number, waitingMin = 0, more: Partial<PlanStep> = {}): PlanStep => ({
  id: `work ${workingMin}`,
  workingMin,
  waitingMin,
  ...more,
});
const startOf = (schedule: SiteSchedule, id: string): number =>
  schedule.jobs.get(id)?.batch.startMin ?? NaN;

describe('people', () => {
  it('one pair of hands works on one thing at a time, the later due last', () => {
    const schedule = scheduleSite([job('a', [work(60)]), job('b', [work(60)])], site(1));
    expect([startOf(schedule, 'a'), startOf(schedule, 'b')].sort((x, y) => x - y)).toEqual([
      480, 540,
    ]);
  });

  it('waiting needs nobody: two pots stand while one cook goes on', () => {
    const schedule = scheduleSite([job('a', [work(10, 200)]), job('b', [work(10, 200)])], site(1));
    expect([...schedule.jobs.values()].every(({ lateMin }) => lateMin === 0)).toBe(true);
    expect(startOf(schedule, 'a')).not.toBe(startOf(schedule, 'b'));
  });

  it('what does not fit the day goes to the evening before, over night', () => {
    const jobs = ['a', 'b', 'c'].map((id) =>
      job(id, [work(4 * HOUR)], { readyByMin: DAY + 10 * HOUR }),
    );
    const schedule = scheduleSite(jobs, site(1));
    const starts = jobs.map(({ id }) => startOf(schedule, id)).sort((x, y) => x - y);
    expect(starts).toEqual([6 * HOUR, DAY + 2 * HOUR, DAY + 6 * HOUR]);
  });

  it('says that hands are missing, and by how much it is late', () => {
    const schedule = scheduleSite(
      [job('a', [work(6 * HOUR)]), job('b', [work(6 * HOUR)])],
      site(1),
    );
    const late = [...schedule.jobs.values()].find(({ lateMin }) => lateMin > 0);
    expect(late?.blocked?.by).toBe('hands');
    expect(late?.lateMin).toBe(DAY + 6 * HOUR - 10 * HOUR);
  });
});

describe('equipment', () => {
  const moulds = { kind: 'mould', name: 'Dome moulds', units: 20 };
  const filled = (kept: boolean): PlanStep[] => [
    work(20, 0, { equipment: { kind: 'mould', amount: 20, keptDuringHold: kept } }),
    work(1, 240, {
      equipment: { kind: 'mould', amount: 20, keptDuringHold: kept },
      holdMaxMin: 720,
    }),
    work(10),
  ];

  it('a mould set is occupied while the component sets, until it is turned out', () => {
    const jobs = ['a', 'b'].map((id) => job(id, filled(true)));
    const schedule = scheduleSite(jobs, site(2, [moulds]));
    const [first, second] = [...schedule.jobs.values()]
      .map(({ batch }) => batch)
      .sort((x, y) => x.startMin - y.startMin);
    const turnedOut = first?.steps[2]?.startMin ?? NaN;
    expect(second?.startMin).toBeGreaterThanOrEqual(turnedOut);
  });

  it('trays of one deck want one temperature: 160 and 163 °C share, 200 °C does not', () => {
    const oven = { kind: 'oven', name: 'Deck oven', units: 1, placesPerUnit: 4 };
    const bake = (id: string, temperatureC: number) =>
      job(id, [work(0, 60, { equipment: { kind: 'oven', amount: 2 }, temperatureC })]);
    const together = scheduleSite([bake('a', 160), bake('b', 163)], site(1, [oven]));
    expect(startOf(together, 'a')).toBe(startOf(together, 'b'));
    const apart = scheduleSite([bake('a', 160), bake('b', 200)], site(1, [oven]));
    expect(Math.abs(startOf(apart, 'a') - startOf(apart, 'b'))).toBe(60);
  });

  it('fruit is poached in turns when the pan holds less than the batch (common practice, no source)', () => {
    const poach = [work(10, 30, { equipment: { kind: 'pan', amount: 2 } })];
    const kinds = byKind([{ kind: 'pan', name: 'Wide pan', units: 1 }]);
    expect(sizedSteps(poach, 1, kinds)).toMatchObject([
      { workingMin: 20, waitingMin: 60, equipment: [{ kind: 'pan', amount: 1 }] },
    ]);
    expect(sizedSteps(poach, 2, kinds)).toMatchObject([{ workingMin: 40, waitingMin: 120 }]);
  });

  it('a batch that fills seven moulds serves 45 covers with seven batches, one set of moulds at a time', () => {
    expect(Math.ceil(45 / 7)).toBe(7);
    const steps = [work(10, 0, { equipment: { kind: 'm', amount: 7, keptDuringHold: true } })];
    const kinds = byKind([{ kind: 'm', name: 'Moulds', units: 14 }]);
    expect(makingsOf(7, mostAtOnce(steps, kinds, 1))).toEqual([2, 2, 2, 1]);
    expect(mostAtOnce(steps, byKind([{ kind: 'm', name: 'Moulds', units: 6 }]), 1)).toBe(0);
  });

  it('work that grows grows with the batches; watching a pot does not', () => {
    const kinds = byKind([]);
    const minutes = (growingFraction: number, batches: number): number =>
      sizedSteps([work(30, 5, { growingFraction })], batches, kinds)[0]?.workingMin ?? NaN;
    expect([minutes(1, 3), minutes(0, 3), minutes(0.5, 3), minutes(1, 0.5)]).toEqual([
      90, 30, 60, 15,
    ]);
  });
});

describe('what uses another waits for it', () => {
  it('a run begins only when what goes into it is ready', () => {
    const schedule = scheduleSite(
      [job('cream', [work(20, 60)], { usedBy: ['tart'] }), job('tart', [work(30)])],
      site(1),
    );
    expect(schedule.jobs.get('cream')?.batch.readyMin).toBeLessThanOrEqual(
      startOf(schedule, 'tart'),
    );
  });

  it('nothing is made so early that it would be out of date at its last use', () => {
    const early = job('a', [work(30)], { keepsMin: 120, keepUntilMin: 11 * HOUR });
    const schedule = scheduleSite([early], site(1));
    expect(schedule.jobs.get('a')?.batch.readyMin).toBeGreaterThanOrEqual(9 * HOUR);
  });
});

const kitchen = fc.record({
  people: fc.integer({ min: 1, max: 2 }),
  pots: fc.integer({ min: 1, max: 2 }),
  jobs: fc.array(
    fc.record({
      work: fc.integer({ min: 1, max: 4 }),
      wait: fc.integer({ min: 0, max: 4 }),
      hold: fc.option(fc.integer({ min: 0, max: 3 }), { nil: undefined }),
      pot: fc.integer({ min: 0, max: 1 }),
      finish: fc.integer({ min: 0, max: 2 }),
      due: fc.integer({ min: 4, max: 12 }),
      user: fc.boolean(),
    }),
    { minLength: 1, maxLength: 3 },
  ),
});
type Kitchen = typeof kitchen extends fc.Arbitrary<infer K> ? K : never;

function asJobs({ jobs }: Kitchen): ScheduleJob[] {
  return jobs.map((shape, i) =>
    job(
      `j${i}`,
      [
        work(shape.work, shape.wait, {
          id: 'first',
          ...(shape.hold === undefined ? {} : { holdMaxMin: shape.hold }),
          ...(shape.pot > 0
            ? { equipment: { kind: 'pot', amount: 1, keptDuringHold: shape.hold !== undefined } }
            : {}),
        }),
        ...(shape.finish > 0 ? [work(shape.finish, 0, { id: 'last' })] : []),
      ],
      { readyByMin: shape.due, usedBy: shape.user && i > 0 ? ['j0'] : [] },
    ),
  );
}

const smallSite = ({ people, pots }: Kitchen): ScheduleSite => ({
  shifts: [{ fromMin: 0, toMin: 12, date: 'day', people }],
  equipment: [{ kind: 'pot', name: 'Pots', units: pots }],
});

/** What of people and pots a placed job takes at a minute. */
function takes(shape: ScheduleJob, schedule: SiteSchedule, minute: number) {
  const steps = schedule.jobs.get(shape.id)?.batch.steps ?? [];
  let hands = 0;
  let pots = 0;
  for (const [i, at] of steps.entries()) {
    const step = shape.steps[i];
    if (!step) continue;
    if (at.startMin <= minute && minute < at.workEndMin) hands += 1;
    for (const use of equipmentOf(step)) {
      const until = use.keptDuringHold === true ? (steps[i + 1]?.startMin ?? at.endMin) : at.endMin;
      if (at.startMin <= minute && minute < Math.max(until, at.endMin)) pots += use.amount;
    }
  }
  return { hands, pots };
}

/** Whether every job can be in time, by trying every start of every step. */
function canBeInTime(shape: Kitchen): boolean {
  const jobs = asJobs(shape);
  const used = Array.from({ length: 13 }, () => ({ hands: 0, pots: 0 }));
  const starts = new Map<string, number>();
  const next = (j: number): boolean => {
    const one = jobs[j];
    if (!one) return true;
    const dueMin = Math.min(one.readyByMin, ...one.usedBy.map((id) => starts.get(id) ?? Infinity));
    const [first, last] = one.steps;
    if (!first) return false;
    const hold = last ? (first.holdMaxMin ?? 0) : 0;
    for (let start = 0; start + first.workingMin <= 12; start += 1) {
      const end = start + first.workingMin + first.waitingMin;
      for (let wait = 0; wait <= hold; wait += 1) {
        const ready = end + wait + (last?.workingMin ?? 0);
        if (ready > dueMin || (last && ready > 12)) continue;
        const potUntil = equipmentOf(first)[0]?.keptDuringHold === true && last ? end + wait : end;
        const need = used.map((_, t) => ({
          hands:
            (start <= t && t < start + first.workingMin ? 1 : 0) +
            (last && end + wait <= t && t < ready ? 1 : 0),
          pots: equipmentOf(first).length > 0 && start <= t && t < potUntil ? 1 : 0,
        }));
        const fits = need.every(
          (n, t) =>
            (n.hands === 0 || (used[t]?.hands ?? 0) + n.hands <= shape.people) &&
            (n.pots === 0 || (used[t]?.pots ?? 0) + n.pots <= shape.pots),
        );
        if (!fits) continue;
        const add = (sign: number): void =>
          need.forEach((n, t) => {
            const row = used[t];
            if (!row) return;
            row.hands += sign * n.hands;
            row.pots += sign * n.pots;
          });
        add(1);
        starts.set(one.id, start);
        if (next(j + 1)) return true;
        add(-1);
      }
    }
    return false;
  };
  return next(0);
}

describe('small kitchens against every possible schedule', () => {
  it('people and pots are never asked for twice, and users wait for what they use', () => {
    fc.assert(
      fc.property(kitchen, (shape) => {
        const jobs = asJobs(shape);
        const schedule = scheduleSite(jobs, smallSite(shape));
        for (let t = 0; t < 24; t += 1) {
          const sums = jobs.map((one) => takes(one, schedule, t));
          expect(sums.reduce((sum, { hands }) => sum + hands, 0)).toBeLessThanOrEqual(shape.people);
          expect(sums.reduce((sum, { pots }) => sum + pots, 0)).toBeLessThanOrEqual(shape.pots);
        }
        for (const { dueMin, lateMin, batch } of schedule.jobs.values()) {
          expect(lateMin).toBe(Math.max(0, batch.readyMin - dueMin));
        }
      }),
      { numRuns: 300, seed: 20_260_316 },
    );
  });

  it('where some schedule has everything in time, one is found nearly always; never one where none has', () => {
    let possible = 0;
    let found = 0;
    fc.assert(
      fc.property(kitchen, (shape) => {
        const schedule = scheduleSite(asJobs(shape), smallSite(shape));
        const inTime =
          schedule.unplaced.length === 0 &&
          [...schedule.jobs.values()].every(({ lateMin }) => lateMin === 0);
        const can = canBeInTime(shape);
        if (can) possible += 1;
        if (inTime) {
          found += 1;
          expect(can).toBe(true);
        }
      }),
      { numRuns: 300, seed: 20_260_317 },
    );
    expect(possible).toBeGreaterThan(50);
    expect(found / possible).toBeGreaterThan(0.97);
  });
});

it('units in use are counted by groups of agreeing temperature', () => {
  const at = (temperatureC: number, amount: number) => ({ temperatureC, amount });
  expect(unitsInUse([at(160, 2), at(163, 2), at(200, 1)], 4)).toBe(2);
  expect(unitsInUse([at(160, 3), at(163, 2)], 4)).toBe(2);
  expect(unitsInUse([], 4)).toBe(0);
});
