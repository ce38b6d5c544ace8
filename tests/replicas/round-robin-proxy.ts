import http from 'node:http';
import type { AddressInfo } from 'node:net';

const ASK_EVERY_MS = 100;

/** A plain proxy: each request to the next replica that says it is ready, and never sent twice. */
export interface RoundRobinProxy {
  readonly url: string;
  /** Requests passed on so far, by replica. */
  readonly passedOn: ReadonlyMap<string, number>;
  add(replicaUrl: string): Promise<void>;
  remove(replicaUrl: string): void;
  close(): Promise<void>;
}

interface Backend {
  readonly url: URL;
  ready: boolean;
}

/** Headers without those that speak of one connection only (RFC 9110, 7.6.1). */
const ownHop = (headers: http.IncomingHttpHeaders): http.OutgoingHttpHeaders =>
  Object.fromEntries(
    Object.entries(headers).filter(([name]) => !['connection', 'keep-alive'].includes(name)),
  );

/**
 * Starts a proxy on a free loopback port. It keeps connections open, asks each replica's /readyz ten
 * times a second, adds the caller's address to `x-forwarded-for`, and answers 502 where a replica
 * does not; it tries nothing again, so that no fault of a replica is hidden.
 */
export async function startRoundRobinProxy(): Promise<RoundRobinProxy> {
  const agent = new http.Agent({ keepAlive: true, maxSockets: 64 });
  const backends = new Map<string, Backend>();
  const passedOn = new Map<string, number>();
  let turn = 0;

  const ask = (backend: Backend): Promise<void> =>
    new Promise((resolve) => {
      const request = http.get(new URL('/readyz', backend.url), { agent }, (answer) => {
        answer.resume();
        backend.ready = answer.statusCode === 200;
        answer.once('close', resolve);
      });
      request.once('error', () => {
        backend.ready = false;
        resolve();
      });
    });
  const asking = setInterval(() => {
    for (const backend of backends.values()) void ask(backend);
  }, ASK_EVERY_MS);

  const server = http.createServer((incoming, outgoing) => {
    const ready = [...backends.values()].filter((one) => one.ready);
    const backend = ready[turn++ % ready.length];
    const fail = (why: string) => {
      if (!outgoing.headersSent) outgoing.writeHead(502, { 'content-type': 'text/plain' });
      outgoing.end(why);
    };
    if (!backend) return fail('No replica is ready.');
    passedOn.set(backend.url.origin, (passedOn.get(backend.url.origin) ?? 0) + 1);
    const headers = ownHop(incoming.headers);
    const before = headers['x-forwarded-for'];
    const address = incoming.socket.remoteAddress ?? '';
    const passed = http.request(
      {
        agent,
        host: backend.url.hostname,
        port: backend.url.port,
        method: incoming.method,
        path: incoming.url,
        headers: {
          ...headers,
          'x-forwarded-for': before === undefined ? address : `${String(before)}, ${address}`,
        },
      },
      (answer) => {
        outgoing.writeHead(answer.statusCode ?? 502, ownHop(answer.headers));
        answer.pipe(outgoing);
      },
    );
    passed.once('error', (error) => fail(`${backend.url.origin}: ${error.message}`));
    incoming.pipe(passed);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    passedOn,
    add: async (replicaUrl) => {
      const backend = { url: new URL(replicaUrl), ready: false };
      backends.set(backend.url.origin, backend);
      await ask(backend);
    },
    remove: (replicaUrl) => void backends.delete(new URL(replicaUrl).origin),
    close: async () => {
      clearInterval(asking);
      agent.destroy();
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
