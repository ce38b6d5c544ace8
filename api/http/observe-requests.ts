import {
  context,
  propagation,
  SpanKind,
  SpanStatusCode,
  trace,
  type Span,
} from '@opentelemetry/api';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { z } from 'zod';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { timingSafeEqual } from 'node:crypto';
import type { ServiceMetrics } from '../observe/metrics.ts';
import { tracing } from '../observe/tracing.ts';
import { Refusal } from '../modules/platform/index.ts';

declare module 'fastify' {
  interface FastifyRequest {
    /** The span of this request; null while traces are off. */
    span: Span | null;
  }
}

/** A path as declared; what fits no route is one series, whatever was asked for. */
const routeOf = (request: FastifyRequest): string => request.routeOptions.url ?? 'none';
const MS = 1000;

/**
 * Counts, times, traces and logs every request. One line a request says who asked (by id), for which
 * site, which route answered and how long it took.
 */
export function observeRequests(app: FastifyInstance, metrics: ServiceMetrics): void {
  app.decorateRequest('span', null);
  // Nothing in this line is secret, so that it is spared the search for what is to be hidden.
  const answers = app.log.child({}, { redact: [] });
  // A callback, so that what the request does later happens inside its span.
  app.addHook('onRequest', (request, _reply, done) => {
    metrics.requestBegan();
    if (!tracing.isOn) return done();
    const outer = propagation.extract(context.active(), request.headers);
    request.span = trace.getTracer('tamis').startSpan(
      `${request.method} ${routeOf(request)}`,
      {
        kind: SpanKind.SERVER,
        attributes: {
          'http.request.method': request.method,
          'http.route': routeOf(request),
          'url.path': request.url.split('?')[0] ?? '',
          'url.scheme': request.protocol,
        },
      },
      outer,
    );
    context.with(trace.setSpan(outer, request.span), done);
  });
  app.addHook('onResponse', (request, reply, done) => {
    const { statusCode, elapsedTime } = reply;
    metrics.requestEnded(request.method, routeOf(request), statusCode, elapsedTime / MS);
    request.span?.setAttribute('http.response.status_code', statusCode);
    if (statusCode >= 500) request.span?.setStatus({ code: SpanStatusCode.ERROR });
    request.span?.end();
    const params = request.params as Readonly<Record<string, string>> | undefined;
    answers.info(
      {
        reqId: request.id,
        method: request.method,
        route: routeOf(request),
        status: statusCode,
        ms: Math.round(elapsedTime * 10) / 10,
        actor: request.actor?.id ?? null,
        role: request.actor?.role ?? null,
        site: params?.siteId ?? null,
        traceId: traceIdOf(request.span),
      },
      'answered',
    );
    done();
  });
}

function traceIdOf(span: Span | null): string | undefined {
  return span?.isRecording() === false ? undefined : span?.spanContext().traceId;
}

const LOOPBACK: ReadonlySet<string> = new Set(['127.0.0.1', '::1', '::ffff:127.0.0.1']);
const FORWARDED = ['forwarded', 'x-forwarded-for', 'x-real-ip', 'via'] as const;

/**
 * GET /metrics, for whoever has the token; without a token set, for programs on the machine itself
 * that ask directly, because what comes through a proxy may come from anywhere.
 */
export function metricsRoutes(
  metrics: ServiceMetrics,
  token: string | null,
): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/metrics',
      {
        config: { access: 'public' },
        schema: {
          tags: ['operation'],
          summary: 'Counts and times for Prometheus (text exposition)',
          produces: ['text/plain'],
          response: { 200: z.string() },
        },
      },
      async (request, reply) => {
        if (!maySeeMetrics(request, token)) {
          throw new Refusal(
            'not-signed-in',
            'The figures of the service are for who has its token.',
          );
        }
        return reply.type(metrics.contentType).send(await metrics.text());
      },
    );
  };
}

function maySeeMetrics(request: FastifyRequest, token: string | null): boolean {
  if (token === null) {
    const direct = FORWARDED.every((name) => request.headers[name] === undefined);
    return direct && LOOPBACK.has(request.socket.remoteAddress ?? '');
  }
  const given = Buffer.from(request.headers.authorization ?? '');
  const wanted = Buffer.from(`Bearer ${token}`);
  return given.length === wanted.length && timingSafeEqual(given, wanted);
}
