import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startSignedInApp, PASSWORD, type SignedInApp } from './signed-in-app.ts';

const site = {
  name: 'Boathouse',
  zone: 'Europe/Rome',
  currency: 'EUR',
  ruleSet: 'eu',
  hours: [],
};

let test: SignedInApp;
beforeAll(async () => {
  test = await startSignedInApp();
  await test.person('lena@lakes.example', 'lead');
  await test.person('ada@lakes.example', 'admin');
});
afterAll(() => test.close());

describe('signing in', () => {
  it('sets a cookie that scripts cannot read and other sites cannot send', async () => {
    const made = await test
      .agent()
      .post('/v1/session')
      .send({ email: ' Lena@Lakes.Example', password: PASSWORD })
      .expect(201);
    const cookie = made.headers['set-cookie']?.[0] ?? '';
    expect(cookie).toMatch(
      /^tamis_session=[\w-]{43}; Max-Age=43200; Path=\/; HttpOnly; SameSite=Strict$/,
    );
    expect(made.body).toMatchObject({
      user: { name: 'lead of the lakes', email: 'lena@lakes.example', kind: 'user' },
      role: 'lead',
      scope: 'all-sites',
      expiresAt: '2026-03-10T17:30:00.000Z',
    });
    expect(made.headers['cache-control']).toBe('no-store');
  });

  it('marks the cookie as for TLS only where the settings say so', async () => {
    const secure = await startSignedInApp({ secureCookies: true });
    await secure.person('lena@lakes.example', 'lead');
    const made = await secure
      .agent()
      .post('/v1/session')
      .send({ email: 'lena@lakes.example', password: PASSWORD })
      .expect(201);
    expect(made.headers['set-cookie']?.[0]).toMatch(/; Secure/);
    await secure.close();
  });

  it('keeps only hashes: neither cookie secret nor password stands in the database', async () => {
    const made = await test
      .agent()
      .post('/v1/session')
      .send({ email: 'ada@lakes.example', password: PASSWORD })
      .expect(201);
    const secret = /tamis_session=([\w-]+)/.exec(made.headers['set-cookie']?.[0] ?? '')?.[1] ?? '';
    expect(secret).toHaveLength(43);
    const rows = JSON.stringify([
      await test.database.prisma.session.findMany(),
      await test.database.prisma.user.findMany(),
      await test.database.prisma.auditEvent.findMany(),
    ]);
    expect(rows).not.toContain(secret);
    expect(rows).not.toContain(PASSWORD);
    expect(rows).toContain('$argon2id$v=19$m=19456,t=2,p=1$');
  });

  it('says the same to a wrong password, an unknown email and an archived person', async () => {
    const gone = await test.person('gone@lakes.example', 'purchasing');
    const ada = await test.signIn('ada@lakes.example');
    await ada.post(`/v1/users/${gone}/archive`).set('if-match', '"1"').expect(200);
    const answers = [];
    for (const [email, password] of [
      ['lena@lakes.example', 'not the password at all'],
      ['nobody@lakes.example', PASSWORD],
      ['gone@lakes.example', PASSWORD],
    ]) {
      const { instance, ...body } = (
        await test.agent().post('/v1/session').send({ email, password }).expect(401)
      ).body;
      expect(instance).toMatch(/^urn:request:/);
      answers.push(body);
    }
    expect(answers[1]).toEqual(answers[0]);
    expect(answers[2]).toEqual(answers[0]);
  });

  it('takes a new secret each time and ends the session of the cookie that came along', async () => {
    const agent = test.agent();
    const body = { email: 'lena@lakes.example', password: PASSWORD };
    const first = await agent.post('/v1/session').send(body).expect(201);
    const second = await agent.post('/v1/session').send(body).expect(201);
    const pair = (answer: typeof first) => answer.headers['set-cookie']?.[0]?.split(';')[0] ?? '';
    expect(pair(second)).not.toBe(pair(first));
    expect(second.body.csrfToken).not.toBe(first.body.csrfToken);
    await test.agent().get('/v1/session').set('cookie', pair(first)).expect(401);
    await test.agent().get('/v1/session').set('cookie', pair(second)).expect(200);
  });

  it('refuses a body with missing, wrong or unknown fields, with pointers', async () => {
    const bad = await test.agent().post('/v1/session').send({ email: 7, extra: true }).expect(400);
    expect(bad.body.issues.map((i: { pointer: string }) => i.pointer)).toEqual(
      expect.arrayContaining(['/email', '/password']),
    );
  });
});

