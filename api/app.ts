import cookie from '@fastify/cookie';
import rateLimit from '@fastify/rate-limit';
import Fastify, {
  LogController,
  type FastifyInstance,
  type FastifyRequest,
  type FastifyServerOptions,
} from 'fastify';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { registerAccess, type Authenticate } from './http/access.ts';
import { refuseUnroutable, registerErrorHandler, type FaultOf } from './http/error-handler.ts';
import { healthRoutes } from './http/health.ts';
import { metricsRoutes, observeRequests } from './http/observe-requests.ts';
import { registerIdempotency, type IdempotencyStore } from './http/idempotency.ts';
import { registerOpenApi } from './http/openapi.ts';
import { registerPage } from './http/page.ts';
import { registerStorableText } from './http/storable-text.ts';
import { registerSecureHeaders } from './http/secure-headers.ts';
import { moduleRoutes, type Services } from './modules/routes.ts';
import { requestEnded, withRequestId, type Clock } from './modules/platform/index.ts';
import { ServiceMetrics } from './observe/metrics.ts';

/** Everything the application needs from outside; tests and the OpenAPI export pass their own. */
export interface AppParts {
  readonly services: Services;
  readonly authenticate: Authenticate;
  readonly idempotency: IdempotencyStore;
  readonly clock: Clock;
  readonly ping: () => Promise<void>;
  /** Tells faults of the database that pass from faults of ours. */
  readonly faultOf?: FaultOf;
  /** What is counted; left out: counted for this application alone. */
  readonly metrics?: ServiceMetrics;
  /** Who shows it sees the metrics; left out: programs on the machine itself do. */
  readonly metricsToken?: string | null;
  /** Whether the service is about to stop: it then says that it is not ready. */
  readonly isStopping?: () => boolean;
  readonly logger?: FastifyServerOptions['logger'];
  /** Folder of the built page; the API runs without one. */
  readonly pageDir?: string;
  /** Requests per minute and client; 0 switches the limit off (tests of other things). */
  readonly requestsPerMinute?: number;
  /** Addresses of proxies whose `x-forwarded-for` is believed; left out: nobody's. */
  readonly trustProxy?: string;
  /** How long a whole request may take to arrive; a body that dribbles in longer is cut off. */
  readonly requestTimeoutMs?: number;
}

const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS']);
const BODY_LIMIT_BYTES = 1_048_576;
const REQUEST_TIMEOUT_MS = 60_000;
const HEADERS_TIMEOUT_MS = 15_000;

/** The caller's own id of a request where it is a plain word, so that it can be found in both logs. */
function requestIdOf(header: string | string[] | undefined): string {
  return typeof header === 'string' && /^[\w.-]{1,64}$/.test(header) ? header : crypto.randomUUID();
}

/** Writes dates for a header, which tells whole seconds: most are the same as the one before. */
function dateWriter(): (now: Date) => string {
  let second = Number.NaN;
  let written = '';
  return (now) => {
    const of = Math.floor(now.getTime() / 1000);
    if (of !== second) {
      second = of;
      written = now.toUTCString();
    }
    return written;
  };
}

/** Builds the application. Never listens, never opens a database. */
export async function buildApp(parts: AppParts): Promise<FastifyInstance> {
  const requestTimeout = parts.requestTimeoutMs ?? REQUEST_TIMEOUT_MS;
  const app = Fastify({
    logger: parts.logger ?? false,
    bodyLimit: BODY_LIMIT_BYTES,
    // One line a request, with who asked, comes from observeRequests.
    logController: new LogController({ disableRequestLogging: true }),
    requestIdHeader: false,
    genReqId: ({ headers }) => requestIdOf(headers['x-request-id']),
    routerOptions: { ignoreTrailingSlash: true },
    requestTimeout,
    // The server never cuts a slow request off when its limit for heads is the longer one.
    http: {
      requestTimeout,
      headersTimeout: Math.min(HEADERS_TIMEOUT_MS, requestTimeout),
      connectionsCheckingInterval: requestTimeout / 4,
    },
    trustProxy: parts.trustProxy ?? false,
    frameworkErrors: refuseUnroutable,
  });

  const metrics = parts.metrics ?? new ServiceMetrics();
  registerErrorHandler(app, parts.faultOf);
  observeRequests(app, metrics);
  registerSecureHeaders(app);
  await app.register(cookie);
  if ((parts.requestsPerMinute ?? 1200) > 0) {
    await app.register(rateLimit, { max: parts.requestsPerMinute ?? 1200, timeWindow: 60_000 });
  }
  await registerOpenApi(app);
  if (parts.pageDir !== undefined) await registerPage(app, parts.pageDir);
  registerAccess(app, parts.authenticate);
  registerStorableText(app);
  registerIdempotency(app, parts.idempotency, parts.clock);
  // After the body has been read: what runs inside the callback carries the id on to the handler.
  // Only what changes something leaves a trail that names its request.
  const named = new WeakSet<FastifyRequest>();
  const dateOf = dateWriter();
  app.addHook('preHandler', (request, _reply, done) => {
    if (SAFE_METHODS.has(request.method)) return done();
    named.add(request);
    withRequestId(request.id, done);
  });
  app.addHook('onResponse', (request, _reply, done) => {
    if (named.delete(request)) requestEnded();
    done();
  });
  app.addHook('onRequest', (request, reply, done) => {
    reply.header('x-request-id', request.id);
    // Whoever keeps connections open learns in time not to send another request on this one.
    if (parts.isStopping?.() === true) reply.header('connection', 'close');
    // The service's own clock: pages count back by it, whatever the clock of a tablet shows.
    reply.header('date', dateOf(parts.clock.now()));
    done();
  });

  await app.register(healthRoutes(parts.ping, parts.isStopping ?? (() => false)));
  await app.register(metricsRoutes(metrics, parts.metricsToken ?? null));
  const v1: FastifyPluginAsyncZod = async (scope) => {
    scope.get('/openapi.json', { config: { access: 'public' }, schema: { hide: true } }, async () =>
      app.swagger(),
    );
    for (const routes of moduleRoutes(parts.services)) await scope.register(routes);
  };
  await app.register(v1, { prefix: '/v1' });
  return app;
}
