import Fastify from 'fastify';
import pg from 'pg';
import { readConfig } from '../../api/config.ts';
import { startServer } from '../../api/start-server.ts';

// A server in a process of its own: `service` is ours as `npm start` runs it, but for the limit of
// requests; `bare` is the least that can be done: Fastify, the plain driver, one query written by hand.

const CONNECTIONS = 10;
const [kind, site = '', date = ''] = process.argv.slice(2);
const url = process.env.DATABASE_URL ?? '';

function stopWith(close: () => Promise<void>): void {
  process.once('SIGTERM', () => void close().then(() => process.exit(0)));
}

if (kind === 'bare') {
  const pool = new pg.Pool({ connectionString: url, max: CONNECTIONS });
  const app = Fastify();
  app.get('/list', async (_request, reply) => {
    const { rows } = await pool.query<{ body: string }>(
      'SELECT "body" FROM "kept_day_lists" WHERE "siteId" = $1 AND "date" = $2',
      [site, date],
    );
    return reply.type('application/json; charset=utf-8').send(rows[0]?.body);
  });
  stopWith(async () => {
    await app.close();
    await pool.end();
  });
  console.log(`listens ${await app.listen({ port: 0, host: '127.0.0.1' })}`);
} else {
  const server = await startServer(readConfig({ ...process.env, PORT: '0' }), {
    pageDir: null,
    requestsPerMinute: 1_000_000_000,
  });
  stopWith(server.close);
  console.log(`listens ${server.url}`);
}
