import { write, writeSync } from 'node:fs';

/** Lines wait this long for others to be written with them: a call of the system costs as much as all else of a line. */
const WAIT_MS = 100;
/** Where nobody reads the log any more, lines beyond this are dropped; the service must go on. */
const MOST_HELD = 8 * 1_048_576;

/** How long the way out may take where the reader is slow. */
const LAST_MS = 2_000;
const PAUSE = new Int32Array(new SharedArrayBuffer(4));

/** Where log lines go: written together, one writing at a time, never holding up what is asked. */
export class LogLines {
  readonly #fd: number;
  #held = '';
  #dropped = 0;
  #rest: Buffer | null = null;
  #timer: NodeJS.Timeout | null = null;

  constructor(fd = 1) {
    this.#fd = fd;
    process.once('exit', () => this.#atExit());
  }

  write(line: string): void {
    if (this.#held.length > MOST_HELD) {
      this.#dropped += 1;
      return;
    }
    this.#held += line;
    this.#later();
  }

  #later(): void {
    if (this.#timer || this.#rest) return;
    this.#timer = setTimeout(() => {
      this.#timer = null;
      this.#rest = Buffer.from(this.#take());
      this.#writeRest();
    }, WAIT_MS);
    // What waits when nothing else is left to do is written on the way out.
    this.#timer.unref();
  }

  #take(): string {
    const dropped =
      this.#dropped > 0 ? `{"level":40,"msg":"${this.#dropped} lines dropped"}\n` : '';
    const text = this.#held + dropped;
    this.#held = '';
    this.#dropped = 0;
    return text;
  }

  #writeRest(): void {
    const rest = this.#rest;
    if (rest === null || rest.length === 0) {
      this.#rest = null;
      if (this.#held !== '') this.#later();
      return;
    }
    write(this.#fd, rest, (error, written) => {
      if (error && error.code !== 'EAGAIN') {
        // Nobody can be told: the log itself is gone.
        this.#rest = null;
        return;
      }
      this.#rest = error ? rest : rest.subarray(written);
      if (error) setTimeout(() => this.#writeRest(), WAIT_MS).unref();
      else this.#writeRest();
    });
  }

  /** What is held is written before the process ends; a line that was being written may then be there twice. */
  #atExit(): void {
    const held = Buffer.concat([this.#rest ?? Buffer.alloc(0), Buffer.from(this.#take())]);
    const until = Date.now() + LAST_MS;
    for (let from = 0; from < held.length;) {
      try {
        from += writeSync(this.#fd, held, from);
      } catch (error) {
        // A pipe that is full is read on; any other fault means that the reader is gone.
        if ((error as NodeJS.ErrnoException).code !== 'EAGAIN' || Date.now() > until) return;
        Atomics.wait(PAUSE, 0, 0, 5);
      }
    }
  }
}
