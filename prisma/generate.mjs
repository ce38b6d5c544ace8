// Generates the Prisma client without a network: the schema engine that `prisma generate` would
// download is not needed for generating, so any existing executable may stand in for it.
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import path from 'node:path';

const require = createRequire(import.meta.url);
const cli = path.join(path.dirname(require.resolve('prisma/package.json')), 'build', 'index.js');
const run = spawnSync(process.execPath, [cli, 'generate', '--no-hints'], {
  env: {
    ...process.env,
    PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
    PRISMA_HIDE_UPDATE_MESSAGE: '1',
    CHECKPOINT_DISABLE: '1',
  },
  encoding: 'utf8',
});
if (run.status !== 0) {
  process.stderr.write(run.stdout + run.stderr);
  process.exit(run.status ?? 1);
}
