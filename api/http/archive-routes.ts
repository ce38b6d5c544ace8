import type {
  FastifyBaseLogger,
  FastifyInstance,
  FastifySchema,
  RawReplyDefaultExpression,
  RawRequestDefaultExpression,
  RawServerDefault,
} from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import type { z } from 'zod';
import type { Actor } from '../modules/platform/index.ts';
import { actorOf, type AccessRule } from './access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from './etag.ts';

type App = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression,
  RawReplyDefaultExpression,
  FastifyBaseLogger,
  ZodTypeProvider
>;

/** What is put away and brought back, and how. */
interface Archiving<P extends z.ZodType, S extends z.ZodType> {
  /** The address of the thing. */
  readonly at: `/${string}`;
  /** What it is called in a sentence: `a site`. */
  readonly noun: string;
  readonly tags: string[];
  readonly access: AccessRule;
  readonly params: P;
  readonly schema: S;
  readonly set: (
    actor: Actor,
    params: z.output<P>,
    rev: number,
    archived: boolean,
  ) => Promise<{ readonly rev: number; readonly body: z.input<S> }>;
}

/**
 * `POST …/archive` puts a thing away and `POST …/restore` brings it back; both name the revision that
 * was seen (If-Match) and answer with the thing as it is then.
 */
export function archiveRoutes<P extends z.ZodType, S extends z.ZodType>(
  app: App,
  { at, noun, tags, access, params, schema, set }: Archiving<P, S>,
): void {
  // The provider cannot say what a route's types are while its schemas are still open; `Archiving` does.
  const plain = app as unknown as FastifyInstance;
  for (const [verb, archived, summary] of [
    ['archive', true, `Put ${noun} away`],
    ['restore', false, `Bring ${noun} back that was put away`],
  ] as const) {
    const declared: FastifySchema = {
      ...{ tags, summary, params, headers: IfMatchHeaders },
      response: { 200: schema },
    };
    plain.post(
      `${at}/${verb}`,
      { config: { access }, schema: declared },
      async (request, reply) => {
        const named = request.params as z.output<P>;
        const { rev, body } = await set(actorOf(request), named, revisionFrom(request), archived);
        setRevision(reply, rev);
        return reply.send(body);
      },
    );
  }
}
