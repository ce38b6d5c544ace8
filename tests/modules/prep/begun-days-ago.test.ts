import { afterAll, beforeAll, expect, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const chef = chefOf(SITE);
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());

it('a task begun days ago that nobody finished stays on the day’s list, and its batches count as coming', async () => {
  const { prisma } = test.database;
  await test.services.prep.workOut(SYSTEM, SITE);
  const task = await prisma.prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd', status: 'to_do' },
    orderBy: { startBy: 'asc' },
  });
  await test.as(chef).post(`/v1/prep-tasks/${task.id}/start`).send({}).expect(200);
  await prisma.prepTask.update({
    where: { id: task.id },
    data: {
      makeDate: new Date('2026-03-06T00:00:00Z'),
      useBy: new Date('2026-03-12T00:00:00Z'),
      startedAt: new Date('2026-03-06T10:00:00Z'),
    },
  });
  const before = (await test.services.prep.currentPlan(SYSTEM, SITE)).id;
  // Twice: the first plan supersedes the one it was begun in.
  await test.services.prep.workOut(SYSTEM, SITE);
  const plan = await test.services.prep.workOut(SYSTEM, SITE);
  expect(plan.id).not.toBe(before);
  expect(plan.summary.taskIds).toContain(task.id);
  expect(plan.summary.stockUses.some(({ lotId }) => lotId === task.id)).toBe(true);

  const idsOn = async (date: string) =>
    (await test.services.prep.list(chef, SITE, date)).tasks.map(({ id }) => id);
  expect(await idsOn('2026-03-10')).toContain(task.id);
  // Other days have their own work only.
  expect(await idsOn('2026-03-11')).not.toContain(task.id);
  expect(await idsOn('2026-03-06')).toContain(task.id);

  // The list kept as tomorrow's does not serve once tomorrow has come.
  const asked = async () => {
    const { body } = await test
      .as(chef)
      .get(`/v1/sites/${SITE}/prep-list?date=2026-03-11`)
      .expect(200);
    return (body.tasks as { id: string }[]).map(({ id }) => id);
  };
  expect(await asked()).not.toContain(task.id);
  test.clock.set('2026-03-11T05:30:00Z');
  expect(await asked()).toContain(task.id);
  test.clock.set('2026-03-10T05:30:00Z');

  await test.as(chef).post(`/v1/prep-tasks/${task.id}/abandon`).send({ reason: 'forgotten' });
  await test.services.prep.workOut(SYSTEM, SITE);
  expect(await idsOn('2026-03-10')).not.toContain(task.id);
});
