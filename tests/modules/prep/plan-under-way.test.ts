import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { planSite } from '../../../api/core/planning/index.ts';
import { PrepService } from '../../../api/modules/prep/index.ts';
import { createNewId } from '../../../api/persistence/new-id.ts';
import { createUnitOfWork } from '../../../api/persistence/repositories.ts';
import { fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const chef = chefOf(SITE);
let duringPlan: (times: number) => Promise<void> = async () => undefined;
let computed = 0;
let prep: PrepService;

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  prep = new PrepService({
    work: createUnitOfWork(test.database, createNewId()),
    clock: test.clock,
    newId: createNewId(),
    solver: highsSolver(),
    planSite: async (input) => {
      computed += 1;
      const plan = planSite(input);
      await duringPlan(computed);
      return plan;
    },
  });
  await prep.workOut(chef, SITE);
});
afterAll(() => test.close());
beforeEach(() => {
  computed = 0;
  duringPlan = async () => undefined;
});

const waiting = async () => {
  const list = await prep.list(chef, SITE, '2026-03-10');
  const task = list.tasks.find((one) => one.status === 'to_do');
  if (!task) throw new Error('Nothing is left to make.');
  return task;
};
const start = (taskId: string) =>
  test.as(chef).post(`/v1/prep-tasks/${taskId}/start`).send({}).expect(200);

describe('a plan that is being computed', () => {
  it('holds nobody up: a chef ticks meanwhile, and the plan is worked out again from that', async () => {
    const task = await waiting();
    duringPlan = async (times) => {
      if (times === 1) await start(task.id);
    };
    const plan = await prep.workOut(chef, SITE);
    expect(computed).toBe(2);
    const after = await test.services.prep.task(chef, task.id);
    expect(after.status).toBe('started');
    expect(plan.summary.taskIds).toContain(task.id);
    expect((await prep.currentPlan(chef, SITE)).id).toBe(plan.id);
  });

  it('is worked out again when the fridge or the book changed meanwhile, and is kept when they go on changing', async () => {
    const { prisma } = test.database;
    let snapshots = 0;
    const booked = async () => {
      snapshots += 1;
      await prisma.coversSnapshot.create({
        data: {
          id: `snap_meanwhile_${snapshots}`,
          siteId: SITE,
          serviceId: SERVICE,
          serviceDate: new Date('2026-03-12T00:00:00Z'),
          takenAt: new Date(Date.UTC(2026, 2, 10, 5, 20, snapshots)),
          booked: 10 + snapshots,
        },
      });
    };
    const counted = () =>
      prisma.stockLot.create({
        data: {
          id: 'lot_meanwhile',
          siteId: SITE,
          itemKind: 'ingredient',
          itemId: 'ing_butter',
          quantity: 500,
          madeAt: test.clock.now(),
          useBy: new Date('2026-04-01T00:00:00Z'),
          sourceKind: 'count',
        },
      });
    duringPlan = async (times) => {
      if (times === 1) await booked();
      if (times === 2) await counted();
    };
    await prep.workOut(chef, SITE);
    expect(computed).toBe(3);
    computed = 0;
    duringPlan = booked;
    const plan = await prep.workOut(chef, SITE);
    expect(computed).toBe(4);
    expect((await prep.currentPlan(chef, SITE)).id).toBe(plan.id);
  });

  it('of one site follows another: asked for at once, each is put in place', async () => {
    const plans = await Promise.all([1, 2, 3].map(() => prep.workOut(chef, SITE)));
    expect(new Set(plans.map((plan) => plan.id)).size).toBe(3);
    expect(computed).toBe(3);
    // Which of the three comes last is for the database to say; each was put in place, one stands.
    const kept = await test.database.prisma.prepPlan.findMany({
      where: { id: { in: plans.map((plan) => plan.id) } },
    });
    expect(kept.map((plan) => plan.status).sort()).toEqual(['current', 'superseded', 'superseded']);
    const standing = await test.database.prisma.prepPlan.count({ where: { status: 'current' } });
    expect(standing).toBe(1);
  });

  it('is given up with a plain word when the list keeps changing, and changes nothing', async () => {
    const before = await prep.currentPlan(chef, SITE);
    const other = new PrepService({
      work: createUnitOfWork(test.database, createNewId()),
      clock: test.clock,
      newId: createNewId(),
      solver: highsSolver(),
      planSite: async (input) => planSite(input),
    });
    // Another process puts a plan in place each time.
    duringPlan = async () => void (await other.workOut(chef, SITE));
    await expect(prep.workOut(chef, SITE)).rejects.toMatchObject({ kind: 'conflict' });
    expect(computed).toBe(4);
    const plans = await test.database.prisma.prepPlan.count();
    expect((await prep.currentPlan(chef, SITE)).id).not.toBe(before.id);
    duringPlan = async () => undefined;
    await prep.workOut(chef, SITE);
    expect(await test.database.prisma.prepPlan.count()).toBe(plans + 1);
  });
});
