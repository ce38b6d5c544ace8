import { createHash } from 'node:crypto';

/** A workbook as it was sent: bytes that nobody has looked into yet. */
export class WorkbookFile {
  readonly #bytes: Buffer;

  constructor(bytes: Buffer) {
    this.#bytes = bytes;
  }

  get bytes(): Buffer {
    return this.#bytes;
  }

  /** What stands for the file where a request is compared with an earlier one. */
  toJSON(): { readonly sha256: string } {
    return { sha256: createHash('sha256').update(this.#bytes).digest('hex') };
  }
}

/** A table as people send it: comma-separated values as text, or a workbook. */
export type TableFile = string | WorkbookFile;
