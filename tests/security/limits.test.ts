import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import supertest from 'supertest';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readConfig } from '../../api/config.ts';
import { startServer, type RunningServer } from '../../api/start-server.ts';
import { ADMIN } from '../helpers/test-app.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

const LIMIT = 30;
const API = path.join(import.meta.dirname, '..', '..', 'api');
let server: RunningServer;
beforeAll(async () => {
  server = await startServer(readConfig({ PORT: '0', LOG_LEVEL: 'silent' }), {
    database: await openTestDatabase(),
    pageDir: null,
    requestsPerMinute: LIMIT,
  });
});
afterAll(() => server.close());

/** The service's own sources, without what is generated. */
function sources(): readonly { file: string; text: string }[] {
  return readdirSync(API, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts') && !file.includes('generated'))
    .map((file) => ({ file, text: readFileSync(path.join(API, file), 'utf8') }));
}

describe('answers', () => {
  it('tell a browser what it may do, refusals too, and let no other origin read them', async () => {
    for (const [where, status] of [
      ['/healthz', 200],
      ['/v1/sites', 401],
      ['/nowhere', 404],
      ['/v1/%', 400],
    ] as const) {
      const { headers } = await supertest(server.url)
        .get(where)
        .set('origin', 'https://elsewhere.example')
        .expect(status);
      if (status === 400) continue; // The router could not read it: no hook runs, and it says no more.
      expect(headers['content-security-policy']).toContain("script-src 'self'");
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['x-frame-options']).toBe('SAMEORIGIN');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['access-control-allow-origin']).toBeUndefined();
      expect(headers['x-powered-by']).toBeUndefined();
      expect(headers['content-type']).toMatch(/^(application|text)\/.*charset=utf-8|problem\+json/);
    }
  });

  it('are kept by no browser where they hold a secret', async () => {
    const person = { email: 'ada@lakes.example', password: 'three ovens at dawn' };
    await server.services.access.users.create(ADMIN, {
      ...{ name: 'Ada', role: 'admin', siteIds: 'all', ...person },
    });
    const signedIn = await supertest(server.url).post('/v1/session').send(person).expect(201);
    expect(signedIn.body.csrfToken).toBeDefined();
    expect(signedIn.headers['cache-control']).toBe('no-store');
  });
});

describe('the service', () => {
  it('fetches no address: nothing in it calls out but the driver of the database and the traces', () => {
    const calling = sources()
      .filter(({ text }) =>
        /\bfetch\(|from 'node:(https?|http2|dgram)'|from '(undici|axios|got|node-fetch)'/.test(
          text,
        ),
      )
      .map(({ file }) => file);
    expect(calling).toEqual([]);
  });

  it('starts no other program, and puts no value into the text of a statement', () => {
    const starting = sources().filter(({ text }) => text.includes("'node:child_process'"));
    expect(starting.map(({ file }) => file)).toEqual([]);
    // Only the back-up tools build statements, from names that the database itself gave.
    const unsafe = sources().filter(({ text }) =>
      /\$(query|execute)RawUnsafe|Prisma\.raw\(/.test(text),
    );
    expect(unsafe.map(({ file }) => file)).toEqual([]);
  });
});

describe('requests of one client', () => {
  it('are answered 429 beyond the limit of a minute, and told when to come again', async () => {
    let last = 200;
    let left: unknown;
    for (let i = 0; i <= LIMIT && last !== 429; i += 1) {
      const answer = await supertest(server.url).get('/healthz');
      last = answer.status;
      left = answer.headers['retry-after'];
    }
    expect(last).toBe(429);
    expect(Number(left)).toBeGreaterThan(0);
    expect(Number(left)).toBeLessThanOrEqual(60);
  });
});
