import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  ADMIN,
  chefOf,
  LEAD,
  PURCHASING,
  startTestApp,
  type TestApp,
} from '../../helpers/test-app.ts';

const lakehouse = {
  name: 'Boathouse',
  zone: 'Europe/Rome',
  currency: 'EUR',
  ruleSet: 'eu',
  hours: [{ weekday: 1, opens: '06:00', closes: '23:00', people: 2 }],
};
const dinner = {
  name: 'Dinner',
  startsAt: '19:00',
  endsAt: '22:30',
  weekdays: [1, 2, 3],
  seats: 60,
};

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
});
afterAll(() => test.close());

describe('sites', () => {
  it('are made by the lead, read back with an ETag, and changed only against the version last read', async () => {
    const made = await test.as(LEAD).post('/v1/sites').send(lakehouse).expect(201);
    expect(made.headers.location).toBe(`/v1/sites/${made.body.id}`);
    expect(made.headers.etag).toBe('"1"');

    const renamed = { ...lakehouse, name: 'Boathouse Terrace' };
    const path = `/v1/sites/${made.body.id}`;
    await test.as(LEAD).put(path).send(renamed).expect(428);
    const saved = await test.as(LEAD).put(path).set('if-match', '"1"').send(renamed).expect(200);
    expect(saved.body).toMatchObject({ name: 'Boathouse Terrace', rev: 2 });
    const lost = await test.as(ADMIN).put(path).set('if-match', '"1"').send(lakehouse).expect(412);
    expect(lost.headers['content-type']).toContain('application/problem+json');
    expect(lost.body.context.current).toMatchObject({ name: 'Boathouse Terrace', rev: 2 });
    const read = await test.as(LEAD).get(path).expect(200);
    expect(read.body.name).toBe('Boathouse Terrace');
  });

  it('refuse an unknown zone with a pointer and change nothing', async () => {
    const before = (await test.as(LEAD).get('/v1/sites')).body.items.length;
    const refused = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'Nowhere', zone: 'Europe/Nowhere' })
      .expect(400);
    expect(refused.body.issues[0].pointer).toBe('/zone');
    expect((await test.as(LEAD).get('/v1/sites')).body.items).toHaveLength(before);
  });

  it('refuse a second site of the same name', async () => {
    await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'Twice' })
      .expect(201);
    const again = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'Twice' })
      .expect(409);
    expect(again.body.issues[0].pointer).toBe('/name');
  });

  it('are not made by chefs or purchasing, nor without signing in', async () => {
    await test.as(chefOf()).post('/v1/sites').send(lakehouse).expect(403);
    await test.as(PURCHASING).post('/v1/sites').send(lakehouse).expect(403);
    await test.anonymous.post('/v1/sites').send(lakehouse).expect(401);
  });

  it("show a chef only the chef's own sites", async () => {
    const one = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'One' })
      .expect(201);
    const two = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'Two' })
      .expect(201);
    const chef = test.as(chefOf(one.body.id));
    const list = await chef.get('/v1/sites').expect(200);
    expect(list.body.items.map((s: { id: string }) => s.id)).toEqual([one.body.id]);
    await chef.get(`/v1/sites/${two.body.id}`).expect(403);
    await chef.get(`/v1/sites/${two.body.id}/services`).expect(403);
  });

  it('come page by page', async () => {
    const first = await test.as(LEAD).get('/v1/sites?limit=2').expect(200);
    expect(first.body.items).toHaveLength(2);
    const second = await test
      .as(LEAD)
      .get(`/v1/sites?limit=2&cursor=${first.body.nextCursor}`)
      .expect(200);
    expect(second.body.items[0].id > first.body.items[1].id).toBe(true);
    await test.as(LEAD).get('/v1/sites?cursor=%21%21').expect(400);
  });

  it('leave the list when archived and come back when restored', async () => {
    const made = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'Winter' })
      .expect(201);
    const path = `/v1/sites/${made.body.id}`;
    await test.as(LEAD).post(`${path}/archive`).set('if-match', '"1"').expect(200);
    const list = await test.as(LEAD).get('/v1/sites?limit=200').expect(200);
    expect(list.body.items.map((s: { id: string }) => s.id)).not.toContain(made.body.id);
    await test.as(LEAD).post(`${path}/restore`).set('if-match', '"2"').expect(200);
  });

  it('answer a repeated creating request with the first answer', async () => {
    const send = () =>
      test
        .as(LEAD)
        .post('/v1/sites')
        .set('idempotency-key', 'make-the-pier-once')
        .send({ ...lakehouse, name: 'Pier' });
    const first = await send().expect(201);
    const second = await send().expect(201);
    expect(second.body.id).toBe(first.body.id);
    await test
      .as(LEAD)
      .post('/v1/sites')
      .set('idempotency-key', 'make-the-pier-once')
      .send({ ...lakehouse, name: 'Other' })
      .expect(409);
  });
});

describe('services of a site', () => {
  it('hold their times, weekdays and seats; a bad time is refused with its pointer', async () => {
    const site = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ ...lakehouse, name: 'Orangery' })
      .expect(201);
    const made = await test
      .as(LEAD)
      .post(`/v1/sites/${site.body.id}/services`)
      .send(dinner)
      .expect(201);
    expect(made.body).toMatchObject({ ...dinner, activeFrom: null, siteId: site.body.id });
    const refused = await test
      .as(LEAD)
      .post(`/v1/sites/${site.body.id}/services`)
      .send({ ...dinner, name: 'Late', startsAt: '25:00' })
      .expect(400);
    expect(refused.body.issues[0].pointer).toBe('/startsAt');
    const list = await test
      .as(chefOf(site.body.id))
      .get(`/v1/sites/${site.body.id}/services`)
      .expect(200);
    expect(list.body.items).toHaveLength(1);
  });

  it('of an unknown site are not found', async () => {
    await test.as(LEAD).post('/v1/sites/site_none/services').send(dinner).expect(404);
  });
});
