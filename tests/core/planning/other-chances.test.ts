import { describe, expect, it } from 'vitest';
import { openIntervals } from '../../../api/core/calendar/index.ts';
import type { ServiceDate } from '../../../api/core/calendar/index.ts';
import { barWithoutInputs, isBarred } from '../../../api/core/planning/bar-chances.ts';
import { planSite } from '../../../api/core/planning/index.ts';
import type { PlanVersion, SitePlanInput } from '../../../api/core/planning/index.ts';
import { productionSlots } from '../../../api/core/planning/production-slots.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { at, planInput, service, versions, ZONE } from './lake-scenario.ts';

const tart = [{ dishId: 'tart', share: 0.4 }] as const;

/** Tarts at one dinner, and a kitchen that is closed on some days before it. */
function dinnerAfter(
  date: ServiceDate,
  closedDates: readonly ServiceDate[],
  changed: Readonly<Record<string, Partial<PlanVersion>>>,
): SitePlanInput {
  const hours = ([1, 2, 3, 4, 5, 6, 7] as const).map((weekday) => ({
    weekday,
    opens: '07:00',
    closes: '23:00',
  }));
  const fromDate = '2026-03-09';
  return planInput([service(date, 'Dinner', 40, tart)], {
    open: unwrap(openIntervals({ zone: ZONE, hours, closedDates, fromDate, toDate: date })),
    versions: versions.map((v) => ({ ...v, ...changed[v.itemId] })),
  });
}

const rest = (waitingMin: number, holdMaxMin: number): PlanVersion['steps'] => [
  { id: 'rest', workingMin: 20, waitingMin, holdMaxMin },
];

describe('chances to make a component', () => {
  it('are kept apart where one evening serves lunch and dinner, finished before each', () => {
    const open = unwrap(
      openIntervals({
        zone: ZONE,
        hours: [1, 2, 3, 4, 5, 6, 7].map((weekday) => ({
          weekday: weekday as 1,
          opens: '07:00',
          closes: '23:00',
        })),
        closedDates: [],
        fromDate: '2026-03-09',
        toDate: '2026-03-10',
      }),
    );
    const [lunch, dinner] = [at('2026-03-10', '12:00'), at('2026-03-10', '19:00')];
    const slots = productionSlots({
      steps: [
        { id: 'fill', workingMin: 30, waitingMin: 720, holdMaxMin: 7 * 24 * 60 },
        { id: 'unmould', workingMin: 10, waitingMin: 0 },
      ],
      shelfLifeMin: 24 * 60,
      open,
      nowMin: at('2026-03-09', '12:00'),
      needTimes: [lunch, dinner],
    });
    const evening = slots.filter(({ startMin }) => startMin === at('2026-03-09', '22:30'));
    expect(evening.map(({ readyMin }) => readyMin)).toEqual([lunch, dinner]);
    expect(new Set(slots.map(({ id }) => id)).size).toBe(slots.length);
  });

  it('are given up where a component cannot be there: the run moves to a day on which it can', () => {
    // The paste rests twelve hours and keeps twelve: there is none for a shell on the day of the dinner,
    // but there is on the evening before the closed day, and a shell keeps four days.
    const input = dinnerAfter('2026-03-11', ['2026-03-10'], {
      'sweet-paste': { steps: rest(720, 0), shelfLifeMin: 12 * 60 },
      shell: { shelfLifeMin: 96 * 60 },
    });
    const plan = unwrap(planSite(input));
    expect(plan.shortages).toEqual([]);
    const dayOf = (id: string) =>
      plan.tasks.filter(({ itemId }) => itemId === id).map(({ makeDate }) => makeDate);
    expect(dayOf('shell')).toEqual(['2026-03-09']);
    expect(dayOf('sweet-paste')).toEqual(['2026-03-09']);
  });

  it('that must be given up because what is done may not wait that long say so', () => {
    const input = dinnerAfter('2026-03-12', ['2026-03-10', '2026-03-11'], {
      'sweet-paste': { steps: rest(720, 24 * 60 + 39), shelfLifeMin: 96 * 60 },
      shell: { shelfLifeMin: 6 * 60 },
    });
    const short = unwrap(planSite(input)).shortages.find(({ itemId }) => itemId === 'sweet-paste');
    expect(short?.reason).toBe('shelf-life-too-short');
    expect(short?.message).toMatch(
      /^sweet-paste may wait at most 24\.6 hours once it is done, and would be done too long before/,
    );
  });

  it('are too late for today for a reason of today, whatever keeps another day from being served', () => {
    const input = dinnerAfter('2026-03-12', ['2026-03-10', '2026-03-11'], {
      'sweet-paste': { steps: rest(720, 24 * 60), shelfLifeMin: 96 * 60 },
      shell: { shelfLifeMin: 6 * 60 },
    });
    const both = {
      ...input,
      services: [service('2026-03-09', 'Lunch', 40, tart), ...input.services],
    };
    const said = unwrap(planSite(both)).shortages.filter(({ itemId }) => itemId !== 'curd');
    const of = (date: string) => said.filter(({ serviceDate }) => serviceDate === date);
    expect(of('2026-03-09').map(({ message }) => message)).not.toHaveLength(0);
    for (const { message } of of('2026-03-09')) expect(message).not.toContain('may wait at most');
    expect(
      of('2026-03-12')
        .map(({ message }) => message)
        .join(),
    ).toContain('may wait at most');
  });

  it('are barred up to where the run began, and for the whole day where that did not help', () => {
    const { open } = dinnerAfter('2026-03-11', [], {});
    const startMin = at('2026-03-10', '15:00');
    const draft = {
      tasks: [{ id: 'run-1', itemId: 'shell', startMin }],
      shortages: [{ itemId: 'sweet-paste', usedByTask: 'run-1' }],
    } as unknown as Parameters<typeof barWithoutInputs>[0];
    const once = barWithoutInputs(draft, open, new Map());
    const stretches = once?.get('shell') ?? [];
    expect(isBarred(at('2026-03-10', '07:00'), stretches)).toBe(true);
    expect(isBarred(at('2026-03-10', '15:01'), stretches)).toBe(false);
    expect(isBarred(at('2026-03-09', '22:59'), stretches)).toBe(false);
    const twice = barWithoutInputs(draft, open, once ?? new Map());
    expect(isBarred(at('2026-03-10', '22:00'), twice?.get('shell') ?? [])).toBe(true);
    expect(barWithoutInputs(draft, open, twice ?? new Map())).toBeNull();
  });
});
