import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeEach, describe, expect, inject, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const opened: TestApp[] = [];
const chef = chefOf(SITE);

beforeEach(async () => {
  test = await startTestApp('2026-03-10T05:30:00Z');
  opened.push(test);
  await fillKitchen(test);
  await test.services.prep.workOut(SYSTEM, SITE, 3);
});
afterAll(async () => {
  for (const one of opened) await one.close();
});

const prisma = () => test.database.prisma;
const curd = () =>
  prisma().prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
const post = async (act: string, body: object = {}) =>
  test
    .as(chef)
    .post(`/v1/prep-tasks/${(await curd()).id}/${act}`)
    .send(body);
const lots = () => prisma().stockLot.findMany({ where: { archivedAt: null } });

describe('a task', () => {
  it('finished in part is part done, and only what was made is in stock', async () => {
    const part = await post('finish', { made: { value: 400, unit: 'g' }, partial: true });
    expect(part.status).toBe(200);
    expect(part.body.status).toBe('part_done');
    expect((await lots()).map(({ quantity }) => quantity)).toEqual([400]);
  });

  it.each(['start', 'finish', 'abandon'])(
    'that is done is no longer there to %s, and its stock stays',
    async (act) => {
      await post('finish', { made: { value: 1200, unit: 'g' } });
      const bodies: Record<string, object> = {
        finish: { made: { value: 900, unit: 'g' } },
        abandon: { reason: 'Split' },
      };
      const refused = await post(act, bodies[act]);
      expect(refused.status).toBe(409);
      expect(refused.body.detail).toContain('already');
      expect((await lots()).map(({ quantity }) => quantity)).toEqual([1200]);
    },
  );

  it('that the plan does without since takes no tick and says to look at the new list', async () => {
    await prisma().prepTask.update({
      where: { id: (await curd()).id },
      data: { status: 'dropped' },
    });
    const refused = await post('finish', { made: { value: 1200, unit: 'g' } });
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toContain('new list');
    expect(await lots()).toEqual([]);
  });

  it('given up and taken back keeps its reason on the record', async () => {
    await post('abandon', { reason: 'Curd split' });
    expect((await post('undo')).body).toMatchObject({ status: 'to_do', reason: null });
    const trail = await prisma().auditEvent.findMany({
      where: { subjectId: (await curd()).id },
      orderBy: { at: 'asc' },
    });
    const abandoned = trail.find(({ action }) => action === 'task abandoned');
    expect(abandoned?.detail).toMatchObject({ from: 'to_do', reason: 'Curd split' });
    const back = trail.find(({ action }) => action === 'task to_do');
    expect(back).toMatchObject({ actorId: chef.id, detail: { from: 'abandoned' } });
  });

  it('finished on one tablet and taken back on another is one or the other, stock and all', async () => {
    for (let round = 0; round < 4; round += 1) {
      await post('start');
      await Promise.all([post('finish', { made: { value: 1200, unit: 'g' } }), post('undo')]);
      const done = (await curd()).status === 'done';
      expect((await lots()).map(({ quantity }) => quantity)).toEqual(done ? [1200] : []);
      if (done) expect((await post('undo')).status).toBe(200);
    }
  });

  // Over the embedded database transactions follow one another, so nothing can come in between.
  it.skipIf(inject('databaseTemplate').kind === 'embedded')(
    'is judged as it stands when its turn comes, not as it stood when the tick was sent',
    async () => {
      const { id } = await curd();
      const startedAt = new Date('2026-03-10T05:10:00Z');
      const asked = await prisma().$transaction(async (tx) => {
        await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${SITE}))::text`;
        const finish = post('finish', { made: { value: 1200, unit: 'g' } });
        for (let waits = 0; ; waits += 1) {
          const [held] = await tx.$queryRaw<{ waiting: number }[]>`
            SELECT count(*)::int AS waiting FROM pg_locks WHERE locktype = 'advisory' AND NOT granted
              AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`;
          if (held?.waiting === 1) break;
          if (waits === 500) throw new Error('The tick never asked for the lock of its site.');
          await wait(20);
        }
        // Another tablet's tick lands while this one waits.
        await tx.prepTask.update({
          where: { id },
          data: { status: 'started', startedAt, tickedAt: startedAt, rev: { increment: 1 } },
        });
        return { finish };
      });
      const done = await asked.finish;
      expect(done.body).toMatchObject({ status: 'done', startedAt: startedAt.toISOString() });
      const trail = await prisma().auditEvent.findMany({ where: { subjectId: id } });
      expect(trail.map(({ detail }) => detail)).toMatchObject([{ from: 'started' }]);
    },
  );
});
