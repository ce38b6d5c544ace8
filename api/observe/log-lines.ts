import { write, writeSync } from 'node:fs';

/** Lines wait this long for others to be written with them: a call of the system costs as much as all else of a line. */
const WAIT_MS = 100;
/** Where nobody reads the log any more, lines beyond this are dropped; the service must go on. */
const MOST_HELD = 8 * 1_048_576;

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

  #atExit(): void {
    try {
      if (this.#rest) writeSync(this.#fd, this.#rest);
      writeSync(this.#fd, this.#take());
    } catch {
      // The reader is gone.
    }
  }
}
