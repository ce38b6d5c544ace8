import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startSignedInApp, type SignedInApp } from './signed-in-app.ts';

const first = {
  email: 'Ada@Lakes.Example',
  name: 'Ada',
  password: 'three ovens at dawn',
  groupName: 'Lakeside houses',
};

let test: SignedInApp;
beforeEach(async () => {
  test = await startSignedInApp();
});
afterEach(() => test.close());

const setUp = (setupCode: string, more = {}) =>
  test
    .agent()
    .post('/v1/setup')
    .send({ ...first, setupCode, ...more });
const begin = async () => (await test.services.access.setup.beginSetup()) ?? '';

describe('first use', () => {
  it('makes the first admin with the printed code, once, and names the group', async () => {
    expect((await test.agent().get('/v1/setup')).body).toEqual({ needed: true, groupName: null });
    const code = await begin();
    expect(code).toMatch(/^[2-9A-Z]{4}(-[2-9A-Z]{4}){3}$/);
    await setUp(code).expect(201, { needed: false, groupName: 'Lakeside houses' });
    const ada = await test.signIn('ada@lakes.example');
    expect((await ada.get('/v1/session')).body.role).toBe('admin');
    expect((await test.agent().get('/v1/setup')).body.needed).toBe(false);
    await setUp(code, { email: 'eve@lakes.example' }).expect(409);
    expect(await test.services.access.setup.beginSetup()).toBeNull();
  });

  it('accepts the code as people type it, from whichever replica printed it', async () => {
    const older = await begin();
    await begin();
    await setUp(older.toLowerCase().replaceAll('-', ' ')).expect(201);
  });

  it('refuses a wrong or day-old code, a weak password and a bad email, and makes nobody', async () => {
    const code = await begin();
    const wrong = await setUp('AAAA-BBBB-CCCC-DDDD').expect(400);
    expect(wrong.body.issues[0].pointer).toBe('/setupCode');
    const weak = await setUp(code, { password: 'aaaaaaaaaaaaaaaa' }).expect(400);
    expect(weak.body.issues[0].pointer).toBe('/password');
    const bad = await setUp(code, { email: 'not an address' }).expect(400);
    expect(bad.body.issues[0].pointer).toBe('/email');
    test.clock.advanceMinutes(24 * 60);
    await setUp(code).expect(400);
    expect((await test.agent().get('/v1/setup')).body.needed).toBe(true);
  });

  it('lets one of several set-ups at the same moment through', async () => {
    const code = await begin();
    const answers = await Promise.all(
      ['a', 'b', 'c'].map((who) => setUp(code, { email: `${who}@lakes.example` })),
    );
    expect(answers.map((a) => a.status).sort()).toEqual([201, 409, 409]);
    expect(await test.database.prisma.user.count()).toBe(1);
  });

  it('slows down whoever tries codes', async () => {
    await begin();
    for (let i = 0; i < 5; i += 1) await setUp(`AAAA-BBBB-CCCC-DDD${i}`).expect(400);
    await setUp('AAAA-BBBB-CCCC-DDDD').expect(429);
  });

  it('keeps the code hashed and forgets it afterwards', async () => {
    const code = await begin();
    const kept = JSON.stringify(await test.database.prisma.groupSetting.findMany());
    expect(kept).toContain('setup-code:');
    expect(kept).not.toContain(code);
    expect(kept).not.toContain(code.replaceAll('-', ''));
    await setUp(code).expect(201);
    const left = JSON.stringify(await test.database.prisma.groupSetting.findMany());
    expect(left).not.toContain('setup-code:');
  });
});
