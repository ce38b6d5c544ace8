import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { evaluate, type ExplanationNode } from '../../../api/core/explanation/index.ts';
import { planQuantile } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

interface Task {
  readonly id: string;
  readonly status: string;
  readonly batches: number;
  readonly makeDate: string;
  readonly component: { readonly id: string };
  readonly toMake: { readonly amount: { readonly value: number; readonly unit: string } };
}

let test: TestApp;
const chef = chefOf(SITE);
const list = async (date: string) =>
  (await test.as(chef).get(`/v1/sites/${SITE}/prep-list?date=${date}`).expect(200)).body;
const taskOf = async (component: string, date = '2026-03-10'): Promise<Task> => {
  const found = (await list(date)).tasks.find((task: Task) => task.component.id === component);
  expect(found).toBeDefined();
  return found as Task;
};

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());

describe('a prep plan', () => {
  it('is asked for by the chef, puts the curd that sets early enough, and names its services', async () => {
    const plan = await test
      .as(chef)
      .post(`/v1/sites/${SITE}/prep-plans`)
      .send({ days: 3 })
      .expect(201);
    expect(plan.body.services).toHaveLength(3);
    expect(plan.body.services[1]).toMatchObject({ serviceDate: '2026-03-11', booked: 22 });
    const today = await list('2026-03-10');
    const curd = today.tasks.find((task: Task) => task.component.id === 'rcp_curd');
    expect(new Date(curd.readyBy).getTime()).toBeLessThanOrEqual(
      new Date('2026-03-10T18:00:00Z').getTime(),
    );
    expect(today.notice).toContain('local codes');
  });

  it('explains a figure so that it can be worked out from the explanation alone', async () => {
    const task = await taskOf('rcp_curd');
    const body = (await test.as(chef).get(`/v1/prep-tasks/${task.id}/explanation`).expect(200))
      .body;
    const nodes = body.nodes as ExplanationNode[];
    expect(unwrap(evaluate({ nodes }, body.node, { quantile: planQuantile }))).toBe(
      task.toMake.amount.value,
    );
    const kinds = new Set(nodes.map((node) => node.source?.kind));
    expect(kinds).toContain('menu line');
    expect(kinds).toContain('recipe line');
    expect(kinds).toContain('recipe version');
    expect(body.lines.at(-1)).toContain('Lemon curd');
  });

  it('needs lemons by the part that asks for most, and says which', async () => {
    const { planId } = (await list('2026-03-10')).tasks[0];
    const needs = (await test.as(chef).get(`/v1/prep-plans/${planId}/ingredient-needs`).expect(200))
      .body.items;
    const lemon = needs.find(
      (n: { ingredient: { id: string } }) => n.ingredient.id === 'ing_lemon',
    );
    expect(lemon.drivenBy).toEqual({ id: 'ing_juice', name: 'Lemon juice' });
    const curd = await taskOf('rcp_curd', lemon.needDate);
    // 300 g of juice and 12 g of zest a batch; a lemon gives 48 g and 3 g.
    expect(lemon.amount).toEqual({ value: Math.ceil((300 / 48) * curd.batches), unit: '{each}' });
    expect(needs.some((n: { ingredient: { id: string } }) => n.ingredient.id === 'ing_zest')).toBe(
      false,
    );
  });

  it('keeps the ids of tasks when it is worked out again, and marks what changed', async () => {
    const before = await taskOf('rcp_shell');
    await test.database.prisma.coversSnapshot.create({
      data: {
        id: 'snap_2',
        siteId: SITE,
        serviceId: 'svc_dinner',
        serviceDate: new Date('2026-03-11T00:00:00Z'),
        takenAt: new Date('2026-03-10T05:00:00Z'),
        booked: 110,
      },
    });
    await test.as(chef).post(`/v1/sites/${SITE}/prep-plans`).send({ days: 3 }).expect(201);
    const after = await list('2026-03-10');
    expect(after.tasks.map((task: Task) => task.id)).toContain(before.id);
    const curds = [...after.tasks, ...(await list('2026-03-11')).tasks].filter(
      (task: Task & { changed: unknown }) => task.changed !== null,
    );
    expect(curds.length).toBeGreaterThan(0);
  });

  it('is closed to a chef of another site and to purchasing for changes', async () => {
    const stranger = test.as(chefOf('site_other'));
    await stranger.get(`/v1/sites/${SITE}/prep-list`).expect(403);
    await stranger.post(`/v1/sites/${SITE}/prep-plans`).send({}).expect(403);
    const task = await taskOf('rcp_curd');
    await stranger.post(`/v1/prep-tasks/${task.id}/start`).expect(403);
    await test.as(PURCHASING).post(`/v1/sites/${SITE}/prep-plans`).send({}).expect(403);
  });

  it('of an unknown site is not found', async () => {
    await test.as(LEAD).post('/v1/sites/site_none/prep-plans').send({}).expect(404);
  });
});

