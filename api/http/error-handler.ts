import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import {
  hasZodFastifySchemaValidationErrors,
  ResponseSerializationError,
} from 'fastify-type-provider-zod';
import { Refusal } from '../modules/platform/index.ts';
import { problem, statusOfKind, type Problem } from './problem.ts';

function send(reply: FastifyReply, body: Problem): FastifyReply {
  return reply.code(body.status).type('application/problem+json').send(JSON.stringify(body));
}

const KIND_OF_STATUS: Readonly<Record<number, string>> = {
  400: 'invalid-input',
  404: 'not-found',
  413: 'too-large',
  414: 'too-long',
  415: 'wrong-content-type',
  429: 'too-many-requests',
};

/** Refuses what the router itself cannot read: a broken escape or an over-long part of the path. */
export function refuseUnroutable(
  error: FastifyError,
  request: FastifyRequest,
  reply: FastifyReply,
): void {
  const status = error.statusCode ?? 400;
  const instance = `urn:request:${request.id}`;
  void send(
    reply,
    problem(KIND_OF_STATUS[status] ?? 'refused', status, 'The address is not readable.', {
      instance,
    }),
  );
}

/** What a fault below comes to for the caller: try again later, or (null) a fault of ours. */
export type FaultOf = (error: unknown) => 'away' | 'full' | 'clash' | null;

const LATER: Readonly<Record<'away' | 'full' | 'clash', readonly [seconds: number, text: string]>> =
  {
    away: [2, 'The database does not answer just now. Try again in a moment.'],
    full: [60, 'There is no room left to write in the database. Nothing was changed.'],
    clash: [1, 'Others were changing the same things. Nothing was changed; try again in a moment.'],
  };

/** Turns whatever went wrong into a problem body; unknown faults are logged and hidden. */
export function registerErrorHandler(app: FastifyInstance, faultOf: FaultOf = () => null): void {
  app.setErrorHandler((error: FastifyError, request: FastifyRequest, reply: FastifyReply) => {
    const instance = `urn:request:${request.id}`;
    if (error instanceof Refusal) {
      const status = statusOfKind(error.kind);
      request.log.info({ kind: error.kind, status }, 'refused');
      return send(
        reply,
        problem(error.kind, status, error.message, {
          instance,
          issues: error.issues,
          context: error.detail,
        }),
      );
    }
    if (hasZodFastifySchemaValidationErrors(error)) {
      const where = error.validationContext ?? 'body';
      const prefix = where === 'body' ? '' : `/${where}`;
      const issues = error.validation.map((v) => ({
        pointer: `${prefix}${v.instancePath === '/' ? '' : v.instancePath}`,
        message: v.message ?? 'Not valid.',
      }));
      const first = issues[0];
      return send(
        reply,
        problem(
          'invalid-input',
          400,
          first ? `${first.pointer || 'The body'}: ${first.message}` : 'The request is not valid.',
          { instance, issues },
        ),
      );
    }
    const fault = faultOf(error);
    if (fault !== null) {
      const [seconds, text] = LATER[fault];
      request.log.error({ err: error, fault }, 'the database failed');
      reply.header('retry-after', String(seconds));
      return send(reply, problem('unavailable', 503, text, { instance }));
    }
    const status = error instanceof ResponseSerializationError ? 500 : (error.statusCode ?? 500);
    if (status >= 500) {
      request.log.error({ err: error }, 'request failed');
      return send(
        reply,
        problem('internal', 500, 'The fault is logged. Nothing you sent is lost on your side.', {
          instance,
        }),
      );
    }
    request.log.info({ err: { message: error.message, code: error.code }, status }, 'refused');
    return send(
      reply,
      problem(KIND_OF_STATUS[status] ?? 'refused', status, error.message, { instance }),
    );
  });

  app.setNotFoundHandler((request, reply) =>
    send(
      reply,
      problem(
        'not-found',
        404,
        `There is nothing at ${request.method} ${request.url.split('?')[0]}.`,
        {
          instance: `urn:request:${request.id}`,
        },
      ),
    ),
  );
}
