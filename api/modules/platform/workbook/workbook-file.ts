import { createHash } from 'node:crypto';

/** A workbook as it was sent: bytes that nobody has looked into yet, and the sheet that is wanted. */
export class WorkbookFile {
  readonly #bytes: Buffer;
  /** Null for the first that can be seen. */
  readonly sheet: string | null;

  constructor(bytes: Buffer, sheet: string | null = null) {
    this.#bytes = bytes;
    this.sheet = sheet;
  }

  /** The same workbook, to be read from a sheet by its name. */
  onSheet(sheet: string | null): WorkbookFile {
    return new WorkbookFile(this.#bytes, sheet);
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
