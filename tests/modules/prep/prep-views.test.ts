import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PrepTask } from '../../../api/modules/prep/index.ts';
import { calendarEntries } from '../../../api/modules/prep/prep-files.ts';
import type { PrepList } from '../../../api/modules/prep/read-list.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// The kitchen of demo-site, planned for a week; the curd sets for six hours.
let test: TestApp;
const chef = chefOf(SITE);
const at = `/v1/sites/${SITE}`;

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  await test.services.prep.workOut(chef, SITE, 7);
});
afterAll(() => test.close());

interface Task {
  id: string;
  component: { id: string; name: string };
  toMake: { amount: { value: number } };
  makeDate: string;
  startBy: string;
  readyBy: string;
}
const listOf = async (date: string) =>
  (await test.as(chef).get(`${at}/prep-list?date=${date}`).expect(200)).body as { tasks: Task[] };
const dates = ['2026-03-10', '2026-03-11', '2026-03-12', '2026-03-13', '2026-03-14'];

describe('the week', () => {
  it('shows on each day what that day’s list makes, component by component', async () => {
    const { body } = await test
      .as(PURCHASING)
      .get(`${at}/production?from=2026-03-10&days=5`)
      .expect(200);
    expect(body.dates).toEqual(dates);
    let made = 0;
    for (const date of dates) {
      const { tasks } = await listOf(date);
      for (const row of body.rows) {
        const sum = tasks
          .filter((task) => task.component.id === row.component.id)
          .reduce((total, task) => total + task.toMake.amount.value, 0);
        const day = row.days.find((one: { date: string }) => one.date === date);
        expect(day?.amount.value ?? 0, `${row.component.name} ${date}`).toBeCloseTo(sum, 9);
        made += sum;
      }
    }
    expect(made).toBeGreaterThan(0);
    const stations = body.rows.map((row: { station: string }) => row.station);
    expect(stations).toEqual([...stations].sort());
  });

  it('begins today when no day is named, and refuses spans that make no sense', async () => {
    const { body } = await test.as(chef).get(`${at}/production`).expect(200);
    expect([body.dates[0], body.dates.length]).toEqual(['2026-03-10', 7]);
    for (const bad of ['days=0', 'days=32', 'days=x', 'from=2026-02-30']) {
      await test.as(chef).get(`${at}/production?${bad}`).expect(400);
    }
    await test.as(chefOf('site_other')).get(`${at}/production`).expect(403);
  });
});

describe('what to pull for tomorrow', () => {
  it('names tasks of today that are ready only then, and no others', async () => {
    const { tasks } = await listOf('2026-03-10');
    const { body } = await test.as(chef).get(`${at}/pull-list?date=2026-03-10`).expect(200);
    expect(body).toMatchObject({ date: '2026-03-10', forDate: '2026-03-11' });
    const overnight = tasks.filter((task) => task.readyBy >= '2026-03-10T23:00:00Z');
    expect(body.beginToday.map((task: { taskId: string }) => task.taskId)).toEqual(
      overnight.map((task) => task.id),
    );
  });

  it('names frozen stock that tomorrow uses, first-expiring first, and says to whom it goes', async () => {
    const db = test.database.prisma;
    await db.recipeVersion.update({ where: { id: 'ver_shell' }, data: { storage: 'frozen' } });
    await db.stockLot.create({
      data: {
        id: 'lot_shell',
        siteId: SITE,
        itemKind: 'component',
        itemId: 'rcp_shell',
        quantity: 200,
        madeAt: new Date('2026-03-09T10:00:00Z'),
        useBy: new Date('2026-04-09T10:00:00Z'),
        sourceKind: 'count',
        sourceId: 'cnt_x',
      },
    });
    await test.services.prep.workOut(chef, SITE, 7);
    const { body } = await test.as(chef).get(`${at}/pull-list?date=2026-03-10`).expect(200);
    const [use] = body.outOfFreezer;
    expect(use).toMatchObject({
      lotId: 'lot_shell',
      item: { name: 'Tart shell' },
      usedBy: 'Lemon tart, Dinner',
      at: '2026-03-11T18:00:00.000Z',
    });
    const plan = await test.services.prep.currentPlan(chef, SITE);
    const portions = plan.summary.portions.find(
      (row) => row.serviceSlotId === 'svc_dinner:2026-03-11',
    );
    expect(use.amount.value).toBe(portions?.portions);
    expect(body.notice).toMatch(/local codes/);
  });
});

