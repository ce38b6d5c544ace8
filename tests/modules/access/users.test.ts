import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SYSTEM } from '../../helpers/test-app.ts';
import { PASSWORD, startSignedInApp, type SignedInApp } from './signed-in-app.ts';

let test: SignedInApp;
let siteId: string;
let lena: Awaited<ReturnType<SignedInApp['signIn']>>;
let ada: typeof lena;
let adaId: string;
beforeAll(async () => {
  test = await startSignedInApp();
  adaId = await test.person('ada@lakes.example', 'admin');
  await test.person('lena@lakes.example', 'lead');
  siteId = (
    await test.services.sites.create(SYSTEM, {
      name: 'Boathouse',
      zone: 'Europe/Rome',
      currency: 'EUR',
      ruleSet: 'eu',
      hours: [],
    })
  ).id;
  lena = await test.signIn('lena@lakes.example');
  ada = await test.signIn('ada@lakes.example');
});
afterAll(() => test.close());

const chef = (email: string) => ({
  email,
  name: 'Cleo',
  role: 'chef',
  siteIds: [siteId],
  password: PASSWORD,
});

describe('users', () => {
  it('are made by an admin for every role, by a lead for chefs only', async () => {
    const made = await lena.post('/v1/users').send(chef('cleo@lakes.example')).expect(201);
    expect(made.body).toEqual({
      id: made.body.id,
      email: 'cleo@lakes.example',
      name: 'Cleo',
      role: 'chef',
      siteIds: [siteId],
      archived: false,
      inYourCare: true,
      rev: 1,
    });
    const seen = async (who: typeof lena) => (await who.get('/v1/users').expect(200)).body;
    const byLead = await seen(lena);
    expect(byLead.rolesToGive).toEqual(['chef']);
    const cared = ({ items }: { items: { role: string; inYourCare: boolean }[] }) =>
      items.filter((user) => user.inYourCare).map((user) => user.role);
    expect(cared(byLead)).toEqual(['chef']);
    const byAdmin = await seen(ada);
    expect(byAdmin.rolesToGive).toEqual(['lead', 'chef', 'purchasing', 'admin']);
    expect(cared(byAdmin).toSorted()).toEqual(['admin', 'chef', 'lead']);
    const lead = { ...chef('x@lakes.example'), role: 'lead', siteIds: 'all' };
    await lena.post('/v1/users').send(lead).expect(403);
    await ada.post('/v1/users').send(lead).expect(201);
    const cleo = await test.signIn('cleo@lakes.example');
    await cleo.post('/v1/users').send(chef('y@lakes.example')).expect(403);
    await cleo.get('/v1/users').expect(403);
  });

  it('have one email each, whatever its case', async () => {
    await lena.post('/v1/users').send(chef('twice@lakes.example')).expect(201);
    const again = await lena.post('/v1/users').send(chef('Twice@Lakes.example')).expect(409);
    expect(again.body.issues[0].pointer).toBe('/email');
  });

  it('are refused with a pointer when role and sites do not go together', async () => {
    const count = await test.database.prisma.user.count();
    for (const [body, pointer] of [
      [{ ...chef('a@lakes.example'), siteIds: 'all' }, '/siteIds'],
      [{ ...chef('a@lakes.example'), role: 'lead' }, '/siteIds'],
      [{ ...chef('a@lakes.example'), siteIds: [siteId, siteId] }, '/siteIds'],
      [{ ...chef('a@lakes.example'), siteIds: [siteId, 'site_none'] }, '/siteIds/1'],
      [{ ...chef('a@lakes.example'), role: 'owner' }, '/role'],
      [{ ...chef('a@lakes.example'), email: 'a' }, '/email'],
      [{ ...chef('a@lakes.example'), name: '  ' }, '/name'],
      [{ ...chef('a@lakes.example'), password: 'eleven char' }, '/password'],
      [{ ...chef('a@lakes.example'), password: 'x'.repeat(64) + 'ab'.repeat(33) }, '/password'],
      [{ ...chef('a@lakes.example'), password: '123456789012345' }, '/password'],
      [{ ...chef('a@lakes.example'), password: 'cleo-cleo-cleo' }, '/password'],
    ] as const) {
      const refused = await ada.post('/v1/users').send(body).expect(400);
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    expect(await test.database.prisma.user.count()).toBe(count);
  });

  it('are changed against the version last read; new rights hold at once', async () => {
    const made = await ada.post('/v1/users').send(chef('ines@lakes.example')).expect(201);
    const ines = await test.signIn('ines@lakes.example');
    await ines.get(`/v1/sites/${siteId}`).expect(200);
    const body = { email: 'ines@lakes.example', name: 'Cleo', role: 'chef', siteIds: [siteId] };
    const path = `/v1/users/${made.body.id}`;
    await ada
      .put(path)
      .send({ ...body, siteIds: [] })
      .expect(428);
    await ada
      .put(path)
      .set('if-match', '"1"')
      .send({ ...body, siteIds: [] })
      .expect(200);
    const lost = await ada.put(path).set('if-match', '"1"').send(body).expect(412);
    expect(JSON.stringify(lost.body)).not.toContain('argon2');
    await ines.get(`/v1/sites/${siteId}`).expect(403);
  });

  it('of other roles are not touched by a lead: no new password, no archive, no promotion', async () => {
    await lena
      .put(`/v1/users/${adaId}/password`)
      .send({ password: 'mine from now on!' })
      .expect(403);
    await lena.post(`/v1/users/${adaId}/archive`).set('if-match', '"1"').expect(403);
    const made = await lena.post('/v1/users').send(chef('climb@lakes.example')).expect(201);
    await lena
      .put(`/v1/users/${made.body.id}`)
      .set('if-match', '"1"')
      .send({ email: 'climb@lakes.example', name: 'C', role: 'admin', siteIds: 'all' })
      .expect(403);
    await lena.get(`/v1/users/usr_none`).expect(404);
  });

  it('lose their sessions when archived or given a new password', async () => {
    const made = await lena.post('/v1/users').send(chef('nora@lakes.example')).expect(201);
    const path = `/v1/users/${made.body.id}`;
    const nora = await test.signIn('nora@lakes.example');
    await lena.put(`${path}/password`).send({ password: 'a kettle sings low' }).expect(204);
    await nora.get('/v1/session').expect(401);
    const again = await test.signIn('nora@lakes.example', 'a kettle sings low');
    await lena.post(`${path}/archive`).set('if-match', '"1"').expect(200);
    await again.get('/v1/session').expect(401);
    const list = await lena.get('/v1/users?limit=200').expect(200);
    expect(list.body.items.map((u: { id: string }) => u.id)).not.toContain(made.body.id);
    await lena.post(`${path}/restore`).set('if-match', '"2"').expect(200);
    await test.signIn('nora@lakes.example', 'a kettle sings low');
  });

  it('always keep an admin, also when two go at the same moment', async () => {
    const own = { email: 'ada@lakes.example', name: 'Ada', role: 'lead', siteIds: 'all' };
    await ada.put(`/v1/users/${adaId}`).set('if-match', '"1"').send(own).expect(409);
    await ada.post(`/v1/users/${adaId}/archive`).set('if-match', '"1"').expect(409);
    const second = await test.person('second@lakes.example', 'admin');
    const answers = await Promise.all([
      ada.post(`/v1/users/${adaId}/archive`).set('if-match', '"1"'),
      (await test.signIn('second@lakes.example'))
        .post(`/v1/users/${second}/archive`)
        .set('if-match', '"1"'),
    ]);
    expect(answers.filter((a) => a.status === 200)).toHaveLength(1);
    expect(
      await test.database.prisma.user.count({ where: { role: 'admin', archivedAt: null } }),
    ).toBe(1);
  });
});
