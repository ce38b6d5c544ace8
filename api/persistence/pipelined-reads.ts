import type { Duplex } from 'node:stream';
import pg from 'pg';
import { parse, serialize } from 'pg-protocol';
import type {
  BackendMessage,
  DatabaseError,
  DataRowMessage,
  Field,
  RowDescriptionMessage,
} from 'pg-protocol/dist/messages.js';

/** A statement that is asked again and again. */
export interface Statement {
  /** Its own, under which the server keeps it prepared. */
  readonly name: string;
  readonly sql: string;
}

interface ReadColumn {
  readonly name: string;
  readonly read: (text: string) => unknown;
}

interface Asked {
  readonly statement: Statement;
  readonly values: readonly (string | null)[];
  readonly rows: object[];
  /** Whether the server is to take in the statement itself first. */
  parses: boolean;
  readonly resolve: (rows: object[]) => void;
  readonly reject: (error: Error) => void;
}

const EXECUTE = serialize.execute({});
/** Ends the transaction that the questions before it were asked in. */
const SYNC = serialize.sync();
const TEXT = 25;
/** SQLSTATE of a statement's name that the server does not know (its manual, appendix A). */
const NOT_PREPARED = '26000';

/** How a column's values are read: as the driver reads them. */
function readerOf({ dataTypeID }: Field): ReadColumn['read'] {
  if (dataTypeID === TEXT) return (text) => text;
  return pg.types.getTypeParser(dataTypeID, 'text') as (text: string) => unknown;
}

/** A connection that is signed in, and what it owes. */
class OpenLine {
  readonly #client: pg.Client;
  readonly #mostTogether: number;
  readonly #stream: Duplex;
  readonly #prepared = new Map<string, readonly ReadColumn[] | 'being prepared'>();
  /** Asked in this moment, and sent at its end. */
  #asking: Asked[] = [];
  /** What was sent together, and is not answered. */
  readonly #owed: Asked[][] = [];
  #fatal: Error | null = null;
  #heardAt = 0;

  /** @param client connected; what arrives is read here from now on, so it must be asked nothing else */
  constructor(client: pg.Client, mostTogether: number) {
    this.#client = client;
    this.#mostTogether = mostTogether;
    this.#stream = (client as pg.Client & { connection: { stream: Duplex } }).connection.stream;
    this.#stream.removeAllListeners('data');
    this.#stream.on('data', () => {
      this.#heardAt = performance.now();
    });
    void parse(this.#stream, (message) => this.#hear(message));
  }

  ask(statement: Statement, values: readonly (string | null)[]): Promise<object[]> {
    return new Promise((resolve, reject) => {
      this.#ask({ statement, values, rows: [], parses: false, resolve, reject });
    });
  }

  /** Whether it owes answers and has been silent for longer than that. */
  isSilent(forMs: number): boolean {
    return this.#owed.length > 0 && performance.now() - this.#heardAt >= forMs;
  }

  /** Nobody waits any longer. */
  giveUp(error: Error): void {
    const all = [...this.#owed.splice(0), this.#asking.splice(0)].flat();
    for (const asked of all) asked.reject(this.#fatal ?? error);
  }

  cut(error: Error): void {
    this.#stream.destroy(error);
    this.giveUp(error);
  }

  end(): Promise<void> {
    this.#send();
    return this.#client.end();
  }

  #ask(asked: Asked): void {
    this.#asking.push(asked);
    if (this.#asking.length === 1 && this.#mostTogether > 1) setImmediate(() => this.#send());
    if (this.#asking.length === this.#mostTogether) this.#send();
  }

  /** What is asked in the same moment goes out together, because each writing is a call of the system on both sides. */
  #send(): void {
    const together = this.#asking;
    if (together.length === 0) return;
    this.#asking = [];
    const parts: Uint8Array[] = [];
    for (const asked of together) {
      const { name, sql } = asked.statement;
      asked.parses = !this.#prepared.has(name);
      if (asked.parses) {
        this.#prepared.set(name, 'being prepared');
        parts.push(serialize.parse({ name, text: sql }), serialize.describe({ type: 'S', name }));
      }
      parts.push(serialize.bind({ statement: name, values: [...asked.values] }), EXECUTE);
    }
    parts.push(SYNC);
    if (this.#owed.length === 0) this.#heardAt = performance.now();
    this.#owed.push(together);
    this.#stream.write(Buffer.concat(parts));
  }

  /** What the server says, in the order in which it was asked (its manual, "Message Flow", extended query). */
  #hear(message: BackendMessage): void {
    switch (message.name) {
      case 'dataRow':
        return this.#row(message as DataRowMessage);
      case 'commandComplete':
        return this.#complete();
      case 'readyForQuery':
        return this.#ready();
      case 'rowDescription':
        return this.#describe(message as RowDescriptionMessage);
      case 'error':
        return this.#fail(message as DatabaseError);
    }
  }

  #describe({ fields }: RowDescriptionMessage): void {
    const asked = this.#owed[0]?.[0];
    if (!asked) return;
    this.#prepared.set(
      asked.statement.name,
      fields.map((field) => ({ name: field.name, read: readerOf(field) })),
    );
  }

  #row({ fields }: DataRowMessage): void {
    const asked = this.#owed[0]?.[0];
    const columns = asked && this.#prepared.get(asked.statement.name);
    if (!columns || columns === 'being prepared') return;
    const row: Record<string, unknown> = {};
    for (const [index, { name, read }] of columns.entries()) {
      const text = fields[index] ?? null;
      row[name] = text === null ? null : read(text);
    }
    asked.rows.push(row);
  }

  #complete(): void {
    const asked = this.#owed[0]?.shift();
    asked?.resolve(asked.rows);
  }

  #fail(error: DatabaseError): void {
    const asked = this.#owed[0]?.shift();
    if (!asked) {
      // Of nothing that was asked: the server says why it closes the connection.
      this.#fatal = error;
      return;
    }
    if (error.code === NOT_PREPARED && !asked.parses) {
      // Whoever was to bring the statement along failed, or the server has forgotten it.
      const { name } = asked.statement;
      if (this.#prepared.get(name) !== 'being prepared') this.#prepared.delete(name);
      this.#ask(asked);
      return;
    }
    this.#forget(asked);
    asked.reject(error);
  }

  /** A transaction is over; what came in it after a fault was not heeded, and is asked again. */
  #ready(): void {
    for (const asked of this.#owed.shift() ?? []) {
      this.#forget(asked);
      this.#ask(asked);
    }
  }

  /** Where the server did not take a statement in, whoever asks next brings it along again. */
  #forget({ parses, statement: { name } }: Asked): void {
    if (parses && this.#prepared.get(name) === 'being prepared') this.#prepared.delete(name);
  }
}

