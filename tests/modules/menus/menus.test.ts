import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, type RecipeBook } from '../../helpers/recipe-book.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let book: RecipeBook;
let siteId = '';
let dinner = '';
let tart = '';
let sorbet = '';
beforeAll(async () => {
  test = await startTestApp();
  book = recipeBook(test);
  const sugar = await book.ingredient('Caster sugar');
  const line = { ingredientId: sugar, amount: '20 g' };
  tart = (await book.published('Plum tart', 'dish', [line])).recipeId;
  sorbet = (await book.published('Sorbet', 'dish', [line], { firstServiceDate: '2026-05-01' }))
    .recipeId;
  const site = await test
    .as(LEAD)
    .post('/v1/sites')
    .send({ name: 'Pier', zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] })
    .expect(201);
  siteId = site.body.id;
  const service = await test
    .as(LEAD)
    .post(`/v1/sites/${siteId}/services`)
    .send({ name: 'Dinner', startsAt: '19:00', endsAt: '22:00', weekdays: [5, 6], seats: 60 })
    .expect(201);
  dinner = service.body.id;
});
afterAll(() => test.close());

const offer = (dishId: string, more: object = {}) => ({
  dishId,
  share: 0.3,
  price: { amount: '14.50', currency: 'EUR' },
  priceIncludesTax: true,
  taxRate: 0.1,
  ...more,
});
const menu = (name: string, more: object = {}) => ({
  name,
  activeFrom: '2026-03-01',
  activeTo: '2026-05-31',
  lines: [offer(tart)],
  ...more,
});
const create = (body: object) => test.as(LEAD).post(`/v1/sites/${siteId}/menus`).send(body);
const list = async (query = '') =>
  (await test.as(LEAD).get(`/v1/sites/${siteId}/menus?limit=200${query}`).expect(200)).body
    .items as { id: string; name: string }[];

