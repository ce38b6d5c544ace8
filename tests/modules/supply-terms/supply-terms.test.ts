import { describe, expect, it } from 'vitest';
import {
  app,
  buyer,
  linesOn,
  pack,
  planAsksFor,
  proposed,
  run,
  supplier,
  useBuyingDesk,
} from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, PURCHASING } from '../../helpers/test-app.ts';

useBuyingDesk();

const contract = (more: object) => ({ siteId: SITE, fromDate: '2026-01-01', ...more });
const bind = async (more: object) =>
  (await buyer().post('/v1/supply-contracts').send(contract(more)).expect(201)).body;
const refused = async (path: string, body: object, pointer: string) => {
  const answer = await buyer().post(path).send(body).expect(400);
  expect(answer.headers['content-type']).toContain('application/problem+json');
  expect(answer.body.issues).toMatchObject([{ pointer }]);
};
const suppliersOf = async () => (await proposed()).map((order) => order.supplierId);

async function twoDairies(): Promise<void> {
  await supplier('sup_cheap');
  await supplier('sup_dear');
  await pack('pack_cheap', 'sup_cheap', 500, [[1, '1.00']]);
  await pack('pack_dear', 'sup_dear', 500, [[1, '5.00']]);
}

describe('supply contracts', () => {
  it('bind what a site buys, and the line names the contract', async () => {
    await twoDairies();
    const made = await bind({ supplierId: 'sup_dear', ingredientId: 'ing_butter', note: 'C-17' });
    expect(made).toMatchObject({
      site: { id: SITE },
      supplier: { id: 'sup_dear', name: 'sup_dear' },
      ingredient: { id: 'ing_butter', name: 'Butter' },
      category: null,
      rev: 1,
    });
    await planAsksFor({ '2026-03-12': 500 });
    await run();
    const [order] = await proposed();
    expect(order?.supplierId).toBe('sup_dear');
    const { body } = await buyer().get(`/v1/orders/${order?.id}`).expect(200);
    expect(body.lines[0].contract).toEqual({ id: made.id, note: 'C-17' });
    await buyer().delete(`/v1/supply-contracts/${made.id}`).expect(204);
    await run();
    expect(await suppliersOf()).toEqual(['sup_cheap']);
  });

  it('of a category bind its ingredients, and one that names the ingredient goes before', async () => {
    await twoDairies();
    const { prisma } = app().database;
    await prisma.ingredient.update({
      where: { id: 'ing_butter' },
      data: { category: 'dairy' },
    });
    await planAsksFor({ '2026-03-12': 500 });
    await bind({ supplierId: 'sup_dear', category: 'dairy' });
    await run();
    expect(await suppliersOf()).toEqual(['sup_dear']);
    await bind({ supplierId: 'sup_cheap', ingredientId: 'ing_butter' });
    await run();
    expect(await suppliersOf()).toEqual(['sup_cheap']);
    const listed = await buyer().get(`/v1/supply-contracts?siteId=${SITE}`).expect(200);
    expect(listed.body.items).toHaveLength(2);
  });

  it('hold for delivery dates, not for the day on which orders are worked out', async () => {
    await twoDairies();
    await bind({
      supplierId: 'sup_dear',
      ingredientId: 'ing_butter',
      fromDate: '2026-03-13',
      toDate: '2026-03-14',
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-17': 500 });
    await run();
    // The 17th is in reach of deliveries from the 14th on, on which nobody is bound after the 14th.
    expect(await suppliersOf()).toEqual(['sup_cheap', 'sup_cheap']);
    await buyer().get('/v1/supply-contracts').expect(200);
    await planOnly('2026-03-14');
    await run();
    expect(linesOn(await proposed(), 'sup_dear', '2026-03-14')).toEqual([]);
    expect(linesOn(await proposed(), 'sup_cheap', '2026-03-12')).toEqual([['pack_cheap', 1]]);
  });

  it('are changed at the revision read, and are for the people of the site', async () => {
    await twoDairies();
    const made = await bind({ supplierId: 'sup_dear' });
    const path = `/v1/supply-contracts/${made.id}`;
    const later = contract({ supplierId: 'sup_dear', toDate: '2026-12-31' });
    await buyer().put(path).set('if-match', '"1"').send(later).expect(200);
    await buyer().put(path).set('if-match', '"1"').send(later).expect(412);
    const chef = app().as(chefOf('site_other'));
    expect((await chef.get('/v1/supply-contracts').expect(200)).body.items).toEqual([]);
    await chef.get(`/v1/supply-contracts?siteId=${SITE}`).expect(404);
    await app().as(chefOf(SITE)).post('/v1/supply-contracts').send(later).expect(403);
    const elsewhere = app().as({ ...PURCHASING, siteIds: ['site_other'] });
    await elsewhere.put(path).set('if-match', '"2"').send(later).expect(404);
    await elsewhere.delete(path).expect(404);
    const audit = await app().database.prisma.auditEvent.findMany({
      where: { subjectKind: 'supply contract', subjectId: made.id },
    });
    expect(audit.map((event) => event.action)).toEqual(['create', 'update']);
  });

  it('are refused where they make no sense, with the field', async () => {
    await twoDairies();
    const path = '/v1/supply-contracts';
    const { prisma } = app().database;
    await prisma.supplier.update({ where: { id: 'sup_cheap' }, data: { currency: 'GBP' } });
    await refused(path, contract({ supplierId: 'sup_none' }), '/supplierId');
    await refused(path, contract({ supplierId: 'sup_cheap' }), '/supplierId');
    const dear = { supplierId: 'sup_dear' };
    await refused(path, contract({ ...dear, ingredientId: 'ing_none' }), '/ingredientId');
    await refused(path, contract({ ...dear, category: 'fish' }), '/category');
    await refused(path, contract({ ...dear, toDate: '2025-12-31' }), '/toDate');
    await refused(
      path,
      contract({ ...dear, ingredientId: 'ing_butter', category: 'dairy' }),
      '/category',
    );
    expect(await prisma.supplyContract.count()).toBe(0);
    await bind({ ...dear, toDate: '2026-06-30' });
    const again = contract({ ...dear, fromDate: '2026-06-30' });
    const clash = await buyer().post(path).send(again).expect(409);
    expect(clash.body.issues).toMatchObject([{ pointer: '/fromDate' }]);
    await bind({ ...dear, fromDate: '2026-07-01' });
  });
});

async function planOnly(date: string): Promise<void> {
  await app().database.prisma.prepPlan.deleteMany();
  await app().database.prisma.explanation.deleteMany();
  await planAsksFor({ [date]: 500 });
}

describe('gaps of suppliers', () => {
  const gap = (body: object, of = 'sup_cheap') =>
    buyer().post(`/v1/suppliers/${of}/gaps`).send(body);

  it('keep what cannot be had on the delivery from being bought, from the first day to the last', async () => {
    await twoDairies();
    await gap({ packId: 'pack_cheap', fromDate: '2026-03-12', toDate: '2026-03-13' }).expect(201);
    await planAsksFor({ '2026-03-16': 500 });
    await run();
    // Butter keeps three days: deliveries of the 13th to the 16th serve, of which the 14th is the first.
    const [order] = await proposed();
    expect(order?.supplierId).toBe('sup_cheap');
    expect((order?.deliveryDate ?? '') >= '2026-03-14').toBe(true);
    await planOnly('2026-03-12');
    await gap({ fromDate: '2026-03-09', toDate: '2026-03-12' }).expect(201);
    await run();
    expect(await suppliersOf()).toEqual(['sup_dear']);
  });

  it('of every supplier make a shortfall that says so', async () => {
    await twoDairies();
    await gap({ ingredientId: 'ing_butter', fromDate: '2026-03-01', kind: 'withdrawn' });
    await gap({ fromDate: '2026-03-10' }, 'sup_dear').expect(201);
    await planAsksFor({ '2026-03-12': 500 });
    const { shortfalls } = await run();
    expect(shortfalls).toMatchObject([
      {
        reason: 'not-available',
        message: `Butter is out of stock at everybody who delivers to ${SITE}.`,
      },
    ]);
    expect(await proposed()).toEqual([]);
  });

  it('end, are changed at the revision read, and can be looked up', async () => {
    await twoDairies();
    const { body } = await gap({ packId: 'pack_cheap', fromDate: '2026-03-10' }).expect(201);
    const path = `/v1/supply-gaps/${body.id}`;
    const ended = { packId: 'pack_cheap', fromDate: '2026-03-10', toDate: '2026-03-11' };
    await buyer().put(path).set('if-match', '"1"').send(ended).expect(200);
    await buyer().put(path).set('if-match', '"1"').send(ended).expect(412);
    const later = await buyer().get('/v1/supply-gaps?from=2026-03-12').expect(200);
    expect(later.body.items).toEqual([]);
    const now = await buyer().get('/v1/supply-gaps?supplierId=sup_cheap').expect(200);
    expect(now.body.items).toMatchObject([{ id: body.id, toDate: '2026-03-11', rev: 2 }]);
    await buyer().delete(path).expect(204);
    await buyer().delete(path).expect(404);
  });

  it('are refused where they make no sense, with the field', async () => {
    await twoDairies();
    const path = '/v1/suppliers/sup_cheap/gaps';
    const from = { fromDate: '2026-03-12' };
    await refused(path, { ...from, packId: 'pack_dear' }, '/packId');
    await refused(path, { ...from, ingredientId: 'ing_none' }, '/ingredientId');
    await refused(
      path,
      { ...from, packId: 'pack_cheap', ingredientId: 'ing_butter' },
      '/ingredientId',
    );
    await refused(path, { ...from, toDate: '2026-03-11' }, '/toDate');
    await refused(path, { ...from, kind: 'withdrawn', toDate: '2026-03-20' }, '/toDate');
    await buyer().post('/v1/suppliers/sup_none/gaps').send(from).expect(404);
    expect(await app().database.prisma.supplyGap.count()).toBe(0);
  });
});

describe('seasons', () => {
  it('bind what is bought: nothing is ordered for delivery outside the months', async () => {
    await twoDairies();
    const { prisma } = app().database;
    await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { seasonMonths: [4] } });
    await planAsksFor({ '2026-03-12': 500 });
    const { shortfalls } = await run();
    expect(await proposed()).toEqual([]);
    expect(shortfalls).toMatchObject([
      {
        reason: 'not-available',
        message: 'Butter for 2026-03-12 is out of season: what is bought before would not keep.',
      },
    ]);
    await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { seasonMonths: [3] } });
    expect((await run()).shortfalls).toEqual([]);
    expect(await proposed()).toHaveLength(1);
    await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { seasonMonths: [] } });
  });
});

