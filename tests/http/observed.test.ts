import { setTimeout as wait } from 'node:timers/promises';
import { InMemorySpanExporter, SimpleSpanProcessor } from '@opentelemetry/sdk-trace-node';
import supertest from 'supertest';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { buildApp, type AppParts } from '../../api/app.ts';
import { readConfig } from '../../api/config.ts';
import { createIdempotencyStore } from '../../api/persistence/idempotency.repository.ts';
import { ServiceMetrics } from '../../api/observe/metrics.ts';
import { startTraces } from '../../api/observe/traces.ts';
import { startServer } from '../../api/start-server.ts';
import { fillKitchen, SITE } from '../helpers/demo-site.ts';
import { chefOf, startTestApp, type TestApp } from '../helpers/test-app.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());

/** An application over the same database, seen in its own way. */
async function observed(parts: Partial<AppParts>, actor = chefOf(SITE)) {
  const app = await buildApp({
    services: test.services,
    clock: test.clock,
    idempotency: createIdempotencyStore(test.database),
    ping: test.database.ping,
    requestsPerMinute: 0,
    authenticate: async () => actor,
    ...parts,
  });
  await app.ready();
  return { app, agent: supertest(app.server) };
}
/** Samples of one name: labels and value, as the text format writes them. */
const samples = (text: string, name: string): Map<string, number> =>
  new Map(
    text
      .split('\n')
      .filter((line) => line.startsWith(`${name}{`) || line.startsWith(`${name} `))
      .map((line) => [
        line.slice(name.length, line.lastIndexOf(' ')),
        Number(line.split(' ').at(-1)),
      ]),
  );

describe('metrics', () => {
  it('count requests by the path as declared, whatever ids and answers they have', async () => {
    const { app, agent } = await observed({});
    await agent.get(`/v1/sites/${SITE}`).expect(200);
    await agent.get(`/v1/sites/${SITE}`).expect(200);
    await agent.get('/v1/sites/site_other').expect(403);
    await agent.get('/v1/nothing/here').expect(404);
    const { text, type } = await agent.get('/metrics').expect(200);
    expect(type).toBe('text/plain');
    const counted = samples(text, 'http_request_duration_seconds_count');
    const of = (route: string, status: number) =>
      counted.get(`{method="GET",route="${route}",status_code="${status}"}`);
    expect(of('/v1/sites/:siteId', 200)).toBe(2);
    expect(of('/v1/sites/:siteId', 403)).toBe(1);
    expect(of('none', 404)).toBe(1);
    expect(text).not.toContain(SITE);
    // The request for the metrics themselves is under way.
    expect(samples(text, 'http_requests_in_flight').get('')).toBe(1);
    await app.close();
  });

  it('follow the text format: help and type for each, units and endings by convention', async () => {
    const metrics = new ServiceMetrics();
    metrics.watchProcess();
    metrics.query(0.002, false);
    metrics.query(3, true);
    metrics.job('forecasts', 'done', 12, new Date(1_700_000_000_000));
    metrics.job('forecasts', 'failed', 1, new Date(1_800_000_000_000));
    const text = await metrics.text();
    expect(samples(text, 'db_query_duration_seconds_count').get('')).toBe(2);
    expect(samples(text, 'db_slow_queries_total').get('')).toBe(1);
    expect(samples(text, 'job_last_success_timestamp_seconds').get('{job="forecasts"}')).toBe(
      1_700_000_000,
    );
    expect(samples(text, 'process_resident_memory_bytes').get('')).toBeGreaterThan(1_000_000);
    const typed = [...text.matchAll(/^# TYPE (\S+) (\S+)$/gm)].map(([, name, type]) => [
      name,
      type,
    ]);
    for (const [name = '', type] of typed) {
      expect(text).toContain(`# HELP ${name} `);
      if (type === 'counter') expect(name).toMatch(/_total$/);
      if (type === 'histogram') expect(name).toMatch(/_(seconds|bytes)$/);
    }
    expect(typed.length).toBeGreaterThan(10);
  });

  it('are for who has the token; without one, for the machine itself and no proxy', async () => {
    const token = 'a-token-of-some-length';
    const guarded = await observed({ metricsToken: token });
    await guarded.agent.get('/metrics').expect(401);
    await guarded.agent.get('/metrics').set('authorization', 'Bearer no').expect(401);
    await guarded.agent.get('/metrics').set('authorization', `Bearer ${token}`).expect(200);
    await guarded.app.close();
    const open = await observed({});
    await open.agent.get('/metrics').set('x-forwarded-for', '127.0.0.1').expect(401);
    await open.agent.get('/metrics').expect(200);
    await open.app.close();
    expect(() => readConfig({ METRICS_TOKEN: 'short' })).toThrow(/METRICS_TOKEN/);
  });
});

