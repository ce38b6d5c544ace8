import type { FastifyInstance, FastifyRequest } from 'fastify';
import {
  Refusal,
  requireSite,
  type Actor,
  type DayListAsk,
  type DayListFound,
  type Role,
} from '../modules/platform/index.ts';

/** Who may call a route: anybody, anybody signed in, or the listed roles. */
export type AccessRule = 'public' | 'signed-in' | readonly Role[];

/** A route with the rule it declares, for whoever checks them all. */
export interface DeclaredRoute {
  readonly method: string;
  readonly url: string;
  readonly access: AccessRule;
}

declare module 'fastify' {
  interface FastifyInstance {
    /** Every route registered after the access rules were. */
    declaredRoutes: DeclaredRoute[];
  }
  interface FastifyContextConfig {
    /** Required on every route; a route without it fails the start. */
    access?: AccessRule;
    /** A creating POST that honours Idempotency-Key. */
    idempotent?: boolean;
    /** The list of a day that the request asks for, to be fetched in the same query as who asks. */
    dayList?: (request: FastifyRequest) => DayListAsk | null;
  }
  interface FastifyRequest {
    actor: Actor | null;
    /** What was fetched with who asks; null where it was not. */
    dayList: { readonly ask: DayListAsk; readonly found: DayListFound | null } | null;
  }
}

/** Finds out who asks, from cookie or token. Null when nobody is signed in. */
export type Authenticate = (request: FastifyRequest) => Promise<Actor | null>;

/** @returns the actor of a request behind a non-public rule */
export function actorOf(request: FastifyRequest): Actor {
  if (!request.actor) throw new Refusal('not-signed-in', 'Please sign in first.');
  return request.actor;
}

/**
 * Refuses to register a route without an access rule, and enforces the rules: role from the rule,
 * site from a `:siteId` in the path. Services check sites that are only known after loading.
 */
export function registerAccess(app: FastifyInstance, authenticate: Authenticate): void {
  app.decorateRequest('actor', null);
  app.decorateRequest('dayList', null);
  app.decorate('declaredRoutes', []);
  app.addHook('onRoute', (route) => {
    const access = route.config?.access;
    if (access === undefined) {
      throw new Error(`Route ${String(route.method)} ${route.url} declares no access rule.`);
    }
    for (const method of [route.method].flat()) {
      app.declaredRoutes.push({ method, url: route.url, access });
    }
  });
  app.addHook('onRequest', async (request) => {
    const rule = request.routeOptions.config.access;
    if (rule === undefined || rule === 'public') return;
    request.actor = await authenticate(request);
    const actor = actorOf(request);
    if (rule !== 'signed-in' && !rule.includes(actor.role)) {
      throw new Refusal('forbidden', `This is for ${rule.join(', ')}; you are ${actor.role}.`);
    }
    const params = request.params as Record<string, string> | undefined;
    if (params?.siteId) requireSite(actor, params.siteId);
  });
}