/**
 * One connection over which reads go out without waiting for one another's answers, which come in order.
 * Those asked in the same moment share a transaction, in which each sees what is committed when its
 * turn comes, and none has a part in another's fault. Meant for statements that take well under a
 * millisecond, because each waits for those before it.
 */
export class PipelinedReads {
  readonly #config: pg.ClientConfig;
  readonly #waitMs: number;
  readonly #mostTogether: number;
  #ready: OpenLine | null = null;
  #opening: Promise<OpenLine> | null = null;
  #watch: NodeJS.Timeout | null = null;
  #waiting = 0;

  /**
   * @param waitMs how long to wait for a connection, and on one that owes an answer and gives none
   * @param mostTogether questions in one transaction at most: what is left of their answers in the
   *   server's buffer comes when the last of them is answered
   */
  constructor(url: string, waitMs: number, mostTogether: number) {
    this.#waitMs = waitMs;
    this.#mostTogether = mostTogether;
    this.#config = {
      ...{ connectionString: url, keepAlive: true, connectionTimeoutMillis: waitMs },
    };
  }

  /** Asks, on a new connection where the last one is gone. @throws what the server or the system says */
  async query(
    statement: Statement,
    values: readonly (string | number | null)[],
  ): Promise<object[]> {
    this.#waiting += 1;
    try {
      const line = this.#ready ?? (await (this.#opening ??= this.#open()));
      return await line.ask(
        statement,
        values.map((value) => (value === null ? null : String(value))),
      );
    } finally {
      this.#waiting -= 1;
    }
  }

  /** How many wait for an answer. */
  get waiting(): number {
    return this.#waiting;
  }

  async close(): Promise<void> {
    if (this.#watch) clearInterval(this.#watch);
    const line = this.#ready ?? (await this.#opening?.catch(() => null));
    this.#ready = null;
    await line?.end();
  }

  async #open(): Promise<OpenLine> {
    const client = new pg.Client(this.#config);
    let line: OpenLine | null = null;
    const gone = (error = new Error('Connection terminated.')): void => {
      if (this.#ready === line) this.#ready = null;
      line?.giveUp(error);
    };
    client.on('error', gone);
    client.on('end', () => gone());
    try {
      await client.connect();
      line = new OpenLine(client, this.#mostTogether);
      this.#ready = line;
      this.#watch ??= setInterval(() => this.#giveUpSilent(), this.#waitMs / 4).unref();
      return line;
    } finally {
      this.#opening = null;
    }
  }

  /** Everybody who waits on a connection that went silent is told, and the next one opens another. */
  #giveUpSilent(): void {
    const line = this.#ready;
    if (!line?.isSilent(this.#waitMs)) return;
    this.#ready = null;
    line.cut(new Error('Connection terminated: no answer came.'));
  }
}
