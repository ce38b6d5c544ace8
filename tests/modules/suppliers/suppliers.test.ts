import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkGtin } from '../../../api/core/codes/index.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let siteId = '';
let flourId = '';
beforeAll(async () => {
  test = await startTestApp();
  const site = await test
    .as(LEAD)
    .post('/v1/sites')
    .send({ name: 'Pier', zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] })
    .expect(201);
  siteId = site.body.id;
  const flour = await test
    .as(LEAD)
    .post('/v1/ingredients')
    .send({ name: 'Plain flour', baseUnit: 'g' })
    .expect(201);
  flourId = flour.body.id;
});
afterAll(() => test.close());

const mill = (name: string) => ({
  name,
  zone: 'Europe/Rome',
  currency: 'EUR',
  deliveryWeekdays: [2, 5],
  cutoff: { daysBefore: 1, time: '14:00' },
  leadDays: 1,
  minimumOrder: '80.00',
  deliveryCharge: '9.5',
  holidays: ['2026-04-06'],
  email: 'orders@mill.example',
  siteIds: [siteId],
});
const create = (body: object) => test.as(PURCHASING).post('/v1/suppliers').send(body);
const sack = (sku: string) => ({
  ingredientId: flourId,
  name: 'Sack of plain flour',
  sku,
  content: { value: 25, unit: 'kg' },
});

