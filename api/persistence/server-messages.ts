import pg from 'pg';

// What a PostgreSQL server says, as bytes (its manual, "Message Formats", protocol 3.0), for answers that
// are read so often that what the driver makes around each of them costs more than they do.

/** A column of an answer. */
export interface Column {
  readonly name: string;
  /** The type's number in the server's catalogue. */
  readonly type: number;
}

/** Who is told what the server says, in the order in which it says it. */
export interface Listener {
  /** A statement was taken in, and these are the columns it answers with. */
  described(columns: readonly Column[]): void;
  /** A row begins at `at`; its bytes stay as they are. */
  row(bytes: Buffer, at: number): void;
  /** A statement has given its last row. */
  complete(): void;
  failed(error: Error & { readonly code?: string | undefined }): void;
  /** All that was asked up to a Sync is answered. */
  ready(): void;
}

/** Kind and length, which counts itself. */
const HEAD_BYTES = 5;
const NOTHING = -1;
const KIND = { columns: 0x54, row: 0x44, complete: 0x43, error: 0x45, ready: 0x5a } as const;

/** Takes in what arrives, cut anywhere, and tells each whole message. */
export class ServerMessages {
  readonly #listener: Listener;
  #parts: Buffer[] = [];
  #have = 0;
  #need = HEAD_BYTES;

  constructor(listener: Listener) {
    this.#listener = listener;
  }

  take(chunk: Buffer): void {
    this.#parts.push(chunk);
    this.#have += chunk.length;
    if (this.#have < this.#need) return;
    const bytes = this.#parts.length === 1 ? chunk : Buffer.concat(this.#parts);
    let at = 0;
    this.#need = HEAD_BYTES;
    while (bytes.length - at >= HEAD_BYTES) {
      const length = 1 + bytes.readInt32BE(at + 1);
      if (at + length > bytes.length) {
        this.#need = length;
        break;
      }
      this.#tell(bytes, at, at + length);
      at += length;
    }
    this.#have = bytes.length - at;
    this.#parts = this.#have === 0 ? [] : [bytes.subarray(at)];
  }

  #tell(bytes: Buffer, head: number, end: number): void {
    const at = head + HEAD_BYTES;
    switch (bytes[head]) {
      case KIND.row:
        return this.#listener.row(bytes, at);
      case KIND.complete:
        return this.#listener.complete();
      case KIND.ready:
        return this.#listener.ready();
      case KIND.columns:
        return this.#listener.described(columnsIn(bytes, at));
      case KIND.error:
        return this.#listener.failed(errorIn(bytes, at, end));
    }
  }
}

/**
 * Reads the values of a row.
 * @param value is given each value's place among the columns and its bytes, `from` to `to`; not called for NULL
 */
export function eachValue(
  bytes: Buffer,
  at: number,
  value: (column: number, from: number, to: number) => void,
): void {
  const count = bytes.readInt16BE(at);
  let from = at + 2;
  for (let column = 0; column < count; column += 1) {
    const length = bytes.readInt32BE(from);
    from += 4;
    if (length === NOTHING) continue;
    value(column, from, from + length);
    from += length;
  }
}

function columnsIn(bytes: Buffer, at: number): readonly Column[] {
  let from = at + 2;
  return Array.from({ length: bytes.readInt16BE(at) }, () => {
    const end = bytes.indexOf(0, from);
    const name = bytes.toString('utf8', from, end);
    // After the name: its table and column there, its type; then the type's size, modifier and format.
    const type = bytes.readUInt32BE(end + 7);
    from = end + 19;
    return { name, type };
  });
}

const PARTS: Readonly<Record<string, 'severity' | 'code' | 'detail' | 'hint' | 'where'>> = {
  ...{ V: 'severity', C: 'code', D: 'detail', H: 'hint', W: 'where' },
};

function errorIn(bytes: Buffer, at: number, end: number): pg.DatabaseError {
  const said = new Map<string, string>();
  for (let from = at; from < end && bytes[from] !== 0;) {
    const stop = bytes.indexOf(0, from);
    said.set(String.fromCharCode(bytes[from] ?? 0), bytes.toString('utf8', from + 1, stop));
    from = stop + 1;
  }
  const error = new pg.DatabaseError(said.get('M') ?? 'unknown', end - at, 'error');
  for (const [letter, part] of Object.entries(PARTS)) error[part] = said.get(letter);
  return error;
}
