import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { shareLearner } from '../../../api/modules/forecasts/index.ts';
import { DISH, fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// The kitchen of demo-site: dinner of 60 seats, 22 booked for 11 March; the clock stands on 10 March.
let test: TestApp;
const TOMORROW = '2026-03-11';
const SIDE = 'rcp_sorbet';
const chef = chefOf(SITE);

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  const db = test.database.prisma;
  await db.recipe.create({
    data: { id: SIDE, kind: 'dish', name: 'Lemon glass', baseUnit: 'each', station: 'pass' },
  });
  await db.recipeVersion.create({
    data: {
      id: 'ver_sorbet',
      recipeId: SIDE,
      number: 1,
      status: 'published',
      firstServiceDate: new Date('2026-01-01T00:00:00Z'),
      outputValue: 1,
      outputUnit: '{each}',
      outputQuantity: 1,
      batchMin: 1,
      batchMultiple: 1,
      shelfLifeMin: 60,
      storage: 'chilled',
      cautions: [],
      createdBy: 'test',
      lines: {
        create: {
          id: 'line_sorbet-0',
          position: 0,
          componentId: 'rcp_curd',
          value: 30,
          unit: 'g',
          quantity: 30,
        },
      },
    },
  });
});
afterAll(() => test.close());

const party = (more: object = {}) => ({
  serviceId: SERVICE,
  serviceDate: TOMORROW,
  party: 'Moretti',
  covers: 12,
  lines: [{ dishId: DISH, portions: 9 }],
  ...more,
});
const enter = (body: object, actor = chef) =>
  test.as(actor).post(`/v1/sites/${SITE}/pre-orders`).send(body);
const listed = async () =>
  (
    await test
      .as(PURCHASING)
      .get(`/v1/sites/${SITE}/pre-orders?from=${TOMORROW}&to=${TOMORROW}`)
      .expect(200)
  ).body.items as { id: string; rev: number }[];
/** Portions planned for tomorrow's dinner, by dish, with their explanation. */
async function portionsTomorrow() {
  await test.as(chef).post(`/v1/sites/${SITE}/prep-plans`).send({}).expect(201);
  const plan = await test.services.prep.currentPlan(chef, SITE);
  const rows = plan.summary.portions.filter(
    (row) => row.serviceSlotId === `${SERVICE}:${TOMORROW}`,
  );
  return { plan, of: (dishId: string) => rows.find((row) => row.dishId === dishId) };
}

