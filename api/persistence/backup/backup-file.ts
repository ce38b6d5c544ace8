import { createHash, type Hash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { createInterface } from 'node:readline';
import { createGunzip } from 'node:zlib';
import { z } from 'zod';

// A backup is a gzip file of JSON lines: a head, then for each table its name and its rows, one JSON
// object each, and an end that says how many rows there are and the SHA-256 of all lines before it.

export const FORMAT = 'tamis backup';
export const FORMAT_VERSION = 1;

export const BackupHead = z.object({
  format: z.literal(FORMAT),
  version: z.literal(FORMAT_VERSION),
  madeAt: z.string(),
  migrations: z.array(z.string()).min(1),
});
export type BackupHead = z.infer<typeof BackupHead>;
const TableLine = z.strictObject({ table: z.string(), columns: z.array(z.string()) });
const EndLine = z.strictObject({
  end: z.literal(true),
  rows: z.number().int(),
  sha256: z.string(),
});

/** What a line of a backup is. A row begins with its table's first column and never like the others. */
export type BackupLine =
  | { readonly kind: 'head'; readonly head: BackupHead }
  | { readonly kind: 'table'; readonly table: string; readonly columns: readonly string[] }
  | { readonly kind: 'row'; readonly text: string };

/** Counts lines and sums them up as they go by. */
export class LineSum {
  readonly #hash: Hash = createHash('sha256');
  rows = 0;

  add(line: string): string {
    this.#hash.update(line).update('\n');
    return `${line}\n`;
  }

  end(): string {
    const end: z.infer<typeof EndLine> = {
      end: true,
      rows: this.rows,
      sha256: this.#hash.digest('hex'),
    };
    return `${JSON.stringify(end)}\n`;
  }

  matches(end: z.infer<typeof EndLine>): boolean {
    return end.rows === this.rows && end.sha256 === this.#hash.digest('hex');
  }
}

/**
 * Reads a backup line by line.
 * @throws Error in plain words when it is no backup, or ends early or is damaged: at the latest
 * after its last line, so that what was read before must not be kept until then
 */
export async function* readBackup(file: string): AsyncGenerator<BackupLine> {
  const raw = createReadStream(file);
  const unpacked = createGunzip();
  raw.on('error', (error) => unpacked.destroy(error));
  raw.pipe(unpacked);
  const sum = new LineSum();
  let at = 0;
  let ended = false;
  let inTable = false;
  try {
    for await (const line of createInterface({ input: unpacked, crlfDelay: Infinity })) {
      if (ended) throw new Error('It goes on after its end.');
      if (at === 0) {
        yield { kind: 'head', head: BackupHead.parse(JSON.parse(line)) };
        sum.add(line);
      } else if (line.startsWith('{"table":')) {
        const { table, columns } = TableLine.parse(JSON.parse(line));
        inTable = true;
        yield { kind: 'table', table, columns };
        sum.add(line);
      } else if (line.startsWith('{"end":true')) {
        ended = sum.matches(EndLine.parse(JSON.parse(line)));
        if (!ended) throw new Error('Its sum does not fit.');
      } else {
        if (!inTable) throw new Error('It has a row without a table.');
        sum.rows += 1;
        yield { kind: 'row', text: line };
        sum.add(line);
      }
      at += 1;
    }
    if (!ended) throw new Error('It ends too early.');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') {
      throw new Error(`There is no file ${file}.`, { cause: error });
    }
    if (error instanceof BackupDatabaseError) throw error;
    throw new Error(`${file} is no whole backup: ${(error as Error).message}`, { cause: error });
  } finally {
    raw.destroy();
    unpacked.destroy();
  }
}

/** Thrown into the reading by whoever loads the rows; it is not the file that is wrong then. */
export class BackupDatabaseError extends Error {}
