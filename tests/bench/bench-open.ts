import { PGlite } from '@electric-sql/pglite';
import { readConfig } from '../../api/config.ts';
import { startServer } from '../../api/start-server.ts';

// Opens what a folder holds and says when it can be used: `bare` the embedded engine alone, `service` the
// whole service as it runs, which then answers a request.

const [kind, dir = ''] = process.argv.slice(2);
if (kind === 'bare') {
  const engine = new PGlite({ dataDir: dir, relaxedDurability: false });
  await engine.query('SELECT 1');
  console.log(JSON.stringify({ readyMs: performance.now() }));
  await engine.close();
} else {
  const server = await startServer(readConfig({ DATA_DIR: dir, PORT: '0', LOG_LEVEL: 'silent' }), {
    nightWork: true,
  });
  const { status } = await fetch(`${server.url}/readyz`);
  if (status !== 200) throw new Error(`The service is not ready: ${status}`);
  console.log(JSON.stringify({ readyMs: performance.now() }));
  await server.close();
}
process.exit(0);