describe('menus', () => {
  it('offer dishes with shares and prices; the price before tax is kept, the printed one given back', async () => {
    const made = await create(menu('Spring')).expect(201);
    expect(made.body.lines).toMatchObject([
      {
        dishName: 'Plum tart',
        share: 0.3,
        // 14.50 / 1.10 = 13.181818…, kept to the ten-thousandth.
        netPrice: { amount: '13.1818', currency: 'EUR' },
        grossPrice: { amount: '14.50', currency: 'EUR' },
        serviceId: null,
      },
    ]);
    const path = `/v1/menus/${made.body.id}`;
    const read = await test.as(chefOf(siteId)).get(path).expect(200);
    expect(read.body).toEqual(made.body);
    await test.as(chefOf('site_other')).get(path).expect(404);
    await test.as(chefOf('site_other')).get(`/v1/sites/${siteId}/menus`).expect(403);
    await test.as(chefOf(siteId)).put(path).set('if-match', '"1"').send(menu('Mine')).expect(403);

    const body = menu('Spring', { lines: [offer(tart, { share: 0.4 })], activeTo: '2026-04-30' });
    await test.as(LEAD).put(path).send(body).expect(428);
    const saved = await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(200);
    expect(saved.body.lines[0]).toMatchObject({ id: made.body.lines[0].id, share: 0.4 });
    await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(412);

    expect((await list('&on=2026-04-30')).map((m) => m.name)).toEqual(['Spring']);
    expect(await list('&on=2026-05-01')).toEqual([]);
    const lines = await test.services.menus.activeLines(siteId, '2026-04-30', '2026-06-30');
    expect(lines).toMatchObject([{ dishId: tart, activeTo: '2026-04-30', menuName: 'Spring' }]);
    expect(await test.services.menus.activeLines(siteId, '2026-05-01', '2026-06-30')).toEqual([]);
    await test.as(LEAD).post(`${path}/archive`).set('if-match', '"2"').expect(200);
    expect(await list()).toEqual([]);
    await test.as(LEAD).post(`${path}/restore`).set('if-match', '"3"').expect(200);
    await test.as(LEAD).post(`${path}/archive`).set('if-match', '"4"').expect(200);
  });

  it('are refused with a pointer, and nothing is kept', async () => {
    const zest = await book.ingredient('Zest');
    const component = await book.published('Curd', 'component', [
      { ingredientId: zest, amount: '1 g' },
    ]);
    const before = await list();
    const cases: [object, string, string][] = [
      [{ activeTo: '2026-02-01' }, 'invalid-input', '/activeTo'],
      [{ lines: [offer('rcp_none')] }, 'missing-component', '/lines/0/dishId'],
      [{ lines: [offer(component.recipeId)] }, 'missing-component', '/lines/0/dishId'],
      [{ lines: [offer(tart), offer(sorbet)] }, 'missing-component', '/lines/1/dishId'],
      [{ lines: [offer(tart), offer(tart)] }, 'invalid-input', '/lines/1/dishId'],
      [{ lines: [offer(tart, { serviceId: 'svc_none' })] }, 'invalid-input', '/lines/0/serviceId'],
      [{ lines: [offer(tart, { share: 1.2 })] }, 'invalid-input', '/lines/0/share'],
      [{ lines: [offer(tart, { share: 0 })] }, 'invalid-input', '/lines/0/share'],
      [{ lines: [offer(tart, { taxRate: 20 })] }, 'invalid-input', '/lines/0/taxRate'],
      [{ lines: [offer(tart, { targetCost: 1.4 })] }, 'invalid-input', '/lines/0/targetCost'],
      [
        { lines: [offer(tart, { price: { amount: '0', currency: 'EUR' } })] },
        'invalid-input',
        '/lines/0/price/amount',
      ],
      [
        { lines: [offer(tart, { price: { amount: '-3', currency: 'EUR' } })] },
        'invalid-input',
        '/lines/0/price/amount',
      ],
      [
        { lines: [offer(tart, { price: { amount: '14', currency: 'GBP' } })] },
        'currency-mismatch',
        '/lines/0/price/currency',
      ],
    ];
    for (const [part, kind, pointer] of cases) {
      const refused = await create(menu('Refused', part));
      const got = [refused.body.type, refused.body.issues?.[0]?.pointer];
      expect(got, JSON.stringify(part)).toEqual([
        `https://tamis.example/problems/${kind}`,
        pointer,
      ]);
    }
    expect(await list()).toEqual(before);
    const unknown = await test.as(LEAD).post('/v1/sites/site_none/menus').send(menu('X'));
    expect(unknown.status).toBe(404);
  });

  it('do not offer one dish twice in a service', async () => {
    const one = await create(
      menu('Card', { lines: [offer(tart, { serviceId: dinner })], activeTo: null }),
    ).expect(201);
    const other = await create(menu('Second card')).expect(409);
    expect(other.body).toMatchObject({
      issues: [{ pointer: '/lines/0/dishId' }],
      context: { menuId: one.body.id },
    });
    await create(menu('Winter card', { activeFrom: '2026-01-01', activeTo: '2026-02-28' })).expect(
      201,
    );
  });

  it('keep their dishes from being withdrawn or archived', async () => {
    const sugar = await book.ingredient('Icing sugar');
    const dish = await book.published('Kept dish', 'dish', [
      { ingredientId: sugar, amount: '10 g' },
    ]);
    await create(
      menu('Keeping', { lines: [offer(dish.recipeId)], activeFrom: '2026-06-01', activeTo: null }),
    ).expect(201);
    const path = `/v1/recipe-versions/${dish.versionId}`;
    const { rev } = (await test.as(LEAD).get(path)).body;
    const refused = await test
      .as(LEAD)
      .post(`${path}/withdraw`)
      .set('if-match', `"${rev}"`)
      .send({ reason: 'over' })
      .expect(409);
    expect(refused.body.context).toMatchObject({ siteId, from: '2026-06-01' });
    expect((await test.as(LEAD).get(path)).body.status).toBe('published');
    const archived = await test
      .as(LEAD)
      .post(`/v1/recipes/${dish.recipeId}/archive`)
      .set('if-match', '"1"')
      .expect(409);
    expect(archived.body.context.usedBy).toEqual(['Keeping']);
  });
});
