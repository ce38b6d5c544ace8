import { statfs } from 'node:fs/promises';
import { messages, PGlite } from '@electric-sql/pglite';

// The embedded engine writes ahead in files of 16 MB. Where it finds no room for the next one it
// stops for good, in the middle of a commit; called again, it would never return and the whole
// process would stand still. So it is not asked to change anything while room is short, is never
// called again once it has stopped, and is then begun anew over its folder, as after a kill.

/** Room for three files of its log, and some more for tables. */
const ROOM_BYTES = 64 * 1_048_576;

/** An error as the engine itself gives it, with its SQLSTATE (PostgreSQL manual, appendix A). */
function engineError(code: string, text: string, cause?: unknown): messages.DatabaseError {
  const error = new messages.DatabaseError(text, text.length, 'error');
  Object.assign(error, { code, severity: 'ERROR', cause });
  return error;
}

/** @throws an error of a full disk when the folder's file system has less than `ROOM_BYTES` free */
async function requireRoom(dir: string): Promise<void> {
  const { bavail, blocks, bsize } = await statfs(dir);
  // A file system that does not say how large it is says nothing about its room either.
  if (blocks === 0 || bavail * bsize >= ROOM_BYTES) return;
  throw engineError(
    '53100',
    `No space left on device: ${dir} needs ${ROOM_BYTES / 1_048_576} MB free to be written to.`,
  );
}

/** Whether an error (a PANIC, a fault of the machine it runs in) leaves the engine beyond use. */
function isDeadly(error: unknown): boolean {
  if (!(error instanceof messages.DatabaseError)) return true;
  return error.severity === 'PANIC' || error.severity === 'FATAL';
}

/** The engine, which after it has stopped refuses what it is asked instead of never answering. */
class Engine extends PGlite {
  stopped: messages.DatabaseError | null = null;

  override async execProtocolStream(
    ...asked: Parameters<PGlite['execProtocolStream']>
  ): ReturnType<PGlite['execProtocolStream']> {
    if (this.stopped) throw this.stopped;
    try {
      return await super.execProtocolStream(...asked);
    } catch (error) {
      if (!isDeadly(error)) throw error;
      const code = error instanceof messages.DatabaseError ? error.code : undefined;
      this.stopped = engineError(code ?? '57P02', 'The embedded database stopped.', error);
      throw this.stopped;
    }
  }
}

/** What of an engine the adapter and the migrations use. */
export type EmbeddedSql = Pick<PGlite, 'query' | 'exec' | 'transaction' | 'close'>;

/** Starts the engine in memory, from a dump where one is given. */
export async function startInMemory(dump?: Blob): Promise<EmbeddedSql> {
  const engine = new Engine(dump ? { loadDataDir: dump } : {});
  await engine.waitReady;
  return engine;
}

/** The engine over a folder, begun anew after it has stopped, as soon as there is room. */
export class EmbeddedFolder implements EmbeddedSql {
  readonly #dir: string;
  #engine: Engine;
  #beginning: Promise<Engine> | null = null;

  private constructor(dir: string, engine: Engine) {
    this.#dir = dir;
    this.#engine = engine;
  }

  /** @throws an error of a full disk when there is no room to write in */
  static async open(dir: string): Promise<EmbeddedFolder> {
    return new EmbeddedFolder(dir, await begin(dir));
  }

  query: PGlite['query'] = async (...asked) => (await this.#running()).query(...asked);
  exec: PGlite['exec'] = async (...asked) => (await this.#running()).exec(...asked);
  transaction: PGlite['transaction'] = async (work) => {
    const engine = await this.#running();
    await requireRoom(this.#dir);
    return engine.transaction(work);
  };

  async close(): Promise<void> {
    // One that has stopped has nothing left to write, and cannot be called.
    if (!this.#engine.stopped) await this.#engine.close();
  }

  async #running(): Promise<Engine> {
    if (!this.#engine.stopped) return this.#engine;
    this.#beginning ??= begin(this.#dir)
      .then((engine) => (this.#engine = engine))
      .finally(() => (this.#beginning = null));
    return this.#beginning;
  }
}

async function begin(dir: string): Promise<Engine> {
  await requireRoom(dir);
  const engine = new Engine({ dataDir: `${dir}/db`, relaxedDurability: false });
  await engine.waitReady;
  return engine;
}
