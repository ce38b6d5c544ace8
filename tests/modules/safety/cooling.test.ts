import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const opened: TestApp[] = [];
const chef = chefOf(SITE);

// The site follows the EU set: 60 to 10 °C within two hours.
beforeEach(async () => {
  test = await startTestApp('2026-03-10T12:00:00Z');
  opened.push(test);
  await fillKitchen(test);
  await prisma().recipeStep.update({
    where: { id: 'step_curd' },
    data: { cooling: true, kind: 'cook' },
  });
  await test.services.prep.workOut(SYSTEM, SITE, 3);
  const task = await prisma().prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
  curdId = task.id;
});
afterAll(async () => {
  for (const one of opened) await one.close();
});

const prisma = () => test.database.prisma;
let curdId: string;
const curd = () => prisma().prepTask.findUniqueOrThrow({ where: { id: curdId } });
const read = async (celsius: number, minutesAgo = 0, more: object = {}) =>
  test
    .as(chef)
    .post(`/v1/prep-tasks/${(await curd()).id}/cooling`)
    .send({ temperature: { value: celsius, unit: 'Cel' }, minutesAgo, ...more });
const finish = async () =>
  test
    .as(chef)
    .post(`/v1/prep-tasks/${(await curd()).id}/finish`)
    .send({ made: { value: 1200, unit: 'g' } })
    .expect(200);
const lot = () => prisma().stockLot.findFirstOrThrow({ where: { itemId: 'rcp_curd' } });
const breach = () => prisma().safetyBreach.findFirstOrThrow();
const usedByPlan = async (lotId: string) =>
  (await test.services.prep.workOut(SYSTEM, SITE, 3)).summary.stockUses.filter(
    (use) => use.lotId === lotId,
  ).length;

describe('a cooling record', () => {
  it('that keeps the limit is met, holds nothing back, and always carries the notice', async () => {
    await read(80, 100);
    const under = await read(30, 40);
    expect(under.status).toBe(201);
    expect(under.body).toMatchObject({ state: 'under-way', limit: expect.stringContaining('2 h') });
    await finish();
    const met = await read(9);
    expect(met.body).toMatchObject({ state: 'met', breaches: [] });
    expect(met.body.notice).toContain('local codes');
    expect((await lot()).heldReason).toBeNull();
  });

  it('counts minutes back from the clock of the service: none may lie ahead, none be days old', async () => {
    const first = await read(80, 30);
    expect(first.body.rounds[0].readings[0].at).toBe('2026-03-10T11:30:00.000Z');
    for (const minutesAgo of [-5, 2881]) {
      const refused = await read(60, minutesAgo);
      expect(refused.status).toBe(400);
      expect(refused.body.issues[0].pointer).toBe('/minutesAgo');
    }
    expect(await prisma().temperatureReading.count()).toBe(1);
  });

  it('refuses what no thermometer reads and a task that cools nothing', async () => {
    const hot = await read(900);
    expect(hot.status).toBe(422);
    expect(hot.body.issues[0].pointer).toBe('/temperature/value');
    const shell = await prisma().prepTask.findFirstOrThrow({ where: { recipeId: 'rcp_shell' } });
    await test
      .as(chef)
      .post(`/v1/prep-tasks/${shell.id}/cooling`)
      .send({ temperature: { value: 20, unit: 'Cel' } })
      .expect(409);
    expect(await prisma().temperatureReading.count()).toBe(0);
  });

  it('is closed to a chef of another site, and to purchasing for writing', async () => {
    const { id } = await curd();
    const body = { temperature: { value: 20, unit: 'Cel' } };
    const stranger = test.as(chefOf('site_other'));
    await stranger.get(`/v1/prep-tasks/${id}/cooling`).expect(404);
    await stranger.post(`/v1/prep-tasks/${id}/cooling`).send(body).expect(404);
    await stranger.get(`/v1/sites/${SITE}/safety`).expect(403);
  });
});

