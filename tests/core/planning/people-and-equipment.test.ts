import { describe, expect, it } from 'vitest';
import { planSite } from '../../../api/core/planning/index.ts';
import type { PlanVersion, SitePlan, SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { at, both, planInput, service, version, versions } from './lake-scenario.ts';

const plan = (input: SitePlanInput): SitePlan => unwrap(planSite(input));
const tart = [{ dishId: 'tart', share: 0.4 }] as const;

function withPeople(input: SitePlanInput, people: number, more: Partial<SitePlanInput> = {}) {
  return { ...input, shifts: input.open.map((open) => ({ ...open, people })), ...more };
}

function changed(itemId: string, change: Partial<PlanVersion>): readonly PlanVersion[] {
  return versions.map((v) => (v.itemId === itemId ? { ...v, ...change } : v));
}

describe('people and equipment bound the plan', () => {
  const long = changed('shell', {
    steps: [{ id: 'line', workingMin: 120, waitingMin: 0, growingFraction: 1 }],
  });

  it('working time grows with the makings: three makings take three times the hands', () => {
    const input = planInput([service('2026-03-10', 'Dinner', 110, tart)]);
    const one = plan(withPeople(input, 1, { versions: long }));
    const runs = one.tasks.filter((task) => task.itemId === 'shell');
    const makings = runs.reduce((sum, task) => sum + task.makings, 0);
    const hours = runs.reduce((sum, { readyMin, startMin }) => sum + readyMin - startMin, 0) / 60;
    const batches = runs.reduce((sum, task) => sum + task.batches, 0);
    expect(makings).toBeGreaterThan(1);
    expect(hours).toBeGreaterThanOrEqual(2 * batches);
  });

  it('work that the day has no hands for goes to the day before, within its shelf life', () => {
    const roomy = versions.map((v) =>
      v.itemId === 'sponge'
        ? { ...v, steps: [{ id: 'bake', workingMin: 400, waitingMin: 0, growingFraction: 1 }] }
        : v,
    );
    const input = planInput([service('2026-03-10', 'Lunch', 60, both)]);
    const free = plan(withPeople(input, 9, { versions: roomy }));
    const tight = plan(withPeople(input, 1, { versions: roomy }));
    const dayOf = (result: SitePlan) =>
      result.tasks.filter((task) => task.itemId === 'sponge').map((task) => task.makeDate);
    expect(dayOf(free)).toEqual(['2026-03-09']);
    expect(tight.shortages).toEqual([]);
    const lateWork = tight.tasks.filter(({ readyMin }) => readyMin > at('2026-03-10', '12:00'));
    expect(lateWork).toEqual([]);
    expect(Math.min(...tight.tasks.map(({ startMin }) => startMin))).toBeLessThan(
      Math.min(...free.tasks.map(({ startMin }) => startMin)),
    );
  });

  it('is never silently short: when hands are missing it says so, with the component', () => {
    const heavy = changed('shell', {
      steps: [{ id: 'line', workingMin: 600, waitingMin: 0 }],
    });
    const input = planInput([service('2026-03-10', 'Lunch', 200, both)]);
    const result = plan(withPeople(input, 1, { versions: heavy }));
    const short = result.shortages.filter(({ itemId }) => itemId === 'shell');
    expect(short.map(({ reason }) => reason)).toContain('no-hands');
    expect(short[0]?.message).toMatch(/shell.*not enough people on shift/);
  });

  it('an oven in use makes two bakes follow each other', () => {
    const bake = (id: string) => [
      { id, workingMin: 5, waitingMin: 300, equipment: { kind: 'oven', amount: 1 } },
    ];
    const baked = versions.map((v) =>
      v.itemId === 'shell' || v.itemId === 'sponge' ? { ...v, steps: bake(v.itemId) } : v,
    );
    const input = planInput([service('2026-03-10', 'Dinner', 40, both)]);
    const oven = [{ kind: 'oven', name: 'Oven', units: 1 }];
    const result = plan(withPeople(input, 3, { versions: baked, equipment: oven }));
    expect(result.shortages).toEqual([]);
    const bakes = result.tasks
      .filter(({ itemId }) => itemId === 'shell' || itemId === 'sponge')
      .sort((a, b) => a.startMin - b.startMin);
    expect(bakes).toHaveLength(2);
    expect(bakes[1]?.startMin).toBeGreaterThanOrEqual((bakes[0]?.readyMin ?? NaN) - 5);
  });
});

describe('work under way keeps its people and equipment', () => {
  const soon = service('2026-03-09', 'Dinner', 40, tart);
  const base = withPeople(planInput([soon]), 1, { nowMin: at('2026-03-09', '08:00') });
  const baked = changed('shell', {
    steps: [{ id: 'bake', workingMin: 10, waitingMin: 50, equipment: { kind: 'oven', amount: 1 } }],
  });
  const oven = [{ kind: 'oven', name: 'Oven', units: 1 }];
  const started = (steps: PlanVersion['steps'], more = {}) => ({
    taskId: 't1',
    itemId: 'sponge',
    startedMin: at('2026-03-09', '07:30'),
    batches: 1,
    makings: 1,
    steps,
    ...more,
  });
  const shellOf = (result: SitePlan) => result.tasks.filter(({ itemId }) => itemId === 'shell');

  it('what stands in the oven till the evening leaves the oven to nobody else', () => {
    const input = { ...base, versions: baked, equipment: oven };
    expect(plan(input).shortages).toEqual([]);
    const full = {
      id: 'bake',
      workingMin: 10,
      waitingMin: 660,
      equipment: { kind: 'oven', amount: 1 },
    };
    const result = plan({ ...input, underWay: [started([full])] });
    const short = result.shortages.filter(({ itemId }) => itemId === 'shell');
    const late = result.tight.filter(({ itemId }) => itemId === 'shell');
    expect([...short, ...late].map(({ message }) => message).join()).toContain('Oven in use');
  });

  it('frees it when it is through, counted from when it was started', () => {
    const input = { ...base, versions: baked, equipment: oven };
    const half = {
      id: 'bake',
      workingMin: 10,
      waitingMin: 500,
      equipment: { kind: 'oven', amount: 1 },
    };
    const result = plan({ ...input, underWay: [started([half])] });
    // 07:30 and 510 minutes.
    for (const { startMin } of shellOf(result)) {
      expect(startMin).toBeGreaterThanOrEqual(at('2026-03-09', '16:00'));
    }
    expect(shellOf(result)).not.toEqual([]);
  });

  it('hands that are at it cannot begin something else, several makings one after another', () => {
    const piping = { id: 'pipe', workingMin: 120, waitingMin: 0, growingFraction: 1 };
    const alone = plan({ ...base, underWay: [started([piping], { batches: 4, makings: 4 })] });
    // One person from 07:30 for four times two hours.
    for (const { startMin } of alone.tasks.filter(({ makeDate }) => makeDate === '2026-03-09')) {
      expect(startMin).toBeGreaterThanOrEqual(at('2026-03-09', '15:30'));
    }
    const two = plan({
      ...base,
      ...withPeople(base, 2),
      underWay: [started([piping], { batches: 4, makings: 4 })],
    });
    expect(two.shortages.length).toBeLessThanOrEqual(alone.shortages.length);
  });
});

describe('bad input is said, not planned around', () => {
  it('moulds that hold less than the smallest batch are named', () => {
    const moulded = changed('curd', {
      steps: [
        {
          id: 'fill',
          workingMin: 20,
          waitingMin: 60,
          equipment: { kind: 'dome', amount: 24, keptDuringHold: true },
        },
      ],
    });
    const input = planInput([service('2026-03-10', 'Dinner', 40, tart)]);
    const result = plan(
      withPeople(input, 2, {
        versions: moulded,
        equipment: [{ kind: 'dome', name: 'Dome moulds', units: 6 }],
      }),
    );
    const [short] = result.shortages;
    expect(short?.itemId).toBe('curd');
    expect(short?.reason).toBe('vessels-too-small');
    expect(short?.message).toContain('Dome moulds hold less than the smallest batch');
    expect(short?.equipmentKind).toBe('dome');
  });

  it('a component without any shelf life is short with the reason, and nothing of it is made', () => {
    const input = planInput([service('2026-03-10', 'Dinner', 40, tart)]);
    const result = plan({ ...input, versions: changed('curd', { shelfLifeMin: 0 }) });
    expect(result.tasks.filter(({ itemId }) => itemId === 'curd')).toEqual([]);
    const short = result.shortages.filter(({ itemId }) => itemId === 'curd');
    expect(short.map(({ reason }) => reason)).toEqual(['shelf-life-too-short']);
  });

  it('a shelf life that ends before the service does is short, however soon it is made', () => {
    const input = planInput([service('2026-03-10', 'Dinner', 40, tart)]);
    const result = plan({ ...input, versions: changed('curd', { shelfLifeMin: 60 }) });
    expect(result.shortages.find(({ itemId }) => itemId === 'curd')?.reason).toBe(
      'shelf-life-too-short',
    );
  });

  it('a shelf life shorter than the lead time that hours and setting leave is short, never late', () => {
    // It sets fourteen hours. Begun when the kitchen opens it is ready after dinner; begun at eleven
    // the evening before, at one, and then it must keep till dinner is over.
    const setting = (shelfLifeMin: number): SitePlan =>
      plan({
        ...planInput([service('2026-03-10', 'Dinner', 40, tart)]),
        versions: changed('curd', {
          shelfLifeMin,
          steps: [{ id: 'set', workingMin: 5, waitingMin: 14 * 60 }],
        }),
      });
    const shortOf = (result: SitePlan) =>
      result.shortages.filter(({ itemId }) => itemId === 'curd').map(({ reason }) => reason);
    expect(shortOf(setting(4 * 60))).toEqual(['shelf-life-too-short']);
    expect(setting(4 * 60).tasks.filter(({ itemId }) => itemId === 'curd')).toEqual([]);
    const keeps = setting(24 * 60);
    expect(shortOf(keeps)).toEqual([]);
    expect(keeps.tasks.find(({ itemId }) => itemId === 'curd')?.makeDate).toBe('2026-03-09');
  });

  it('a component that needs itself is refused with the circle', () => {
    const line = { id: 'l', itemId: 'curd', quantity: 10, yieldFraction: 1 };
    const circle = version('curd', { output: 1200, lines: [{ ...line, perBatch: false }] });
    const input = planInput([service('2026-03-10', 'Dinner', 40, tart)]);
    const refused = planSite({
      ...input,
      versions: [...versions.filter(({ itemId }) => itemId !== 'curd'), circle],
    });
    expect(refused.ok ? null : refused.error.kind).toBe('recipe-cycle');
  });

  it('a service while the kitchen is closed is planned for, from stock and from the hours before', () => {
    const input = planInput([service('2026-03-10', 'Lunch', 40, tart)]);
    const before = input.open.filter(({ date }) => date < '2026-03-10');
    const result = plan(withPeople({ ...input, open: before }, 2));
    expect(result.shortages).toEqual([]);
    expect(result.tasks.every(({ makeDate }) => makeDate < '2026-03-10')).toBe(true);
  });
});

describe('working a plan out again', () => {
  const input = withPeople(
    planInput([
      service('2026-03-11', 'Dinner', 60, both),
      service('2026-03-12', 'Dinner', 60, both),
      service('2026-03-13', 'Dinner', 60, both),
    ]),
    2,
  );
  const kept = (result: SitePlan) =>
    result.tasks.map(({ itemId, versionId, makeDate, startMin, batches }) => ({
      itemId,
      versionId,
      makeDate,
      startMin,
      batches,
    }));
  const signature = (result: SitePlan) =>
    result.tasks.map((task) => `${task.itemId} ${task.makeDate} ${task.batches}`).sort();

  it('gives the same plan when nothing has changed', () => {
    const first = plan(input);
    expect(signature(plan({ ...input, previousRuns: kept(first) }))).toEqual(signature(first));
    expect(plan(input)).toEqual(first);
  });

  it('moves no more for a handful of covers than a plan made afresh, and less where it can', () => {
    const first = plan(input);
    let moved = 0;
    let afresh = 0;
    for (const covers of [56, 58, 62, 64, 70]) {
      const services = [
        service('2026-03-11', 'Dinner', 60, both),
        service('2026-03-12', 'Dinner', covers, both),
        service('2026-03-13', 'Dinner', 60, both),
      ];
      const before = new Set(signature(first));
      const changes = (result: SitePlan): number =>
        signature(result).filter((run) => !before.has(run)).length;
      moved += changes(plan({ ...input, services, previousRuns: kept(first) }));
      afresh += changes(plan({ ...input, services }));
    }
    expect(moved).toBeLessThanOrEqual(afresh);
  });
});
