import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillWorkingKitchen } from '../helpers/working-kitchen.ts';
import { SITE } from '../helpers/demo-site.ts';
import { recipeBook } from '../helpers/recipe-book.ts';
import {
  ADMIN,
  chefOf,
  LEAD,
  PURCHASING,
  startTestApp,
  type TestApp,
} from '../helpers/test-app.ts';

// Many clients act at once; what they were told must be what one after the other could have been told,
// and the record what the last of them left.

let test: TestApp;
const chef = chefOf(SITE);
beforeAll(async () => {
  test = await startTestApp();
  await fillWorkingKitchen(test);
});
afterAll(() => test.close());
const prisma = () => test.database.prisma;

type Status = 'to_do' | 'started' | 'done' | 'abandoned';
/** From which states each tick is allowed, and what it leaves: the model. */
const TICKS: Readonly<Record<string, { from: readonly Status[]; to: Status }>> = {
  start: { from: ['to_do'], to: 'started' },
  finish: { from: ['to_do', 'started'], to: 'done' },
  abandon: { from: ['to_do', 'started'], to: 'abandoned' },
  undo: { from: ['started', 'done', 'abandoned'], to: 'to_do' },
};
const BODIES: Readonly<Record<string, (task: Task) => object>> = {
  start: () => ({}),
  finish: ({ quantity, unit }) => ({ made: { value: quantity, unit } }),
  abandon: () => ({ reason: 'no time' }),
  undo: () => ({}),
};
interface Task {
  readonly id: string;
  readonly quantity: number;
  readonly unit: string;
}

async function tasksOf(): Promise<readonly Task[]> {
  const rows = await prisma().prepTask.findMany({
    where: {
      siteId: SITE,
      status: { not: 'dropped' },
      recipeId: { in: ['rcp_curd', 'rcp_shell'] },
    },
    orderBy: { startBy: 'asc' },
    take: 3,
  });
  return rows.map(({ id, quantity, recipeId }) => ({
    ...{ id, quantity },
    unit: recipeId === 'rcp_curd' ? 'g' : '{each}',
  }));
}

/** What stock says: the record of each lot is the sum of what moved, and of a task's lots its made. */
async function stockAgrees(before: ReadonlyMap<string, number>): Promise<void> {
  const lots = await prisma().stockLot.findMany({ include: { movements: true } });
  for (const lot of lots) {
    const moved = lot.movements.reduce((sum, { quantity }) => sum + quantity, 0);
    expect(lot.quantity).toBeCloseTo((before.get(lot.id) ?? 0) + moved, 6);
    expect(lot.quantity).toBeGreaterThanOrEqual(0);
  }
}

describe('ticks of many tablets at once', () => {
  it('are taken one after the other: each as allowed by the last, none lost, none counted twice', async () => {
    const tasks = await tasksOf();
    expect(tasks.length).toBe(3);
    const opening = new Map(
      (await prisma().stockLot.findMany({ include: { movements: true } })).map((lot) => [
        lot.id,
        lot.quantity - lot.movements.reduce((sum, { quantity }) => sum + quantity, 0),
      ]),
    );
    const tick = fc.record({
      which: fc.nat(tasks.length - 1),
      what: fc.constantFrom(...Object.keys(TICKS)),
    });
    let taken = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(tick, { minLength: 4, maxLength: 10 }), async (ticks) => {
        const ids = tasks.map(({ id }) => id);
        const before = await prisma().prepTask.findMany({ where: { id: { in: ids } } });
        const answers = await Promise.all(
          ticks.map(async ({ which, what }) => {
            const task = tasks[which];
            if (!task) throw new RangeError('No such task');
            const { status, body } = await test
              .as(chef)
              .post(`/v1/prep-tasks/${task.id}/${what}`)
              .send(BODIES[what]?.(task));
            return { id: task.id, what, status, body };
          }),
        );
        expect(answers.map(({ status }) => status).filter((s) => s !== 200 && s !== 409)).toEqual(
          [],
        );
        for (const first of before) {
          const mine = answers
            .filter(({ id, status }) => id === first.id && status === 200)
            .sort((a, b) => a.body.rev - b.body.rev);
          taken += mine.length;
          let state = first.status as Status;
          for (const [i, { what, body }] of mine.entries()) {
            expect(body.rev).toBe(first.rev + 1 + i);
            expect(TICKS[what]?.from).toContain(state);
            state = TICKS[what]?.to ?? state;
            expect(body.status).toBe(state);
          }
          const after = await prisma().prepTask.findUniqueOrThrow({ where: { id: first.id } });
          expect(after).toMatchObject({ status: state, rev: first.rev + mine.length });
          const made = await prisma().stockMovement.findMany({
            where: { taskId: first.id, lot: { sourceId: first.id } },
          });
          expect(made.reduce((sum, { quantity }) => sum + quantity, 0)).toBeCloseTo(
            state === 'done' ? (after.madeQuantity ?? Number.NaN) : 0,
            6,
          );
        }
        await stockAgrees(opening);
      }),
      { numRuns: 8, endOnFailure: true },
    );
    expect(taken).toBeGreaterThan(8);
  }, 180_000);
});

