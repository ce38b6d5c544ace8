import { createHash } from 'node:crypto';
import type {
  FastifyInstance,
  FastifyReply,
  FastifyRequest,
  onSendAsyncHookHandler,
  preHandlerAsyncHookHandler,
  preHandlerHookHandler,
} from 'fastify';
import {
  Refusal,
  withKeyedRequest,
  type Clock,
  type KeyedRequest,
  type MadeThing,
} from '../modules/platform/index.ts';
import { actorOf } from './access.ts';

/** The first answer given under a key. */
export interface StoredAnswer {
  readonly status: number;
  readonly body: unknown;
  readonly location: string | null;
}

/** What stands under a key that was taken before. */
export interface StandingRequest {
  readonly requestHash: string;
  readonly answer: StoredAnswer | null;
  /** When its work was committed; null while it was not. */
  readonly landedAt: Date | null;
  /** What its committed work made or changed. */
  readonly made: readonly MadeThing[];
}

/** Keeps the first answer to each creating request, per actor and key. */
export interface IdempotencyStore {
  /**
   * Takes the key. `taken` when this request is the first (or an earlier one died before
   * `staleBefore` with its work undone); otherwise what stands there.
   */
  take(
    actorId: string,
    key: string,
    requestHash: string,
    now: Date,
    staleBefore: Date,
  ): Promise<'taken' | StandingRequest>;
  keep(actorId: string, key: string, answer: StoredAnswer): Promise<void>;
  /** Frees a key without an answer; one whose work was done only with `evenIfDone`. */
  forget(actorId: string, key: string, evenIfDone: boolean): Promise<void>;
}

const STALE_AFTER_MS = 60_000;
/** The answer follows the work within moments; after this it is taken for lost. */
const ANSWER_WITHIN_MS = 10_000;

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

const MOST_NAMED = 5;

/** What was made, in words. */
function namesOf(made: readonly MadeThing[]): string {
  const names = [...new Set(made.map(({ kind, id }) => `${kind} ${id}`))];
  if (names.length === 0) return 'what is there';
  const more = names.length - MOST_NAMED;
  return `${names.slice(0, MOST_NAMED).join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

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
  const held = new WeakMap<FastifyRequest, KeyedRequest>();

  const take = async (request: FastifyRequest, reply: FastifyReply, key: string) => {
    const hash = hashOf(request);
    const now = clock.now();
    const actorId = actorOf(request).id;
    const taken = await store.take(
      actorId,
      key,
      hash,
      now,
      new Date(now.getTime() - STALE_AFTER_MS),
    );
    if (taken === 'taken') {
      held.set(request, {
        ...{ actorId, key, takenAt: now, now: () => clock.now() },
        ...{ landed: false, made: [] },
      });
      return;
    }
    if (taken.requestHash !== hash) {
      throw new Refusal('conflict', 'This Idempotency-Key was used for a different request.');
    }
    const { answer, landedAt, made } = taken;
    if (answer === null && landedAt && now.getTime() - landedAt.getTime() > ANSWER_WITHIN_MS) {
      throw new Refusal(
        'already-done',
        `This was done when it was first sent, but the answer was lost. Look at ${namesOf(made)}; do not send it again. What follows from it is worked out anew at night at the latest.`,
        { detail: { made } },
      );
    }
    if (answer === null) {
      reply.header('retry-after', '1');
      throw new Refusal(
        'still-in-progress',
        'The first request with this key is still being worked on. Ask again in a moment.',
      );
    }
    reply.header('idempotent-replay', 'true');
    if (answer.location) reply.header('location', answer.location);
    return reply
      .code(answer.status)
      .type('application/json')
      .serializer((body: unknown) => JSON.stringify(body))
      .send(answer.body);
  };

  const keep = async (
    request: FastifyRequest,
    reply: FastifyReply,
    { actorId, key }: KeyedRequest,
    payload: unknown,
  ) => {
    try {
      if (reply.statusCode >= 200 && reply.statusCode < 300 && typeof payload === 'string') {
        const location = reply.getHeader('location');
        await store.keep(actorId, key, {
          status: reply.statusCode,
          body: JSON.parse(payload),
          location: typeof location === 'string' ? location : null,
        });
      } else {
        // A refusal tells the caller where it stands; after a fault nobody knows, so the mark stays.
        await store.forget(actorId, key, reply.statusCode < 500);
      }
    } catch (error) {
      // The work stands and is marked as done: the caller gets the answer all the same.
      request.log.error({ err: error }, 'the answer could not be kept');
    }
  };

  // Only on the routes that take a key: all others are spared the hooks.
  app.addHook('onRoute', (route) => {
    if (!route.config?.idempotent) return;
    const before: preHandlerAsyncHookHandler = async (request, reply) => {
      const key = keyOf(request);
      return key === null ? undefined : take(request, reply, key);
    };
    // A hook with a callback: what runs inside it carries the request on to the handler.
    const within: preHandlerHookHandler = (request, _reply, done) => {
      const keyed = held.get(request);
      if (keyed) withKeyedRequest(keyed, done);
      else done();
    };
    const after: onSendAsyncHookHandler = async (request, reply, payload) => {
      const keyed = held.get(request);
      held.delete(request);
      if (keyed) await keep(request, reply, keyed, payload);
      return payload;
    };
    route.preHandler = [...[route.preHandler ?? []].flat(), before, within];
    route.onSend = [...[route.onSend ?? []].flat(), after];
  });
}