describe('a session', () => {
  it('answers who is signed in with only the sites they may see', async () => {
    const lena = await test.signIn('lena@lakes.example');
    const one = await lena.post('/v1/sites').send(site).expect(201);
    await lena
      .post('/v1/sites')
      .send({ ...site, name: 'Orangery' })
      .expect(201);
    await test.person('cleo@lakes.example', 'chef', [one.body.id]);
    const cleo = await test.signIn('cleo@lakes.example');
    const who = await cleo.get('/v1/session').expect(200);
    expect(who.body).toMatchObject({
      role: 'chef',
      scope: 'own-sites',
      sites: [{ id: one.body.id, name: 'Boathouse', zone: 'Europe/Rome', currency: 'EUR' }],
    });
    expect((await lena.get('/v1/session')).body.sites).toHaveLength(2);
    await test.agent().get('/v1/session').expect(401);
  });

  it('changes nothing without its CSRF token, or with that of another session', async () => {
    const agent = test.agent();
    await agent
      .post('/v1/session')
      .send({ email: 'lena@lakes.example', password: PASSWORD })
      .expect(201);
    const other = await test.signIn('ada@lakes.example');
    const others = (await other.get('/v1/session')).body.csrfToken as string;
    const before = (await agent.get('/v1/sites')).body.items.length;
    const none = await agent
      .post('/v1/sites')
      .send({ ...site, name: 'Forged' })
      .expect(403);
    expect(none.body.issues[0].pointer).toBe('/headers/x-csrf-token');
    await agent
      .post('/v1/sites')
      .set('x-csrf-token', others)
      .send({ ...site, name: 'Forged' })
      .expect(403);
    await agent.delete('/v1/session').expect(403);
    expect((await agent.get('/v1/sites')).body.items).toHaveLength(before);
  });

  it('ends when the person signs out, and the cookie goes', async () => {
    const lena = await test.signIn('lena@lakes.example');
    const out = await lena.delete('/v1/session').expect(204);
    expect(out.headers['set-cookie']?.[0]).toMatch(/^tamis_session=; .*Expires=Thu, 01 Jan 1970/);
    await lena.get('/v1/session').expect(401);
  });

  it('ends twelve hours after signing in, however busy', async () => {
    const app = await startSignedInApp();
    await app.person('lena@lakes.example', 'lead');
    const lena = await app.signIn('lena@lakes.example');
    for (let hour = 1; hour < 12; hour += 1) {
      app.clock.advanceMinutes(60);
      await lena.get('/v1/session').expect(200);
    }
    app.clock.advanceMinutes(59);
    await lena.get('/v1/session').expect(200);
    app.clock.advanceMinutes(1);
    await lena.get('/v1/session').expect(401);
    await app.close();
  });

  it('ends after four hours unused', async () => {
    const app = await startSignedInApp();
    await app.person('lena@lakes.example', 'lead');
    const lena = await app.signIn('lena@lakes.example');
    app.clock.advanceMinutes(239);
    await lena.get('/v1/session').expect(200);
    app.clock.advanceMinutes(240);
    await lena.get('/v1/session').expect(401);
    await app.signIn('lena@lakes.example');
    expect(await app.database.prisma.session.count()).toBe(1);
    await app.close();
  });

  it('is nobody with a cookie that was made up', async () => {
    const agent = test.agent();
    for (const value of ['x', '%00', "' OR 1=1 --", 'a'.repeat(3000)]) {
      await agent.get('/v1/session').set('cookie', `tamis_session=${value}`).expect(401);
    }
  });
});