describe('a pre-order', () => {
  it('is made exactly, beside what the other guests choose, and the plan says so', async () => {
    const before = (await portionsTomorrow()).of(DISH)?.portions ?? 0;
    const kept = await enter(party()).expect(201);
    expect(kept.body).toMatchObject({
      party: 'Moretti',
      covers: 12,
      lines: [{ dishId: DISH, dishName: 'Lemon tart', portions: 9 }],
      enteredBy: 'Cleo Chef',
      rev: 1,
      warnings: [],
    });
    const { plan, of } = await portionsTomorrow();
    const row = of(DISH);
    // Of 40 guests about 28 choose, and about half of them the tart; the 9 are certain.
    expect(row?.portions).toBeGreaterThan(9);
    expect(row?.portions).not.toBe(before + 9);
    expect(row?.portions).toBeLessThan(before + 9);
    const explained = await test.services.prep.explain(chef, plan.id, row?.node ?? '');
    expect(explained.value).toBe(row?.portions);
    expect(explained.lines.join('\n')).toMatch(
      /Lemon tart, ordered beforehand, Dinner 2026-03-11[^\n]*9/,
    );
    expect(explained.lines.join('\n')).toMatch(/covers who ordered beforehand[^\n]*12/);
    const forecast = await test
      .as(chef)
      .get(`/v1/sites/${SITE}/portions-forecasts?from=${TOMORROW}&to=${TOMORROW}`)
      .expect(200);
    const dish = forecast.body.items[0].dishes[0];
    expect(dish.quantiles[0].portions).toBeGreaterThanOrEqual(9);
  });

  it('takes its guests out of every dish’s chance, though they ordered another', async () => {
    const [order] = await listed();
    const before = (await portionsTomorrow()).of(DISH)?.portions ?? 0;
    const changed = await test
      .as(chef)
      .put(`/v1/pre-orders/${order?.id}`)
      .set('if-match', '"1"')
      .send(party({ lines: [{ dishId: SIDE, portions: 12 }] }))
      .expect(200);
    expect(changed.body.rev).toBe(2);
    expect(changed.body.warnings).toEqual([
      {
        pointer: '/lines/0/dishId',
        message: 'Lemon glass is not on the menu then: it is made for Moretti only.',
      },
    ]);
    const { plan, of } = await portionsTomorrow();
    expect(of(DISH)?.portions).toBe(before - 9);
    // Off the menu: only what is promised, and its components are made with the others'.
    expect(of(SIDE)?.portions).toBe(12);
    expect(plan.summary.portions.filter((row) => row.dishId === SIDE)).toHaveLength(1);
    const tasks = await test.services.prep.list(chef, SITE, '2026-03-10');
    const takers = tasks.tasks
      .filter((task) => task.recipeId === 'rcp_curd')
      .flatMap((task) => task.neededFor.map((need) => need.label));
    expect(takers).toContain('Lemon glass, Dinner');
    await test
      .as(chef)
      .put(`/v1/pre-orders/${order?.id}`)
      .set('if-match', '"1"')
      .send(party())
      .expect(412);
  });

  it('as a set menu comes to its dishes for each guest', async () => {
    const kept = await enter(
      party({
        party: 'Wedding lunch',
        covers: 20,
        lines: [],
        setMenu: [{ dishId: DISH }, { dishId: SIDE, perCover: 2 }],
      }),
      LEAD,
    ).expect(201);
    expect(kept.body.lines).toEqual([
      { dishId: DISH, dishName: 'Lemon tart', portions: 20 },
      { dishId: SIDE, dishName: 'Lemon glass', portions: 40 },
    ]);
    expect(kept.body.warnings[0].message).toBe('32 guests have ordered, and 22 are booked.');
    const { of } = await portionsTomorrow();
    expect(of(SIDE)?.portions).toBe(52);
    expect(of(DISH)?.portions).toBeGreaterThanOrEqual(20);
  });

  it('is made even where a person fixed a smaller number', async () => {
    await test
      .as(LEAD)
      .post(`/v1/sites/${SITE}/par-levels`)
      .send({
        recipeId: DISH,
        rule: 'fixed',
        fixed: { value: 5, unit: '{each}' },
        reviewDays: 1,
        leadDays: 0,
      })
      .expect(201);
    const { plan, of } = await portionsTomorrow();
    expect(of(DISH)?.portions).toBe(20);
    const node = of(DISH)?.node ?? '';
    expect((await test.services.prep.explain(chef, plan.id, node)).value).toBe(20);
    const par = (await test.as(LEAD).get(`/v1/sites/${SITE}/par-levels`)).body.items[0];
    await test
      .as(LEAD)
      .post(`/v1/par-levels/${par.id}/archive`)
      .set('if-match', `"${par.rev}"`)
      .expect(200);
  });

  it('that cannot be is refused with the field, and changes nothing', async () => {
    const before = await listed();
    for (const [more, pointer] of [
      [{ covers: 29 }, '/covers'],
      [{ serviceDate: '2026-03-09' }, '/serviceDate'],
      [{ serviceId: 'svc_other' }, '/serviceId'],
      [{ lines: [{ dishId: 'rcp_curd', portions: 2 }] }, '/lines/0/dishId'],
      [{ lines: [{ dishId: DISH, portions: 49 }] }, '/lines/0/portions'],
      [
        {
          lines: [
            { dishId: DISH, portions: 2 },
            { dishId: DISH, portions: 3 },
          ],
        },
        '/lines/1/dishId',
      ],
      [{ lines: [{ dishId: DISH, portions: 0 }] }, '/lines/0/portions'],
      [{ covers: 1.5 }, '/covers'],
      [{ party: ' ' }, '/party'],
    ] as const) {
      const refused = await enter(party(more)).expect(400);
      expect(refused.body.issues[0].pointer, pointer).toContain(pointer);
    }
    await enter(party(), PURCHASING).expect(403);
    await enter(party(), chefOf('site_other')).expect(403);
    expect(await listed()).toEqual(before);
  });

  it('taken back stays on record and is planned with no more', async () => {
    for (const order of await listed()) {
      await test.as(chef).delete(`/v1/pre-orders/${order.id}`).expect(204);
      await test.as(chef).delete(`/v1/pre-orders/${order.id}`).expect(404);
    }
    expect(await listed()).toEqual([]);
    expect(await test.database.prisma.preOrder.count()).toBe(2);
    const { of } = await portionsTomorrow();
    expect(of(SIDE)).toBeUndefined();
  });
});

describe('what sales teach', () => {
  it('leaves parties that had ordered beforehand out, guests and portions', () => {
    const line = {
      id: 'ml',
      dishId: DISH,
      serviceId: SERVICE,
      share: 0.5,
      oneACover: false,
      activeFrom: '2026-01-01',
      activeTo: null,
    };
    const days = Array.from({ length: 20 }, (_, i) => `2026-02-${String(i + 1).padStart(2, '0')}`);
    const row = (serviceDate: string) => ({ serviceId: SERVICE, serviceDate });
    const learned = (withParty: boolean) =>
      shareLearner([line], {
        // 40 guests each day; 20 of them a party with one each, of the others one in five.
        outcomes: days.map((date) => ({
          ...row(date),
          covers: withParty ? 40 : 20,
          closed: false,
        })),
        sales: days.map((date) => ({
          ...row(date),
          dishId: DISH,
          portions: withParty ? 24 : 4,
          soldOut: false,
        })),
        preOrders: withParty
          ? days.map((date) => ({
              ...row(date),
              id: date,
              party: 'Coach',
              covers: 20,
              lines: [{ dishId: DISH, portions: 20 }],
            }))
          : [],
      })(SERVICE, '2026-03-03')[0];
    expect(learned(true)?.share.mean).toBeLessThan(0.35);
    expect(learned(true)?.share).toEqual(learned(false)?.share);
    expect(learned(true)?.exact).toEqual([]);
  });
});

describe('a dish that a guest orders once at most', () => {
  it('is planned with less to spare than one that may be ordered twice', async () => {
    const menu = (await test.as(LEAD).get('/v1/menus/menu_test').expect(200)).body;
    const before = (await portionsTomorrow()).of(DISH)?.portions ?? 0;
    await test
      .as(LEAD)
      .put('/v1/menus/menu_test')
      .set('if-match', `"${menu.rev}"`)
      .send({
        name: menu.name,
        activeFrom: menu.activeFrom,
        lines: [
          {
            dishId: DISH,
            serviceId: SERVICE,
            share: 0.5,
            price: { amount: '8.00', currency: 'EUR' },
            taxRate: 0.1,
            oneACover: true,
          },
        ],
      })
      .expect(200);
    const { of } = await portionsTomorrow();
    expect(of(DISH)?.portions).toBeLessThan(before);
    expect(of(DISH)?.portions).toBeGreaterThan(20);
  });
});
