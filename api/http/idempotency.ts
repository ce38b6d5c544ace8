import { createHash } from 'node:crypto';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { Refusal, type Clock } from '../modules/platform/index.ts';
import { actorOf } from './access.ts';

/** The first answer given under a key. */
export interface StoredAnswer {
  readonly status: number;
  readonly body: unknown;
  readonly location: string | null;
}

/** Keeps the first answer to each creating request, per actor and key. */
export interface IdempotencyStore {
  /**
   * Takes the key. `taken` when this request is the first (or an earlier one died without an answer
   * before `staleBefore`); otherwise what stands there.
   */
  take(
    actorId: string,
    key: string,
    requestHash: string,
    now: Date,
    staleBefore: Date,
  ): Promise<'taken' | { readonly requestHash: string; readonly answer: StoredAnswer | null }>;
  keep(actorId: string, key: string, answer: StoredAnswer): Promise<void>;
  forget(actorId: string, key: string): Promise<void>;
}

const STALE_AFTER_MS = 60_000;

function keyOf(request: FastifyRequest): string | null {
  const key = request.headers['idempotency-key'];
  if (key === undefined || !request.routeOptions.config.idempotent) return null;
  if (typeof key !== 'string' || !/^[\x21-\x7e]{8,120}$/.test(key)) {
    throw new Refusal('invalid-input', 'Idempotency-Key must be 8 to 120 printable characters.', {
      issues: [{ pointer: '/headers/idempotency-key', message: 'Use a random id such as a UUID.' }],
    });
  }
  return key;
}

/** How long ago it happened grows while a request is sent again and again: it is no part of what is asked. */
const GROWING = ['minutesAgo', 'offHeatMinutesAgo'];

function hashOf(request: FastifyRequest): string {
  const body = JSON.stringify(request.body ?? null, (key, value: unknown) =>
    GROWING.includes(key) ? undefined : value,
  );
  return createHash('sha256').update(`${request.method} ${request.url}\n${body}`).digest('hex');
}

/** Replays the first answer when a creating POST comes again with the same Idempotency-Key. */
export function registerIdempotency(
  app: FastifyInstance,
  store: IdempotencyStore,
  clock: Clock,
): void {
  const held = new WeakMap<FastifyRequest, string>();

  app.addHook('preHandler', async (request, reply) => {
    const key = keyOf(request);
    if (key === null) return;
    const hash = hashOf(request);
    const now = clock.now();
    const taken = await store.take(
      actorOf(request).id,
      key,
      hash,
      now,
      new Date(now.getTime() - STALE_AFTER_MS),
    );
    if (taken === 'taken') {
      held.set(request, key);
      return;
    }
    if (taken.requestHash !== hash) {
      throw new Refusal('conflict', 'This Idempotency-Key was used for a different request.');
    }
    if (taken.answer === null) {
      reply.header('retry-after', '1');
      throw new Refusal(
        'still-in-progress',
        'The first request with this key is still being worked on. Ask again in a moment.',
      );
    }
    reply.header('idempotent-replay', 'true');
    if (taken.answer.location) reply.header('location', taken.answer.location);
    return reply
      .code(taken.answer.status)
      .type('application/json')
      .serializer((body: unknown) => JSON.stringify(body))
      .send(taken.answer.body);
  });

  app.addHook('onSend', async (request, reply, payload) => {
    const key = held.get(request);
    if (key === undefined) return payload;
    held.delete(request);
    const actorId = actorOf(request).id;
    if (reply.statusCode >= 200 && reply.statusCode < 300 && typeof payload === 'string') {
      const location = reply.getHeader('location');
      await store.keep(actorId, key, {
        status: reply.statusCode,
        body: JSON.parse(payload),
        location: typeof location === 'string' ? location : null,
      });
    } else {
      await store.forget(actorId, key);
    }
    return payload;
  });
}
