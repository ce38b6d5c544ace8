import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

/** A line to a database server that a test cuts and mends. */
export interface CutLine {
  /** The URL of the database over the line. */
  readonly url: string;
  /** Ends every connection and takes no more. */
  cut(): Promise<void>;
  mend(): Promise<void>;
  /** Keeps every connection open and carries nothing on them any more; new ones carry. */
  silence(): void;
}

/** Lays a line to the server of `url`, over a port of its own. */
export async function layLine(url: string): Promise<CutLine> {
  const to = new URL(url);
  const open = new Set<Socket>();
  const listen = (port: number) => {
    const server = createServer((near) => {
      const far = connect(Number(to.port || 5432), to.hostname);
      for (const [socket, other] of [
        [near, far],
        [far, near],
      ] as const) {
        open.add(socket);
        socket.pipe(other);
        socket.on('error', () => other.destroy());
        socket.on('close', () => {
          open.delete(socket);
          other.destroy();
        });
      }
    });
    return new Promise<typeof server>((resolve) =>
      server.listen(port, '127.0.0.1', () => resolve(server)),
    );
  };
  let server = await listen(0);
  const { port } = server.address() as AddressInfo;
  const over = new URL(url);
  over.hostname = '127.0.0.1';
  over.port = String(port);
  return {
    url: over.toString(),
    cut: async () => {
      const closed = new Promise((resolve) => server.close(resolve));
      for (const socket of open) socket.destroy();
      await closed;
    },
    mend: async () => {
      server = await listen(port);
    },
    silence: () => {
      for (const socket of open) socket.unpipe().pause();
    },
  };
}
