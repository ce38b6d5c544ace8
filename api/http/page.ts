import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';

/** Serves the built page. Registered before the access rules: its files are public. */
export async function registerPage(app: FastifyInstance, dir: string): Promise<void> {
  await app.register(fastifyStatic, {
    root: dir,
    prefix: '/',
    wildcard: false,
    // The build lays a .br and a .gz beside each file.
    preCompressed: true,
    setHeaders: (response, file) => {
      response.setHeader('vary', 'accept-encoding');
      // Built files carry a hash in their name; everything else must be asked for again.
      response.setHeader(
        'cache-control',
        /\/assets\//.test(file) ? 'public, max-age=31536000, immutable' : 'no-cache',
      );
    },
  });
}