describe('counts of many tablets at once', () => {
  it('are each set against what the one before left, and the last one stands', async () => {
    const item = { itemKind: 'ingredient', itemId: 'ing_lemon' };
    const total = async (): Promise<number> => {
      const lots = await prisma().stockLot.findMany({ where: { itemId: 'ing_lemon' } });
      return lots.reduce((sum, { quantity }) => sum + quantity, 0);
    };
    await fc.assert(
      fc.asyncProperty(
        fc.uniqueArray(fc.integer({ min: 0, max: 50 }), { minLength: 2, maxLength: 6 }),
        async (values) => {
          const before = await total();
          const answers = await Promise.all(
            values.map((value) =>
              test
                .as(chef)
                .post(`/v1/sites/${SITE}/stock-counts`)
                .send({
                  counts: [
                    { ...item, amount: { value, unit: '{each}' }, useBy: '2026-03-12T00:00:00Z' },
                  ],
                }),
            ),
          );
          expect(answers.map(({ status }) => status)).toEqual(values.map(() => 201));
          const counts = answers.map(({ body }) => body.items[0]);
          // Each met what another one had counted, the first what there was: nobody's was passed over.
          const left = counts.map(({ counted }) => counted.value);
          const met = counts.map(({ recorded }) => recorded.value);
          const after = await total();
          expect(left).toContain(after);
          expect([...met, after].sort((a, b) => a - b)).toEqual(
            [...left, before].sort((a, b) => a - b),
          );
        },
      ),
      { numRuns: 6, endOnFailure: true },
    );
  }, 120_000);
});

describe('one decision taken by many at once', () => {
  it('publishes a version once', async () => {
    const book = recipeBook(test);
    const sugar = await book.ingredient('Icing sugar');
    const recipeId = await book.recipe('Simple glaze', 'component');
    const draft = await book.draft(recipeId, [{ ingredientId: sugar, amount: '100 g' }]);
    const path = `/v1/recipe-versions/${draft}`;
    const { body } = await test.as(LEAD).get(path).expect(200);
    const sent = await test.as(LEAD).post(`${path}/submit`).set('if-match', `"${body.rev}"`);
    const answers = await Promise.all(
      Array.from({ length: 5 }, (_, i) =>
        test
          .as(i % 2 ? ADMIN : LEAD)
          .post(`${path}/publish`)
          .set('if-match', `"${sent.body.rev}"`)
          .send({ firstServiceDate: '2026-03-20' }),
      ),
    );
    const statuses = answers.map(({ status }) => status);
    expect(statuses.filter((status) => status === 200)).toHaveLength(1);
    expect(statuses.filter((s) => s !== 200 && s !== 409 && s !== 412)).toEqual([]);
    const trail = await prisma().auditEvent.findMany({ where: { subjectId: draft } });
    const published = trail.filter(({ action }) => action.includes('publish'));
    expect(published).toHaveLength(1);
    // The line of the audit trail names the very request that was told so.
    const told = answers.find(({ status }) => status === 200);
    expect(published[0]?.requestId).toBe(told?.headers['x-request-id']);
  });

  it('approves each order once, and gives each its own number', async () => {
    const orders = await prisma().order.findMany({ where: { status: 'proposed' } });
    expect(orders.length).toBeGreaterThan(0);
    const answers = await Promise.all(
      orders.flatMap(({ id, rev }) =>
        Array.from({ length: 4 }, async () => {
          const { status, body } = await test
            .as(PURCHASING)
            .post(`/v1/orders/${id}/approve`)
            .set('if-match', `"${rev}"`)
            .send({ agreedBelowMinimum: true });
          return { id, status, body };
        }),
      ),
    );
    for (const { id } of orders) {
      const mine = answers.filter((answer) => answer.id === id);
      expect(mine.filter(({ status }) => status === 200)).toHaveLength(1);
    }
    const numbers = (await prisma().order.findMany({ where: { status: 'approved' } })).map(
      ({ number }) => number,
    );
    expect(numbers).not.toContain(null);
    expect(new Set(numbers).size).toBe(orders.length);
  });

  it('works the orders out once, however many ask at once', async () => {
    await prisma().order.deleteMany({ where: { status: 'approved' } });
    const runs = await Promise.allSettled(
      Array.from({ length: 3 }, () =>
        test.services.orders.runOrders(PURCHASING, { siteIds: [SITE], days: 7 }),
      ),
    );
    expect(runs.some(({ status }) => status === 'fulfilled')).toBe(true);
    const open = await prisma().order.findMany({ where: { status: 'proposed' } });
    const keys = open.map((o) => `${o.siteId} ${o.supplierId} ${o.deliveryDate.toISOString()}`);
    expect(keys.length).toBeGreaterThan(0);
    expect(new Set(keys).size).toBe(keys.length);
  });
});