describe('suppliers', () => {
  it('keep their delivery rules, minimum order and the sites they serve', async () => {
    const made = await create(mill('Old Mill')).expect(201);
    expect(made.body).toMatchObject({ ...mill('Old Mill'), minimumOrder: '80' });
    const read = await test.as(chefOf()).get(`/v1/suppliers/${made.body.id}`).expect(200);
    expect(read.body).toEqual(made.body);
    const body = { ...mill('Old Mill'), deliveryWeekdays: [3], siteIds: [] };
    const path = `/v1/suppliers/${made.body.id}`;
    const saved = await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(200);
    expect(saved.body).toMatchObject({ rev: 2, deliveryWeekdays: [3], siteIds: [] });
    await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(412);
  });

  it('are refused with a pointer when a rule makes no sense, and nothing is kept', async () => {
    const before = (await test.as(LEAD).get('/v1/suppliers')).body.items.length;
    const cases: [object, string][] = [
      [{ zone: 'Europe/Nowhere' }, '/zone'],
      [{ currency: 'XXQ' }, '/currency'],
      [{ deliveryWeekdays: [] }, '/deliveryWeekdays'],
      [{ deliveryWeekdays: [2, 2] }, '/deliveryWeekdays/1'],
      [{ cutoff: { daysBefore: -1, time: '14:00' } }, '/cutoff/daysBefore'],
      [{ cutoff: { daysBefore: 0, time: '14:00' }, leadDays: 0 }, '/cutoff'],
      [{ minimumOrder: '-1' }, '/minimumOrder'],
      [{ holidays: ['2026-02-30'] }, '/holidays/0'],
      [{ siteIds: ['site_none'] }, '/siteIds/0'],
      [{ language: 'fr' }, '/language'],
      [{ language: null }, '/language'],
    ];
    for (const [part, pointer] of cases) {
      const refused = await create({ ...mill('Absurd'), ...part });
      expect(refused.status, JSON.stringify(part)).toBeGreaterThanOrEqual(400);
      expect(refused.status).toBeLessThan(500);
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    const after = await test.as(LEAD).get('/v1/suppliers').expect(200);
    expect(after.body.items).toHaveLength(before);
  });

  it('read English unless somebody says Italian, and only what sheets can be written in', async () => {
    const made = await create(mill('Mulino')).expect(201);
    expect(made.body.language).toBe('en');
    const path = `/v1/suppliers/${made.body.id}`;
    const put = (language: string) =>
      test
        .as(LEAD)
        .put(path)
        .set('if-match', '"1"')
        .send({ ...mill('Mulino'), language });
    const refused = await put('de').expect(400);
    expect(refused.body.issues).toEqual([
      { pointer: '/language', message: expect.stringMatching(/"en"\|"it"/) },
    ]);
    expect((await put('it').expect(200)).body.language).toBe('it');
    expect((await test.as(LEAD).get(path).expect(200)).body.language).toBe('it');
  });

  it('are not changed by chefs', async () => {
    await test.as(chefOf(siteId)).post('/v1/suppliers').send(mill('Chef’s own')).expect(403);
  });

  it('leave the list when archived', async () => {
    const made = await create(mill('Gone')).expect(201);
    const path = `/v1/suppliers/${made.body.id}`;
    await test.as(LEAD).post(`${path}/archive`).set('if-match', '"1"').expect(200);
    const list = await test.as(LEAD).get('/v1/suppliers?limit=200').expect(200);
    expect(list.body.items.map((s: { name: string }) => s.name)).not.toContain('Gone');
    await test.as(LEAD).post(`${path}/packs`).send(sack('1')).expect(409);
    const packs = `/v1/suppliers/${made.body.id}/packs`;
    const refused = await test.as(PURCHASING).post(packs).send(sack('1')).expect(409);
    expect(refused.body.detail).toContain('archived');
  });
});

describe('packs', () => {
  it('hold an amount converted to the base unit, and keep every price they had', async () => {
    const supplier = await create(mill('Price Mill')).expect(201);
    const made = await test
      .as(PURCHASING)
      .post(`/v1/suppliers/${supplier.body.id}/packs`)
      .send({ ...sack('FL25'), gtin: '6291041500213' })
      .expect(201);
    expect(made.body).toMatchObject({ quantityBase: 25_000, currency: 'EUR', prices: [] });
    const path = `/v1/packs/${made.body.id}`;
    const price = (validFrom: string, amount: string, minPacks = 1) =>
      test.as(PURCHASING).post(`${path}/prices`).send({ validFrom, amount, minPacks });
    await price('2026-01-01', '18.40').expect(201);
    await price('2026-03-01', '19.90').expect(201);
    await price('2026-03-01', '18.90', 4).expect(201);
    const again = await price('2026-03-01', '21').expect(409);
    expect(again.body.issues[0].pointer).toBe('/validFrom');
    const read = await test.as(LEAD).get(path).expect(200);
    const history = read.body.prices as { id: string; validFrom: string; amount: string }[];
    expect(history.map((p) => `${p.validFrom} ${p.amount}`)).toEqual([
      '2026-03-01 19.9',
      '2026-03-01 18.9',
      '2026-01-01 18.4',
    ]);
    await test.as(LEAD).delete(`${path}/prices/${history[1]?.id}`).expect(204);
    await test.as(LEAD).delete(`${path}/prices/${history[1]?.id}`).expect(404);
    const fewer = await test.as(LEAD).get(path).expect(200);
    expect(fewer.body.prices).toHaveLength(2);
    const moved = await test
      .as(LEAD)
      .put(`/v1/suppliers/${supplier.body.id}`)
      .set('if-match', '"1"')
      .send({ ...mill('Price Mill'), currency: 'GBP' })
      .expect(400);
    expect(moved.body.issues[0].pointer).toBe('/currency');
  });

  it('are refused with a pointer for bad contents, and nothing is kept', async () => {
    const supplier = await create(mill('Refusing Mill')).expect(201);
    const path = `/v1/suppliers/${supplier.body.id}/packs`;
    const cases: [object, string, string][] = [
      [{ content: { value: 2, unit: 'firkin' } }, 'unknown-unit', '/content/unit'],
      [{ content: { value: 2, unit: 'L' } }, 'no-density', '/content'],
      [{ content: { value: 6, unit: 'each' } }, 'no-piece-mass', '/content'],
      [{ content: { value: 9_000_000, unit: 'kg' } }, 'out-of-range', '/content/value'],
      [{ content: { value: -1, unit: 'kg' } }, 'invalid-input', '/content/value'],
      [{ gtin: '6291041500214' }, 'invalid-code', '/gtin'],
      [{ gtin: '123' }, 'invalid-code', '/gtin'],
      [{ ingredientId: 'ing_none' }, 'missing-ingredient', '/ingredientId'],
      [{ minPacks: 0 }, 'invalid-input', '/minPacks'],
    ];
    for (const [part, kind, pointer] of cases) {
      const refused = await test
        .as(LEAD)
        .post(path)
        .send({ ...sack('X'), ...part });
      expect(refused.body.type, JSON.stringify(part)).toBe(
        `https://tamis.example/problems/${kind}`,
      );
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    const list = await test.as(LEAD).get(`/v1/packs?supplierId=${supplier.body.id}`).expect(200);
    expect(list.body.items).toEqual([]);
    const badPrice = await test
      .as(LEAD)
      .post('/v1/packs/pack_none/prices')
      .send({ validFrom: '2026-03-01', amount: '-3' })
      .expect(400);
    expect(badPrice.body.issues[0].pointer).toBe('/amount');
  });

  it('stand once for each article number of a supplier, and one of them is ordered by habit', async () => {
    const supplier = await create(mill('Habit Mill')).expect(201);
    const path = `/v1/suppliers/${supplier.body.id}/packs`;
    const first = await test
      .as(LEAD)
      .post(path)
      .send({ ...sack('A'), isDefault: true })
      .expect(201);
    const same = await test.as(LEAD).post(path).send(sack('A')).expect(409);
    expect(same.body.issues[0].pointer).toBe('/sku');
    const second = await test
      .as(LEAD)
      .post(path)
      .send({ ...sack('B'), isDefault: true })
      .expect(409);
    expect(second.body).toMatchObject({
      issues: [{ pointer: '/isDefault' }],
      context: { packId: first.body.id },
    });
    const byIngredient = await test
      .as(LEAD)
      .get(`/v1/packs?supplierId=${supplier.body.id}&ingredientId=${flourId}`)
      .expect(200);
    expect(byIngredient.body.items).toHaveLength(1);
    const changed = await test
      .as(LEAD)
      .put(`/v1/packs/${first.body.id}`)
      .set('if-match', '"1"')
      .send({ ...sack('A'), content: { value: 16, unit: 'kg' }, outOfStock: true })
      .expect(200);
    expect(changed.body).toMatchObject({ quantityBase: 16_000, outOfStock: true, rev: 2 });
    await test
      .as(LEAD)
      .post(`/v1/packs/${first.body.id}/archive`)
      .set('if-match', '"2"')
      .expect(200);
  });
});

describe('checkGtin', () => {
  it('takes numbers whose check digit fits', () => {
    // Worked example of the GS1 check digit calculator's help page (from memory): 629104150021 → 3.
    expect(checkGtin('6291041500213').ok).toBe(true);
    for (let digit = 0; digit < 10; digit += 1) {
      if (digit !== 3) expect(checkGtin(`629104150021${digit}`).ok).toBe(false);
    }
    // ISBN-13 is a GTIN-13: 978-0-306-40615-7, the example of the ISBN Users' Manual (from memory).
    expect(checkGtin('9780306406157').ok).toBe(true);
    expect(checkGtin('97803064061570').ok).toBe(false);
  });
});
