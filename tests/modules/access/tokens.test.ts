import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SYSTEM } from '../../helpers/test-app.ts';
import { PASSWORD, startSignedInApp, type SignedInApp } from './signed-in-app.ts';

let test: SignedInApp;
let lena: Awaited<ReturnType<SignedInApp['signIn']>>;
let siteId: string;
let otherSiteId: string;
const site = { zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] } as const;
beforeAll(async () => {
  test = await startSignedInApp();
  await test.person('lena@lakes.example', 'lead');
  siteId = (await test.services.sites.create(SYSTEM, { ...site, name: 'Boathouse' })).id;
  otherSiteId = (await test.services.sites.create(SYSTEM, { ...site, name: 'Orangery' })).id;
  lena = await test.signIn('lena@lakes.example');
});
afterAll(() => test.close());

const make = async (more = {}) =>
  (
    await lena
      .post('/v1/api-tokens')
      .send({ name: 'booking system', role: 'chef', siteIds: [siteId], ...more })
      .expect(201)
  ).body as { id: string; secret: string; expiresAt: string };
const by = (secret: string) => test.agent().set('authorization', `Bearer ${secret}`);

describe('keys for machines', () => {
  it('open only their own sites, need no CSRF token, and show their secret once', async () => {
    const key = await make();
    expect(key.secret).toMatch(/^tamis_[\w-]{43}$/);
    expect(key.expiresAt).toBe('2027-03-10T05:30:00.000Z');
    await by(key.secret).get(`/v1/sites/${siteId}`).expect(200);
    await by(key.secret).get(`/v1/sites/${otherSiteId}`).expect(403);
    const who = await by(key.secret).get('/v1/session').expect(200);
    expect(who.body).toMatchObject({ user: { kind: 'token', email: null }, csrfToken: null });
    await by(key.secret).delete('/v1/session').expect(204);
    const list = await lena.get('/v1/api-tokens').expect(200);
    expect(JSON.stringify(list.body)).not.toContain(key.secret);
    expect(list.body.items.find((t: { id: string }) => t.id === key.id).lastUsedAt).toBe(
      '2026-03-10T05:30:00.000Z',
    );
    const kept = JSON.stringify([
      await test.database.prisma.apiToken.findMany(),
      await test.database.prisma.idempotencyRecord.findMany(),
      await test.database.prisma.auditEvent.findMany(),
    ]);
    expect(kept).not.toContain(key.secret);
  });

  it('end when revoked and when their time is over', async () => {
    const key = await make();
    await lena.delete(`/v1/api-tokens/${key.id}`).expect(200);
    await lena.delete(`/v1/api-tokens/${key.id}`).expect(200);
    await by(key.secret).get('/v1/session').expect(401);
    const short = await make({ expiresAt: '2026-03-10T07:00:00+01:00' });
    await by(short.secret).get('/v1/session').expect(200);
    test.clock.advanceMinutes(30);
    await by(short.secret).get('/v1/session').expect(401);
    await lena.delete('/v1/api-tokens/tok_none').expect(404);
  });

  it('are refused with a past or far end, an unknown site, or more rights than the maker has', async () => {
    const refused = (more: object, status: number) =>
      lena
        .post('/v1/api-tokens')
        .send({ name: 'x', role: 'chef', siteIds: [siteId], ...more })
        .expect(status);
    const past = await refused({ expiresAt: '2026-03-10T05:00:00Z' }, 400);
    expect(past.body.issues[0].pointer).toBe('/expiresAt');
    await refused({ expiresAt: '2029-01-01T00:00:00Z' }, 400);
    await refused({ expiresAt: 'tomorrow' }, 400);
    const unknown = await refused({ siteIds: ['site_none'] }, 400);
    expect(unknown.body.issues[0].pointer).toBe('/siteIds/0');
    await refused({ siteIds: 'all' }, 400);
    await refused({ role: 'admin', siteIds: 'all' }, 403);
  });

  it('make neither people nor further keys, and change no password', async () => {
    const key = await make({ role: 'lead', siteIds: 'all' });
    await by(key.secret)
      .post('/v1/api-tokens')
      .send({ name: 'child', role: 'chef', siteIds: [siteId] })
      .expect(403);
    await by(key.secret)
      .post('/v1/users')
      .send({
        email: 'm@lakes.example',
        name: 'M',
        role: 'chef',
        siteIds: [siteId],
        password: PASSWORD,
      })
      .expect(403);
    await by(key.secret)
      .put('/v1/session/password')
      .send({ currentPassword: PASSWORD, newPassword: 'walnut shells crackle' })
      .expect(403);
  });

  it('are judged alone: a wrong key is not saved by a good cookie', async () => {
    await lena.get('/v1/session').set('authorization', 'Bearer tamis_wrong').expect(401);
    await lena.get('/v1/session').set('authorization', 'Basic bGVuYTp4').expect(401);
    await lena.get('/v1/session').expect(200);
  });
});

describe('the audit trail', () => {
  it('is read by lead and admin, newest first, page by page and by subject', async () => {
    const first = await lena.get('/v1/audit?limit=2').expect(200);
    expect(first.body.items).toHaveLength(2);
    const next = await lena.get(`/v1/audit?limit=2&cursor=${first.body.nextCursor}`).expect(200);
    expect(next.body.items[0].id < first.body.items[1].id).toBe(true);
    const tokens = await lena.get('/v1/audit?subjectKind=api-token').expect(200);
    expect(tokens.body.items.length).toBeGreaterThan(0);
    for (const line of tokens.body.items) {
      expect(line).toMatchObject({ subjectKind: 'api-token', actorName: 'lead of the lakes' });
    }
    await test.person('cleo@lakes.example', 'chef', [siteId]);
    await (await test.signIn('cleo@lakes.example')).get('/v1/audit').expect(403);
  });

  it('only grows: the database itself refuses changes', async () => {
    const { auditEvent } = test.database.prisma;
    const count = await auditEvent.count();
    await expect(auditEvent.updateMany({ data: { action: 'nothing' } })).rejects.toThrow(
      /append-only/,
    );
    await expect(auditEvent.deleteMany({})).rejects.toThrow(/append-only/);
    expect(await auditEvent.count()).toBe(count);
  });
});
