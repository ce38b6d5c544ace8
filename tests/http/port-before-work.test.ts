import { createServer, type AddressInfo } from 'node:net';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { readConfig } from '../../api/config.ts';
import { startServer } from '../../api/start-server.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

const holder = createServer();
beforeAll(() => new Promise<void>((listening) => holder.listen(0, '127.0.0.1', listening)));
afterAll(() => new Promise((closed) => holder.close(closed)));

it('a taken port is said before any loading is done', async () => {
  const { port } = holder.address() as AddressInfo;
  let prepared = false;
  const started = startServer(readConfig({ PORT: String(port), LOG_LEVEL: 'silent' }), {
    database: await openTestDatabase(),
    logger: false,
    prepare: async () => {
      prepared = true;
    },
  });
  await expect(started).rejects.toThrow(`Port ${port} on 127.0.0.1 is taken.`);
  expect(prepared).toBe(false);
});
