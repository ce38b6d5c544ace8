import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// The kitchen of demo-site with three more components in the tart, so that stations have several tasks.
const MORNING = '2026-03-10T05:30:00Z';
const at = `/v1/sites/${SITE}`;
const chef = chefOf(SITE);
const dates = ['2026-03-10', '2026-03-11', '2026-03-12'];
let test: TestApp;

interface Task {
  readonly id: string;
  readonly station: string;
  readonly startBy: string;
  readonly beginNowFrom: string;
  readonly toMake: { readonly amount: { readonly value: number } };
  readonly changed: unknown;
}
const listOf = async (date: string): Promise<readonly Task[]> =>
  (await test.as(chef).get(`${at}/prep-list?date=${date}`).expect(200)).body.tasks;

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  const { prisma: db } = test.database;
  const more = [
    ['crumb', 'oven', 20],
    ['cream', 'stove', 40],
    ['sorrel', 'cold', 10],
  ] as const;
  for (const [i, [name, station, workingMin]] of more.entries()) {
    await db.recipe.create({
      data: { id: `rcp_${name}`, kind: 'component', name, baseUnit: 'g', station },
    });
    await db.recipeVersion.create({
      data: {
        id: `ver_${name}`,
        recipeId: `rcp_${name}`,
        number: 1,
        status: 'published',
        firstServiceDate: new Date('2026-01-01T00:00:00Z'),
        outputValue: 500,
        outputUnit: 'g',
        outputQuantity: 500,
        batchMin: 1,
        batchMultiple: 1,
        shelfLifeMin: 1440,
        storage: 'chilled',
        cautions: [],
        createdBy: 'test',
        lines: {
          create: {
            id: `line_${name}`,
            position: 0,
            ingredientId: 'ing_butter',
            value: 100,
            unit: 'g',
            quantity: 100,
          },
        },
        steps: {
          create: {
            id: `step_${name}`,
            position: 0,
            text: 'Make it.',
            kind: 'work',
            workingMin,
            waitingMin: 0,
          },
        },
      },
    });
    await db.recipeLine.create({
      data: {
        id: `line_tart_${name}`,
        versionId: 'ver_tart',
        position: 2 + i,
        componentId: `rcp_${name}`,
        value: 15,
        unit: 'g',
        quantity: 15,
      },
    });
  }
  await test.services.prep.workOut(chef, SITE, 7);
});
afterAll(() => test.close());

describe('the day’s list', () => {
  it('is by station and time, and says from when each task goes before the others', async () => {
    for (const date of dates) {
      const tasks = await listOf(date);
      expect(tasks.length, date).toBeGreaterThan(2);
      const keys = tasks.map(({ station, startBy }) => `${station} ${startBy}`);
      expect(keys).toEqual([...keys].sort());
      expect(
        tasks.map(({ beginNowFrom, startBy }) => Date.parse(startBy) - Date.parse(beginNowFrom)),
      ).toEqual(tasks.map(() => 15 * 60_000));
    }
  });

  it('does not reorder what did not move when it is asked for again, ticked or planned again', async () => {
    const { prisma: db } = test.database;
    const readAll = async () => (await Promise.all(dates.map(listOf))).flat();
    const places = (tasks: readonly Task[]) =>
      new Map(tasks.map(({ id, station, startBy }) => [id, `${station} ${startBy}`]));
    let before = await readAll();
    const [first] = before;
    const changes: readonly (() => Promise<unknown>)[] = [
      () => Promise.resolve(),
      () => test.as(chef).post(`/v1/prep-tasks/${first?.id}/start`).expect(200),
      () => test.as(chef).post(`/v1/prep-tasks/${first?.id}/undo`).expect(200),
      () => test.services.prep.workOut(chef, SITE, 7),
      async () => {
        await db.coversSnapshot.create({
          data: {
            id: 'snap_more',
            siteId: SITE,
            serviceId: SERVICE,
            serviceDate: new Date('2026-03-11T00:00:00Z'),
            takenAt: new Date('2026-03-10T05:20:00Z'),
            booked: 58,
          },
        });
        await test.services.prep.workOut(chef, SITE, 7);
      },
    ];
    for (const change of changes) {
      await change();
      const after = await readAll();
      const was = places(before);
      const stands = new Set(
        [...places(after)].filter(([id, place]) => was.get(id) === place).map(([id]) => id),
      );
      expect(stands.size).toBeGreaterThan(3);
      const orderOf = (tasks: readonly Task[]) =>
        tasks.map(({ id }) => id).filter((id) => stands.has(id));
      expect(orderOf(after)).toEqual(orderOf(before));
      before = after;
    }
    // The last plan did change something, and what it changed is marked.
    expect(before.filter(({ changed }) => changed !== null).length).toBeGreaterThan(0);
  });
});

describe('the list as CSV', () => {
  const csv = async (): Promise<readonly Record<string, string>[]> =>
    parse((await test.as(chef).get(`${at}/prep-list.csv?from=2026-03-10&days=3`)).text, {
      columns: true,
    });

  it('marks nothing while nothing is due, and goes day by day, by station and time', async () => {
    test.clock.set('2026-03-09T23:30:00Z');
    try {
      const rows = await csv();
      expect(rows.length).toBeGreaterThan(6);
      expect(rows.map((row) => row.begin_now)).toEqual(rows.map(() => ''));
      const keys = rows.map((row) => `${row.date} ${row.station} ${row.start_by}`);
      expect(keys).toEqual([...keys].sort());
    } finally {
      test.clock.set(MORNING);
    }
  });

  it('puts first, by time across stations, what must be begun at that moment', async () => {
    const tasks = (await listOf('2026-03-10')).toSorted((a, b) =>
      a.startBy.localeCompare(b.startBy),
    );
    const due = tasks[Math.floor(tasks.length / 2)];
    test.clock.set(due?.beginNowFrom ?? '');
    try {
      const rows = await csv();
      const wanted = tasks.filter(({ startBy }) => startBy <= (due?.startBy ?? ''));
      const first = rows.slice(0, wanted.length);
      expect(first.map((row) => row.task_id).sort()).toEqual(wanted.map(({ id }) => id).sort());
      expect(first.map((row) => row.begin_now)).toEqual(first.map(() => 'now'));
      const times = first.map((row) => row.start_by);
      expect(times).toEqual([...times].sort());
      const later = rows.slice(wanted.length);
      expect(later.map((row) => row.begin_now)).toEqual(later.map(() => ''));
      const keys = later.map((row) => `${row.date} ${row.station} ${row.start_by}`);
      expect(keys).toEqual([...keys].sort());
    } finally {
      test.clock.set(MORNING);
    }
  });
});