describe('a task', () => {
  it('refuses an implausible amount and a unit of another dimension, and changes nothing', async () => {
    const task = await taskOf('rcp_curd');
    const finish = (made: object) =>
      test.as(chef).post(`/v1/prep-tasks/${task.id}/finish`).send({ made });
    const much = await finish({ value: task.toMake.amount.value * 10, unit: 'g' }).expect(422);
    expect(much.body.issues[0].pointer).toBe('/made/value');
    const wrong = await finish({ value: 2, unit: 'mL' }).expect(422);
    expect(wrong.body.issues[0].pointer).toContain('/made/unit');
    await finish({ value: -1, unit: 'g' }).expect(400);
    expect((await taskOf('rcp_curd')).status).toBe('to_do');
    expect(await test.database.prisma.stockLot.count()).toBe(0);
  });

  it('ticked from two tablets counts once and tells the second who did it', async () => {
    const task = await taskOf('rcp_curd');
    const tick = () =>
      test
        .as(chef)
        .post(`/v1/prep-tasks/${task.id}/finish`)
        .send({ made: { value: 1.2, unit: 'kg' } });
    const answers = await Promise.all([tick(), tick()]);
    expect(answers.map((a) => a.status).sort()).toEqual([200, 409]);
    const refused = answers.find((a) => a.status === 409);
    expect(refused?.body.detail).toContain(chef.name);
    const lots = await test.database.prisma.stockLot.findMany();
    expect(lots).toHaveLength(1);
    expect(lots[0]).toMatchObject({ itemId: 'rcp_curd', quantity: 1200, siteId: SITE });
    expect(lots[0]?.useBy.toISOString()).toBe('2026-03-13T05:30:00.000Z');
  });

  it('sent again with the same key is answered as the first time', async () => {
    const task = await taskOf('rcp_shell');
    const start = () =>
      test
        .as(chef)
        .post(`/v1/prep-tasks/${task.id}/start`)
        .set('idempotency-key', 'start-the-shells');
    expect((await start().expect(200)).body.status).toBe('started');
    expect((await start().expect(200)).body.status).toBe('started');
  });

  it('takes from stock what the plan reckons: trim losses of the ingredient included', async () => {
    const { prisma } = test.database;
    const task = await taskOf('rcp_shell');
    expect(task.status).toBe('started');
    // Flour for exactly what is under way: 350 g a batch.
    await prisma.stockLot.create({
      data: {
        id: 'lot_flour',
        siteId: SITE,
        itemKind: 'ingredient',
        itemId: 'ing_flour',
        quantity: 350 * task.batches,
        madeAt: new Date('2026-03-09T00:00:00Z'),
        useBy: new Date('2026-06-01T00:00:00Z'),
        sourceKind: 'count',
      },
    });
    await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { trimYield: 0.8 } });
    await prisma.stockLot.create({
      data: {
        id: 'lot_butter',
        siteId: SITE,
        itemKind: 'ingredient',
        itemId: 'ing_butter',
        quantity: 5000,
        madeAt: new Date('2026-03-09T00:00:00Z'),
        useBy: new Date('2026-06-01T00:00:00Z'),
        sourceKind: 'count',
      },
    });
    await test
      .as(chef)
      .post(`/v1/prep-tasks/${task.id}/finish`)
      .send({ made: { value: task.toMake.amount.value, unit: '{each}' } })
      .expect(200);
    const flour = await prisma.stockLot.findUnique({ where: { id: 'lot_flour' } });
    expect(flour?.quantity).toBeCloseTo(0, 6);
    // 210 g of trimmed butter a batch is 262.5 g as bought, as the plan reckons it.
    const butter = await prisma.stockLot.findUnique({ where: { id: 'lot_butter' } });
    expect(butter?.quantity).toBeCloseTo(5000 - (210 / 0.8) * task.batches, 6);
    await test.as(chef).post(`/v1/prep-tasks/${task.id}/undo`).expect(200);
    await prisma.stockMovement.deleteMany({
      where: { lotId: { in: ['lot_flour', 'lot_butter'] } },
    });
    await prisma.stockLot.deleteMany({ where: { id: { in: ['lot_flour', 'lot_butter'] } } });
  });

  it('can be taken back while nothing of it was used: its stock goes again', async () => {
    const done = (await list('2026-03-10')).tasks.find(
      (task: Task) => task.component.id === 'rcp_curd' && task.status === 'done',
    );
    const back = await test.as(chef).post(`/v1/prep-tasks/${done.id}/undo`).expect(200);
    expect(back.body.status).toBe('to_do');
    const lots = await test.database.prisma.stockLot.findMany({ where: { archivedAt: null } });
    expect(lots).toEqual([]);
  });

  it('given up keeps the reason', async () => {
    const task = await taskOf('rcp_curd');
    await test.as(chef).post(`/v1/prep-tasks/${task.id}/abandon`).send({ reason: '' }).expect(400);
    const gone = await test
      .as(chef)
      .post(`/v1/prep-tasks/${task.id}/abandon`)
      .send({ reason: 'Curd split' })
      .expect(200);
    expect(gone.body).toMatchObject({ status: 'abandoned', reason: 'Curd split' });
  });
});