describe('the connections to a server', () => {
  it('are counted by what they do, with those that wait; an embedded database has none', async () => {
    const database = await openTestDatabase();
    const server = await startServer(readConfig({ PORT: '0' }), {
      database,
      pageDir: null,
      logger: false,
    });
    const read = async () => (await fetch(`${server.url}/metrics`)).text();
    if (database.kind === 'embedded') {
      expect(await read()).not.toContain('db_pool_');
      await server.close();
      return;
    }
    const most = database.poolUse()?.max ?? 0;
    let free = (): void => undefined;
    const held = new Promise<void>((resolve) => (free = resolve));
    // One more than there are connections: the last waits for one.
    const work = Array.from({ length: most + 1 }, () =>
      database.prisma.$transaction(async () => held, { maxWait: 30_000 }),
    );
    await vi.waitFor(() => expect(database.poolUse()?.waiting).toBe(1), 10_000);
    const full = await read();
    // Busy is not unready: it would leave the others with its share as well.
    const readiness = (await fetch(`${server.url}/readyz`)).status;
    free();
    await Promise.all(work);
    const after = await read();
    await server.close();
    expect(readiness).toBe(200);
    const connections = samples(full, 'db_pool_connections');
    expect(connections.get('{state="in_use"}')).toBe(most);
    expect(connections.get('{state="idle"}')).toBe(0);
    expect(samples(full, 'db_pool_connections_max').get('')).toBe(most);
    expect(samples(full, 'db_pool_waiting_requests').get('')).toBe(1);
    expect(samples(after, 'db_pool_connections').get('{state="in_use"}')).toBe(0);
    expect(samples(after, 'db_pool_waiting_requests').get('')).toBe(0);
  });
});

describe('the log', () => {
  it('says of each request who asked, for which site, what answered and for how long', async () => {
    const lines: string[] = [];
    const { app, agent } = await observed({
      logger: { level: 'info', stream: { write: (line: string) => void lines.push(line) } },
    });
    await agent
      .get(`/v1/sites/${SITE}?secret=query`)
      .set('x-request-id', 'from-outside')
      .expect(200);
    await app.close();
    const answered = lines
      .map((line) => JSON.parse(line) as Record<string, unknown>)
      .filter((line) => line.msg === 'answered');
    expect(answered).toEqual([
      expect.objectContaining({
        reqId: 'from-outside',
        method: 'GET',
        route: '/v1/sites/:siteId',
        status: 200,
        ms: expect.any(Number) as number,
        actor: chefOf(SITE).id,
        role: 'chef',
        site: SITE,
      }),
    ]);
    expect(lines.join('')).not.toContain('secret=query');
  });

  it('names slow statements without their values, and counts them', async () => {
    const lines: string[] = [];
    const server = await startServer(readConfig({ PORT: '0', SLOW_QUERY_MS: '40' }), {
      database: await openTestDatabase(),
      pageDir: null,
      logger: { level: 'warn', stream: { write: (line: string) => void lines.push(line) } },
    });
    const text = 'a-value-nobody-may-read';
    await server.database.prisma.$queryRaw`SELECT pg_sleep(0.08)::text, ${text}::text`;
    await wait(50);
    const seen = await (await fetch(`${server.url}/metrics`)).text();
    await server.close();
    const slow = lines
      .map((line) => JSON.parse(line) as { msg: string; sql?: string; ms?: number })
      .filter((line) => line.sql?.includes('pg_sleep'));
    expect(slow).toHaveLength(1);
    expect(slow[0]?.msg).toBe('slow query');
    expect(slow[0]?.ms).toBeGreaterThan(40);
    expect(lines.join('')).not.toContain(text);
    expect(samples(seen, 'db_slow_queries_total').get('')).toBeGreaterThanOrEqual(1);
    expect(samples(seen, 'db_query_duration_seconds_count').get('')).toBeGreaterThan(0);
  });
});

describe('readiness', () => {
  it('is not claimed while the service is about to stop, or its database is away', async () => {
    let stopping = false;
    let away = false;
    const { app, agent } = await observed({
      isStopping: () => stopping,
      ping: async () => {
        if (away) throw new Error('connection refused at 10.0.0.7');
      },
    });
    await agent.get('/readyz').expect(200, { status: 'ok' });
    away = true;
    await agent.get('/readyz').expect(503, { status: 'not-ready' });
    away = false;
    stopping = true;
    await agent.get('/readyz').expect(503, { status: 'stopping' });
    await agent.get('/healthz').expect(200, { status: 'ok' });
    await app.close();
  });
});

describe('traces', () => {
  it('are made only when configured, go on from the caller’s, and hold no query', async () => {
    expect(startTraces({})).toBeNull();
    const spans = new InMemorySpanExporter();
    const processor = new SimpleSpanProcessor(spans);
    const endpoint = { OTEL_EXPORTER_OTLP_ENDPOINT: 'http://127.0.0.1:1' };
    expect(startTraces({ ...endpoint, OTEL_SDK_DISABLED: 'true' }, processor)).toBeNull();
    const traces = startTraces({ OTEL_SERVICE_NAME: 'pastry' }, processor);
    const { app, agent } = await observed({});
    const caller = '00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01'; // W3C's own example
    await agent.get(`/v1/sites/${SITE}?q=x`).set('traceparent', caller).expect(200);
    await agent.get('/v1/sites/site_other').expect(403);
    const [first, second] = spans.getFinishedSpans();
    expect(first).toMatchObject({
      name: 'GET /v1/sites/:siteId',
      parentSpanContext: { spanId: 'b7ad6b7169203331' },
      attributes: {
        'http.request.method': 'GET',
        'http.route': '/v1/sites/:siteId',
        'url.path': `/v1/sites/${SITE}`,
        'http.response.status_code': 200,
      },
    });
    expect(first?.spanContext().traceId).toBe('0af7651916cd43dd8448eb211c80319c');
    expect(first?.resource.attributes['service.name']).toBe('pastry');
    expect(second?.parentSpanContext).toBeUndefined();
    await app.close();
    await traces?.stop();
  });
});