describe('a limit that was not kept', () => {
  it('holds what the task made: neither planned with nor used, until a lead releases it', async () => {
    await finish();
    const { id } = await lot();
    expect(await usedByPlan(id)).toBeGreaterThan(0);
    await read(80, 150);
    const answer = await read(40);
    expect(answer.body.state).toBe('breach');
    expect(answer.body.corrections.at(-1).id).toBe('throw-away');
    expect((await lot()).heldReason).toContain('Still above 10 °C');
    expect(await usedByPlan(id)).toBe(0);
    expect(await test.services.stock.list(SITE, { state: 'usable' }, { limit: 10 })).toMatchObject({
      items: [],
    });

    const decide = (body: object) => ({
      chef: test
        .as(chef)
        .post(`/v1/safety-breaches/${answer.body.breaches[0].id}/decision`)
        .send(body),
      lead: test
        .as(LEAD)
        .post(`/v1/safety-breaches/${answer.body.breaches[0].id}/decision`)
        .send(body),
    });
    const release = { decision: 'released', reason: 'Measured in the wrong tray' };
    await decide(release).chef.expect(403);
    await decide({ ...release, reason: '' }).lead.expect(400);
    await test
      .as(LEAD)
      .post(`/v1/stock-lots/${id}/release`)
      .send({ reason: 'looks fine' })
      .expect(409);
    expect((await lot()).heldReason).not.toBeNull();
    const decided = await decide(release).lead.expect(200);
    expect(decided.body.decision).toMatchObject({ what: 'released', by: LEAD.name });
    expect((await lot()).heldReason).toBeNull();
    expect(await usedByPlan(id)).toBeGreaterThan(0);
    await decide(release).lead.expect(409);
    const audit = await prisma().auditEvent.findMany({ where: { subjectKind: 'safety breach' } });
    expect(audit.map((line) => line.action).sort()).toEqual(['breach', 'release']);
  });

  it('before the task is finished makes its lots held from the start', async () => {
    await read(80, 150);
    await read(40);
    await finish();
    expect((await lot()).heldReason).toContain('Still above');
    const undo = await test
      .as(chef)
      .post(`/v1/prep-tasks/${(await curd()).id}/undo`)
      .send({});
    expect(undo.status).toBe(409);
    expect(undo.body.detail).toContain('held back');
  });

  it('is no breach on record while the later readings are still on their way', async () => {
    await finish();
    const first = await read(80, 150);
    expect(first.body.state).toBe('breach');
    expect(first.body.breaches).toEqual([]);
    expect((await lot()).heldReason).toBeNull();
    expect((await read(9, 60)).body.state).toBe('met');
    expect((await lot()).heldReason).toBeNull();
  });

  it('shows when no reading came in time, though the last one is cold', async () => {
    await read(80, 200);
    const late = await read(4);
    expect(late.body.state).toBe('breach');
    expect(late.body.rounds[0].findings[0].message).toContain('Nothing shows');
  });

  it('heated and cooled again begins a second record, and the lots stay held', async () => {
    await finish();
    await read(80, 150);
    await read(40, 5);
    const { id } = await breach();
    const choose = (correction: string) =>
      test.as(chef).post(`/v1/safety-breaches/${id}/correction`).send({ correction });
    await choose('chill-at-once').expect(400);
    await choose('heat-and-cool-again').expect(200);
    test.clock.advanceMinutes(60);
    await read(75, 50);
    const again = await read(8);
    expect(again.body.rounds).toHaveLength(2);
    expect(again.body.rounds[1].verdict).toBe('met');
    expect(again.body.breaches).toHaveLength(1);
    expect((await lot()).heldReason).not.toBeNull();
  });

  it('answered by throwing away writes the lots off and closes the breach', async () => {
    await finish();
    await read(80, 150);
    await read(40);
    await test
      .as(chef)
      .post(`/v1/safety-breaches/${(await breach()).id}/correction`)
      .send({ correction: 'throw-away', note: 'Smelled of sulphur' })
      .expect(200);
    expect((await lot()).quantity).toBe(0);
    expect(await breach()).toMatchObject({ decision: 'thrown away', decidedBy: chef.name });
    const waste = await prisma().stockMovement.findFirstOrThrow({ where: { kind: 'wasted' } });
    expect([waste.quantity, waste.reason]).toEqual([-1200, 'unsafe: Smelled of sulphur']);
    const overview = await test.as(chef).get(`/v1/sites/${SITE}/safety`).expect(200);
    expect(overview.body).toMatchObject({ breaches: [], held: [] });
  });

  it('is noted once when two tablets enter it at the same moment', async () => {
    await finish();
    await read(80, 150);
    const answers = await Promise.all([read(40), read(41)]);
    expect(answers.map((a) => a.status)).toEqual([201, 201]);
    expect(await prisma().safetyBreach.count()).toBe(1);
  });
});

describe('a mistyped reading', () => {
  it('is struck out by who typed it within 15 minutes, later by a lead, and stays on record', async () => {
    const first = await read(8, 20);
    const readingId = first.body.rounds[0].readings[0].id as string;
    const strike = (who: typeof chef) =>
      test
        .as(who)
        .post(`/v1/temperature-readings/${readingId}/strike-out`)
        .send({ reason: 'Typed 8 for 80' });
    await strike({ ...chef, id: 'usr_other' }).expect(403);
    test.clock.advanceMinutes(16);
    await strike(chef).expect(403);
    await strike(LEAD).expect(200);
    await strike(LEAD).expect(409);
    const record = await test
      .as(chef)
      .get(`/v1/prep-tasks/${(await curd()).id}/cooling`)
      .expect(200);
    expect(record.body.rounds).toEqual([]);
    expect(record.body.struck[0].struck).toMatchObject({ reason: 'Typed 8 for 80', by: LEAD.name });
  });
});

describe('a lot held cold', () => {
  it('found too warm is held back, and the overview names it', async () => {
    await finish();
    const { id } = await lot();
    const warm = (celsius: number, minutesAgo: number) =>
      test
        .as(chef)
        .post(`/v1/stock-lots/${id}/temperatures?kind=cold`)
        .send({ temperature: { value: celsius, unit: 'Cel' }, minutesAgo })
        .expect(201);
    expect((await warm(3.5, 60)).body.state).toBe('within');
    expect((await warm(9, 0)).body.state).toBe('breach');
    const overview = await test.as(LEAD).get(`/v1/sites/${SITE}/safety`).expect(200);
    expect(overview.body.held.map((held: { lotId: string }) => held.lotId)).toEqual([id]);
    expect(overview.body.breaches[0]).toMatchObject({ kind: 'cold', lotId: id });
    expect(overview.body.cooling).toContainEqual(
      expect.objectContaining({ name: 'Lemon curd', state: 'no-readings' }),
    );
  });
});
