import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildApp, type AppParts } from '../api/app.ts';

// Writes openapi/openapi.json from the route schemas, or with --check compares and fails on drift.
// No database: the services are never called while the document is made.
const file = path.join(path.dirname(fileURLToPath(import.meta.url)), 'openapi.json');

const never = new Proxy({}, { get: () => never as unknown });
const app = await buildApp({
  services: never as AppParts['services'],
  authenticate: async () => null,
  idempotency: never as AppParts['idempotency'],
  clock: { now: () => new Date(0) },
  ping: async () => undefined,
  requestsPerMinute: 0,
});
await app.ready();
const text = `${JSON.stringify(app.swagger(), null, 2)}\n`;
await app.close();

if (process.argv.includes('--check')) {
  const committed = existsSync(file) ? readFileSync(file, 'utf8') : '';
  if (committed !== text) {
    console.error(
      'openapi/openapi.json is out of date: run `npm run openapi:export` and commit it.',
    );
    process.exit(1);
  }
  console.log('openapi/openapi.json matches the routes.');
} else {
  writeFileSync(file, text);
  console.log(
    `Wrote openapi/openapi.json (${Object.keys(app.swagger().paths ?? {}).length} paths).`,
  );
}