describe('files of the list', () => {
  it('carry every task as CSV, on the site’s clock, and no cell is a formula', async () => {
    const db = test.database.prisma;
    await db.recipe.update({ where: { id: 'rcp_curd' }, data: { name: '=1+1 Lemon, "curd"' } });
    const { text, headers } = await test
      .as(chef)
      .get(`${at}/prep-list.csv?from=2026-03-10&days=5`)
      .expect(200);
    expect(headers['content-type']).toContain('text/csv');
    expect(headers['content-disposition']).toContain('prep-2026-03-10.csv');
    const rows = parse<Record<string, string>>(text, { columns: true });
    const all = (await Promise.all(dates.map(listOf))).flatMap((list) => list.tasks);
    expect(rows.map((row) => row.task_id).sort()).toEqual(all.map((task) => task.id).sort());
    const curd = rows.find((row) => row.component?.includes('curd'));
    expect(curd?.component).toBe(`'=1+1 Lemon, "curd"`);
    const task = all.find((one) => one.id === curd?.task_id);
    // Rome is an hour ahead of UTC in March.
    const rome = new Date(Date.parse(task?.startBy ?? '') + 3_600_000).toISOString();
    expect(curd?.start_by).toBe(rome.slice(0, 16).replace('T', ' '));
    expect(rows.map((row) => row.begin_now)).not.toContain('now');
    const week = await test.as(chef).get(`${at}/production.csv?from=2026-03-10&days=5`).expect(200);
    const [head] = parse(week.text);
    expect(head).toEqual(['station', 'component', 'unit', ...dates]);
  });

  it('carry what is to be made as a calendar that RFC 5545 allows', async () => {
    const { text, headers } = await test
      .as(chef)
      .get(`${at}/prep-list.ics?from=2026-03-10&days=5`)
      .expect(200);
    expect(headers['content-type']).toContain('text/calendar');
    const all = (await Promise.all(dates.map(listOf))).flatMap((list) => list.tasks);
    expect(text.match(/BEGIN:VEVENT/g)).toHaveLength(all.length);
    expect(text.split('\r\n').every((line) => Buffer.byteLength(line) <= 75)).toBe(true);
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    const stamp = (instant: string) => `${instant.slice(0, 19).replace(/[-:]/g, '')}Z`;
    const [task] = all;
    const unfolded = text.replaceAll('\r\n ', '');
    expect(unfolded).toContain(`UID:${task?.id}@tamis`);
    expect(unfolded).toContain(`DTSTART:${stamp(task?.startBy ?? '')}`);
    expect(unfolded).toContain(`DTEND:${stamp(task?.readyBy ?? '')}`);
    expect(unfolded).toMatch(/SUMMARY:=1\+1 Lemon\\, "curd"\\, /);
  });
});

describe('a calendar entry', () => {
  it('says pieces of what is counted', () => {
    const list = { names: new Map([['rcp_shell', { name: 'Tart shell', baseUnit: 'each' }]]) };
    const task = {
      ...{ id: 'task_1', recipeId: 'rcp_shell', quantity: 36, status: 'to_do', station: 'oven' },
      ...{ startBy: new Date(0), readyBy: new Date(60_000), neededFor: [], cautions: [] },
    };
    const [entry] = calendarEntries(list as unknown as PrepList, [task as unknown as PrepTask]);
    expect(entry?.title).toBe('Tart shell, 36 pieces');
  });
});

describe('the day’s list', () => {
  it('says what is tight on that day and how much the plan could still save', async () => {
    const plan = await test.services.prep.currentPlan(chef, SITE);
    const { body } = await test.as(chef).get(`${at}/prep-list?date=2026-03-11`).expect(200);
    expect(body.solution).toEqual({
      method: 'level-by-level',
      costMin: plan.summary.solution?.costMin,
      handsMin: plan.summary.solution?.handsMin,
      boundMin: plan.summary.solution?.boundMin,
      gapFraction: plan.summary.solution?.gap,
    });
    const tight = (plan.summary.tight ?? []).map((run) => new Date(run.dueMin * 60_000));
    const onDay = tight.filter((due) => due.toISOString().startsWith('2026-03-11'));
    expect(body.tight).toHaveLength(onDay.length);
  });
});
