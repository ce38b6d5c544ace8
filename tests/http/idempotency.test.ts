import Fastify, { type FastifyInstance } from 'fastify';
import { afterEach, describe, expect, it } from 'vitest';
import { registerAccess } from '../../api/http/access.ts';
import { registerErrorHandler } from '../../api/http/error-handler.ts';
import { registerIdempotency, type IdempotencyStore } from '../../api/http/idempotency.ts';
import { createIdempotencyStore } from '../../api/persistence/idempotency.repository.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { createUnitOfWork } from '../../api/persistence/repositories.ts';
import { SteppedClock } from '../../api/modules/platform/index.ts';
import { LEAD } from '../helpers/test-app.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

// The rules of Idempotency-Key on one made-up creating route, over a real store.

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

async function startCounting(work: () => Promise<void> = async () => undefined) {
  const database = await openTestDatabase();
  const clock = new SteppedClock('2026-03-10T05:30:00Z');
  const app: FastifyInstance = Fastify();
  let made = 0;
  registerErrorHandler(app);
  registerAccess(app, async () => LEAD);
  registerIdempotency(app, createIdempotencyStore(database), clock);
  app.post('/things', { config: { access: 'signed-in', idempotent: true } }, async (_, reply) => {
    await work();
    made += 1;
    return reply.code(201).header('location', `/things/${made}`).send({ made });
  });
  closing.push(async () => {
    await app.close();
    await database.close();
  });
  const post = (key: string, payload: object = { a: 1 }) =>
    app.inject({ method: 'POST', url: '/things', headers: { 'idempotency-key': key }, payload });
  return { post, clock, made: () => made };
}

describe('an Idempotency-Key', () => {
  it('gives the first answer again, once made', async () => {
    const { post, made } = await startCounting();
    const first = await post('key-of-one');
    const again = await post('key-of-one');
    expect([first.statusCode, again.statusCode, made()]).toEqual([201, 201, 1]);
    expect(again.json()).toEqual(first.json());
    expect(again.headers).toMatchObject({ 'idempotent-replay': 'true', location: '/things/1' });
  });

  it('says by a type of its own that the first request is still being worked on', async () => {
    let finish = (): void => undefined;
    let begun = (): void => undefined;
    const working = new Promise<void>((resolve) => (begun = resolve));
    const held = new Promise<void>((resolve) => (finish = resolve));
    const { post } = await startCounting(async () => {
      begun();
      await held;
    });
    const first = post('key-of-two');
    await working;
    const second = await post('key-of-two');
    expect(second.statusCode).toBe(409);
    expect(second.json()).toMatchObject({
      type: 'https://tamis.example/problems/still-in-progress',
      status: 409,
    });
    expect(second.headers['retry-after']).toBe('1');
    finish();
    expect((await first).statusCode).toBe(201);
    expect((await post('key-of-two')).headers['idempotent-replay']).toBe('true');
  });

  it('used for another request is refused as a conflict, which asking again does not mend', async () => {
    const { post, made } = await startCounting();
    await post('key-of-three');
    const other = await post('key-of-three', { a: 2 });
    expect(other.json()).toMatchObject({ type: 'https://tamis.example/problems/conflict' });
    expect(made()).toBe(1);
  });

  it('is free again after a refusal', async () => {
    let fail = true;
    const { post } = await startCounting(async () => {
      if (fail) throw new Error('no');
    });
    expect((await post('key-of-four')).statusCode).toBe(500);
    fail = false;
    expect((await post('key-of-four')).statusCode).toBe(201);
  });
});

/** A route that writes one line of the audit trail, over a store whose answers a test may lose. */
async function startWriting() {
  const database = await openTestDatabase();
  const clock = new SteppedClock('2026-03-10T05:30:00Z');
  const work = createUnitOfWork(database, createNewId());
  const store = createIdempotencyStore(database);
  const lost = { answer: true };
  const gone = async (): Promise<never> => {
    throw new Error('killed');
  };
  const losing: IdempotencyStore = {
    take: store.take,
    keep: (...answer) => (lost.answer ? gone() : store.keep(...answer)),
    forget: (...key) => (lost.answer ? gone() : store.forget(...key)),
  };
  const app: FastifyInstance = Fastify();
  let before: () => Promise<void> = async () => undefined;
  registerErrorHandler(app);
  registerAccess(app, async () => LEAD);
  registerIdempotency(app, losing, clock);
  app.post('/lines', { config: { access: 'signed-in', idempotent: true } }, async (_, reply) => {
    await before();
    await work.run(({ audit }) =>
      audit.append({ actor: LEAD, action: 'wrote', subjectKind: 'line', subjectId: 'line_1' }),
    );
    return reply.code(201).send({ ok: true });
  });
  closing.push(async () => {
    await app.close();
    await database.close();
  });
  return {
    clock,
    lost,
    beforeWork: (run: () => Promise<void>) => (before = run),
    lines: () => database.prisma.auditEvent.count({ where: { action: 'wrote' } }),
    post: (key: string) =>
      app.inject({
        method: 'POST',
        url: '/lines',
        headers: { 'idempotency-key': key },
        payload: {},
      }),
  };
}

describe('a request whose answer was lost', () => {
  it('is not done again, however much later its key comes back', async () => {
    const { post, clock, lines } = await startWriting();
    await post('lost-answer-1');
    expect(await lines()).toBe(1);
    const soon = await post('lost-answer-1');
    expect(soon.json()).toMatchObject({ status: 409, type: expect.stringMatching(/in-progress$/) });
    for (const minutes of [1, 5, 60 * 24]) {
      clock.advanceMinutes(minutes);
      const later = await post('lost-answer-1');
      expect(later.json()).toMatchObject({
        status: 409,
        type: 'https://tamis.example/problems/already-done',
      });
      expect(later.json().context).toEqual({ made: [{ kind: 'line', id: 'line_1' }] });
      expect(later.json().detail).toContain('line line_1');
    }
    expect(await lines()).toBe(1);
  });

  it('that died with its work undone is done when its key comes back', async () => {
    const { post, clock, lines, lost, beforeWork } = await startWriting();
    beforeWork(async () => {
      throw new Error('killed');
    });
    await post('died-undone-1');
    beforeWork(async () => undefined);
    expect((await post('died-undone-1')).statusCode).toBe(409);
    clock.advanceMinutes(2);
    lost.answer = false;
    expect((await post('died-undone-1')).statusCode).toBe(201);
    expect(await lines()).toBe(1);
  });

  it('is done once when it stood still so long that a repeat took its key over', async () => {
    const { post, clock, lines, lost, beforeWork } = await startWriting();
    lost.answer = false;
    let goOn = (): void => undefined;
    let waits = (): void => undefined;
    const waiting = new Promise<void>((resolve) => (waits = resolve));
    beforeWork(() => {
      waits();
      return new Promise((resolve) => (goOn = resolve));
    });
    const first = post('slow-first-1');
    await waiting;
    beforeWork(async () => undefined);
    clock.advanceMinutes(2);
    const [repeat, second] = await Promise.all([post('slow-first-1'), post('slow-first-1')]);
    expect([repeat.statusCode, second.statusCode].sort()).toContain(201);
    goOn();
    expect((await first).statusCode).toBe(409);
    expect(await lines()).toBe(1);
  });
});
