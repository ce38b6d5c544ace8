import net, { type AddressInfo } from 'node:net';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildApp } from '../../api/app.ts';
import { createIdempotencyStore } from '../../api/persistence/idempotency.repository.ts';
import { fingerprintOf } from '../helpers/database-fingerprint.ts';
import { LEAD, startTestApp, type TestApp } from '../helpers/test-app.ts';

// What only a real connection can show: bodies that dribble, lie about their length or inflate.

let test: TestApp;
let app: Awaited<ReturnType<typeof buildApp>>;
let port: number;
let fingerprint: () => Promise<string>;

beforeAll(async () => {
  test = await startTestApp();
  app = await buildApp({
    services: test.services,
    clock: test.clock,
    idempotency: createIdempotencyStore(test.database),
    ping: test.database.ping,
    requestsPerMinute: 0,
    requestTimeoutMs: 600,
    authenticate: async () => LEAD,
  });
  await app.listen({ port: 0, host: '127.0.0.1' });
  port = (app.server.address() as AddressInfo).port;
  fingerprint = fingerprintOf(test.database);
});
afterAll(async () => {
  await app.close();
  await test.close();
});

/** Writes the parts one after another and gives back all that comes until the other side closes. */
async function talk(parts: readonly (string | Buffer)[], pauseMs = 0): Promise<string> {
  const socket = net.connect(port, '127.0.0.1');
  let answer = '';
  socket.on('data', (chunk) => (answer += chunk.toString('latin1')));
  const closed = new Promise((resolve) => socket.once('close', resolve));
  socket.on('error', () => undefined);
  for (const part of parts) {
    if (socket.destroyed) break;
    socket.write(part);
    if (pauseMs > 0) await new Promise((resolve) => setTimeout(resolve, pauseMs));
  }
  await closed;
  return answer;
}

const head = (lines: readonly string[], path = '/v1/recipes') =>
  [`POST ${path} HTTP/1.1`, 'host: x', 'connection: close', ...lines, '', ''].join('\r\n');
const json = 'content-type: application/json';

describe('a body sent badly', () => {
  it('is cut off when it dribbles in for longer than a request may take, and others are served', async () => {
    const slow = talk([head([json, 'content-length: 1000']), ...Array(60).fill('x')], 100);
    expect((await fetch(`http://127.0.0.1:${port}/readyz`)).status).toBe(200);
    expect(await slow).toMatch(/^HTTP\/1\.1 408 /);
  });

  it('is refused with 413 when it says, or turns out, to be larger than allowed', async () => {
    const said = await talk([head([json, 'content-length: 99999999']), '{']);
    expect(said).toMatch(/^HTTP\/1\.1 413 /);
    const chunk = 'x'.repeat(65_536);
    const found = await talk([
      head([json, 'transfer-encoding: chunked']),
      ...Array.from({ length: 20 }, () => `10000\r\n${chunk}\r\n`),
      '0\r\n\r\n',
    ]);
    expect(found).toMatch(/^HTTP\/1\.1 413 /);
  });

  it('is never inflated: a compressed bomb is refused as it stands', async () => {
    const before = await fingerprint();
    const bomb = gzipSync(Buffer.alloc(50 * 1_048_576, ' '));
    for (const [path, type] of [
      ['/v1/recipes', 'application/json'],
      ['/v1/ingredients/import', 'text/csv'],
      ['/v1/recipes/import/schema-org', 'application/ld+json'],
    ] as const) {
      const lines = [
        `content-type: ${type}`,
        'content-encoding: gzip',
        `content-length: ${bomb.length}`,
      ];
      expect(await talk([head(lines, path), bomb])).toMatch(/^HTTP\/1\.1 (400|415) /);
    }
    expect(await fingerprint()).toBe(before);
  });

  it('is refused when it gives two lengths, which proxies could read differently', async () => {
    const both = await talk([
      head([json, 'content-length: 4', 'transfer-encoding: chunked']),
      '0\r\n\r\n',
    ]);
    expect(both).toMatch(/^HTTP\/1\.1 400 /);
    const twice = await talk([head([json, 'content-length: 2', 'content-length: 3']), '{}x']);
    expect(twice).toMatch(/^HTTP\/1\.1 400 /);
  });
});

describe('a head sent badly', () => {
  it('is refused when it is larger than a head may be', async () => {
    expect(await talk([head([`x-long: ${'y'.repeat(40_000)}`])])).toMatch(/^HTTP\/1\.1 431 /);
  });

  it('cannot put a line of its own into the answer', async () => {
    const answer = await talk([
      ['GET /healthz HTTP/1.1', 'host: x', 'connection: close', 'x-request-id: a<b>', '', ''].join(
        '\r\n',
      ),
    ]);
    expect(answer).toMatch(/^HTTP\/1\.1 200 /);
    expect(answer).toMatch(/x-request-id: [\w-]{36}\r\n/);
    expect(answer).not.toContain('a<b>');
  });
});

describe('files that are bombs', () => {
  const importInto = async (path: string, type: string, payload: string) =>
    (await app.inject({ method: 'POST', url: path, headers: { 'content-type': type }, payload }))
      .statusCode;

  it('are refused whole: too many rows, a cell without end, a tree without end', async () => {
    const before = await fingerprint();
    const csv = '/v1/ingredients/import';
    expect(await importInto(csv, 'text/csv', `name,base_unit\n${'a,g\n'.repeat(50_001)}`)).toBe(
      400,
    );
    expect(await importInto(csv, 'text/csv', `name,base_unit\n"${'a'.repeat(500_000)}`)).toBe(400);
    const deep = `${'{"recipeIngredient":['.repeat(20_000)}${']}'.repeat(20_000)}`;
    const jsonLd = '/v1/recipes/import/schema-org';
    expect(await importInto(jsonLd, 'application/ld+json', deep)).toBe(400);
    const wide = JSON.stringify({
      '@type': 'Recipe',
      name: 'x',
      recipeIngredient: Array(200_000).fill('1 g x'),
    });
    expect(await importInto(jsonLd, 'application/ld+json', wide)).toBe(400);
    expect(await fingerprint()).toBe(before);
  });
});