describe('guessing', () => {
  it('stops after five tries for one person from one address, also with the right password', async () => {
    const app = await startSignedInApp();
    await app.person('lena@lakes.example', 'lead');
    const from = (address: string, password: string) =>
      app
        .agent()
        .post('/v1/session')
        .set('x-forwarded-for', address)
        .send({ email: 'lena@lakes.example', password });
    for (let i = 0; i < 5; i += 1) await from('192.0.2.7', `wrong guess no ${i}`).expect(401);
    const slowed = await from('192.0.2.7', PASSWORD).expect(429);
    expect(slowed.body.context.retryAfterSeconds).toBe(15 * 60);
    expect(slowed.headers['retry-after']).toBe('900');
    await from('192.0.2.8', PASSWORD).expect(201);
    app.clock.advanceMinutes(15);
    await from('192.0.2.7', PASSWORD).expect(201);
    await app.close();
  });

  it('counts tries sent at the same moment one by one', async () => {
    const app = await startSignedInApp();
    await app.person('lena@lakes.example', 'lead');
    const answers = await Promise.all(
      Array.from({ length: 12 }, (_, i) =>
        app
          .agent()
          .post('/v1/session')
          .send({ email: 'lena@lakes.example', password: `wrong guess no ${i}` }),
      ),
    );
    const statuses = answers.map((a) => a.status).sort();
    expect(statuses).toEqual([...Array(5).fill(401), ...Array(7).fill(429)]);
    await app.close();
  });

  it('stops for one person from ever new addresses after sixty tries an hour', async () => {
    const app = await startSignedInApp();
    await app.person('lena@lakes.example', 'lead');
    const from = (address: string, password: string) =>
      app
        .agent()
        .post('/v1/session')
        .set('x-forwarded-for', address)
        .send({ email: 'lena@lakes.example', password });
    for (let i = 0; i < 60; i += 1) {
      await from(`192.0.2.${i}`, 'wrong guess again').expect(401);
    }
    await from('198.51.100.1', PASSWORD).expect(429);
    app.clock.advanceMinutes(60);
    await from('198.51.100.1', PASSWORD).expect(201);
    await app.close();
  });

  it('leaves a line in the audit trail for each refusal of a known person', async () => {
    const app = await startSignedInApp();
    const id = await app.person('lena@lakes.example', 'lead');
    await app
      .agent()
      .post('/v1/session')
      .send({ email: 'lena@lakes.example', password: 'wrong guess here' })
      .expect(401);
    const lines = await app.database.prisma.auditEvent.findMany({ where: { subjectId: id } });
    expect(lines.map((l) => l.action)).toContain('sign-in-refused');
    await app.close();
  });
});

describe("one's own password", () => {
  it('changes with the present one; other sessions end and a new one begins', async () => {
    await test.person('mara@lakes.example', 'purchasing');
    const here = await test.signIn('mara@lakes.example');
    const there = await test.signIn('mara@lakes.example');
    const wrong = await here
      .put('/v1/session/password')
      .send({ currentPassword: 'no idea at all', newPassword: 'walnut shells crackle' })
      .expect(400);
    expect(wrong.body.issues[0].pointer).toBe('/currentPassword');
    const weak = await here
      .put('/v1/session/password')
      .send({ currentPassword: PASSWORD, newPassword: 'short' })
      .expect(400);
    expect(weak.body.issues[0].pointer).toBe('/newPassword');
    await there.get('/v1/session').expect(200);
    await here
      .put('/v1/session/password')
      .send({ currentPassword: PASSWORD, newPassword: 'walnut shells crackle' })
      .expect(200);
    await here.get('/v1/session').expect(200);
    await there.get('/v1/session').expect(401);
    await test.signIn('mara@lakes.example', 'walnut shells crackle');
  });
});
