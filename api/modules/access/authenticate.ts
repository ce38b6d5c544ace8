import type { FastifyRequest } from 'fastify';
import type { Authenticate } from '../../http/access.ts';
import { Refusal } from '../platform/index.ts';
import type { AccessServices } from './access.services.ts';
import { actorOfSession } from './session.service.ts';

export const SESSION_COOKIE = 'tamis_session';
const SAFE_METHODS = new Set(['GET', 'HEAD', 'OPTIONS']);

/** The cookie's secret, where the request carries one. */
export function sessionSecretOf(request: FastifyRequest): string | null {
  return request.cookies[SESSION_COOKIE] ?? null;
}

/**
 * Finds who asks: a machine by `authorization: Bearer`, a person by the session cookie. A browser
 * sends cookies by itself, so a changing request by cookie must also show the session's CSRF token;
 * a key is never sent by itself and needs none. A request with a key is judged by the key alone.
 */
export function createAuthenticate(access: AccessServices): Authenticate {
  return async (request) => {
    const header = request.headers.authorization;
    if (header !== undefined) {
      const bearer = /^Bearer ([\x21-\x7e]{1,200})$/i.exec(header);
      return bearer?.[1] ? access.tokens.actorOf(bearer[1]) : null;
    }
    const secret = sessionSecretOf(request);
    if (secret === null) return null;
    const ask = request.routeOptions.config.dayList?.(request) ?? null;
    const session = await access.sessions.find(secret, ask);
    if (!session) return null;
    if (ask) request.dayList = { ask, found: session.dayList };
    if (!SAFE_METHODS.has(request.method)) {
      const token = request.headers['x-csrf-token'];
      if (typeof token !== 'string' || !access.sessions.csrfMatches(session, token)) {
        throw new Refusal('forbidden', 'The request does not come from the page that signed in.', {
          issues: [
            {
              pointer: '/headers/x-csrf-token',
              message: 'Send the csrfToken of GET /v1/session.',
            },
          ],
        });
      }
    }
    return actorOfSession(session);
  };
}