describe('substitutes', () => {
  it('are the lead’s to name, with how much of them stands in', async () => {
    const lead = app().as(LEAD);
    const path = '/v1/ingredients/ing_butter/substitutes';
    const made = await lead.put(`${path}/ing_flour`).send({ ratio: 0.8, note: 'test' }).expect(200);
    expect(made.body.items).toEqual([
      {
        substitute: { id: 'ing_flour', name: 'Flour' },
        ratio: 0.8,
        note: 'test',
        enteredBy: 'Lena Lead',
      },
    ]);
    await lead.put(`${path}/ing_flour`).send({ ratio: 0.9 }).expect(200);
    const now = await buyer().get(path).expect(200);
    expect(now.body.items).toMatchObject([{ ratio: 0.9, note: null }]);
    await buyer().put(`${path}/ing_flour`).send({ ratio: 1 }).expect(403);
    await lead.put(`${path}/ing_butter`).send({ ratio: 1 }).expect(400);
    await lead.put(`${path}/ing_zest`).send({ ratio: 1 }).expect(400);
    await lead.put(`${path}/ing_none`).send({ ratio: 1 }).expect(404);
    await lead.put(`${path}/ing_flour`).send({ ratio: 0 }).expect(400);
    await lead.delete(`${path}/ing_flour`).expect(204);
    await lead.delete(`${path}/ing_flour`).expect(404);
  });
});
