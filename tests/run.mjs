// `npm test`: every suite on the embedded database; the database suites again on PostgreSQL when
// one is named (TAMIS_TEST_DATABASE_URL) or found on this machine; the browser suite when Chromium
// is there. What was left out is said in one line at the end.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const require = createRequire(import.meta.url);
const root = path.join(path.dirname(fileURLToPath(import.meta.url)), '..');
const bin = (pkg, file) => path.join(path.dirname(require.resolve(`${pkg}/package.json`)), file);

function run(label, args, env = {}) {
  console.log(`\n== ${label}`);
  const result = spawnSync(process.execPath, args, {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, ...env },
  });
  return result.status === 0;
}

async function findPostgres() {
  const named = process.env.TAMIS_TEST_DATABASE_URL;
  const { default: pg } = await import('pg');
  for (const url of named ? [named] : ['postgres://postgres@127.0.0.1:5432/postgres']) {
    const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 3000 });
    try {
      await client.connect();
      await client.end();
      return url;
    } catch (error) {
      if (named) {
        console.error(`TAMIS_TEST_DATABASE_URL does not answer: ${error.message}`);
        process.exit(1);
      }
    }
  }
  return null;
}

function findChromium() {
  const named = process.env.CHROMIUM_PATH;
  return (
    [named, '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(
      (file) => file && existsSync(file),
    ) ?? null
  );
}

const vitest = bin('vitest', 'vitest.mjs');
const filters = process.argv.slice(2);
const suite = (label, projects, env) =>
  run(label, [vitest, 'run', ...projects.flatMap((p) => ['--project', p]), ...filters], env);

const leftOut = [];
let passed = run('Generate the database client', [path.join(root, 'prisma', 'generate.mjs')]);
passed &&= run('Build the page', [
  bin('vite', 'bin/vite.js'),
  'build',
  'web',
  '--logLevel',
  'warn',
]);
if (!passed) process.exit(1);

const embedded = { TAMIS_TEST_DATABASE_URL: '' };
passed =
  suite('Computation, and the API on the embedded database', ['core', 'api'], embedded) && passed;

const postgres = await findPostgres();
if (postgres) {
  passed = suite('The API on PostgreSQL', ['api'], { TAMIS_TEST_DATABASE_URL: postgres }) && passed;
} else leftOut.push('the API on PostgreSQL (none named or found)');

const chromium = findChromium();
if (chromium) {
  passed =
    suite('The page in Chromium', ['browser'], { ...embedded, CHROMIUM_PATH: chromium }) && passed;
} else leftOut.push('the page in Chromium (none found; set CHROMIUM_PATH)');

console.log(
  leftOut.length === 0 ? '\nNothing was left out.' : `\nLeft out: ${leftOut.join('; ')}.`,
);
console.log(passed ? 'All suites passed.' : 'Some suites failed.');
process.exit(passed ? 0 : 1);
