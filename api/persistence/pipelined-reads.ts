import type { Socket } from 'node:net';
import pg from 'pg';

/**
 * One connection over which small reads go out without waiting for one another's answers: each is a
 * transaction of its own, and the server answers them in order. Meant for statements that take well
 * under a millisecond, because each waits for those before it.
 */
export class PipelinedReads {
  readonly #config: pg.ClientConfig;
  readonly #waitMs: number;
  #ready: pg.Client | null = null;
  #opening: Promise<pg.Client> | null = null;
  #owed = 0;
  #heardAt = 0;
  #watch: NodeJS.Timeout | null = null;

  /** @param waitMs how long to wait for a connection, and on one that owes an answer and gives none */
  constructor(url: string, waitMs: number) {
    this.#waitMs = waitMs;
    this.#config = {
      ...{ connectionString: url, keepAlive: true, pipeline: true },
      connectionTimeoutMillis: waitMs,
    };
  }

  /** Asks, on a new connection where the last one is gone. @throws what the driver says */
  async query(name: string, text: string, values: readonly unknown[]): Promise<object[]> {
    const client = this.#ready ?? (await (this.#opening ??= this.#open()));
    if (this.#owed === 0) this.#heardAt = performance.now();
    this.#owed += 1;
    try {
      return (await client.query<object>({ name, text, values: [...values] })).rows;
    } finally {
      this.#owed -= 1;
      this.#heardAt = performance.now();
    }
  }

  async close(): Promise<void> {
    if (this.#watch) clearInterval(this.#watch);
    const client = this.#ready ?? (await this.#opening?.catch(() => null));
    this.#ready = null;
    await client?.end();
  }

  async #open(): Promise<pg.Client> {
    const client = new pg.Client(this.#config);
    const gone = (): void => {
      if (this.#ready === client) this.#ready = null;
    };
    client.on('error', gone);
    client.on('end', gone);
    try {
      await client.connect();
      this.#ready = client;
      this.#watch ??= setInterval(() => this.#giveUpSilent(), this.#waitMs / 4).unref();
      return client;
    } finally {
      this.#opening = null;
    }
  }

  /** Everybody who waits on a connection that went silent is told, and the next one opens another. */
  #giveUpSilent(): void {
    if (this.#owed === 0 || performance.now() - this.#heardAt < this.#waitMs) return;
    const client = this.#ready as (pg.Client & { connection: { stream: Socket } }) | null;
    this.#ready = null;
    client?.connection.stream.destroy(new Error('Connection terminated: no answer came.'));
  }
}
