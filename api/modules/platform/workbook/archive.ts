import { crc32 } from 'node:zlib';
import { fromBufferPromise, type Entry, type ZipFile } from 'yauzl';
import { Refusal } from '../refusal.ts';
import { CUT_OFF, notSound, tooLarge } from './refuse-workbook.ts';

/** A workbook has some tens of parts; one full of pictures some hundreds. */
const MOST_PARTS = 2_000;
/** All that is unpacked of one workbook. */
const MOST_UNPACKED = 192 * 1_048_576;
/** A local header without its name: what each part takes at least besides its data. */
const LOCAL_HEADER = 30;
const PASSWORD = 'This workbook is protected by a password. Save it without one and send it again.';

/**
 * The parts of a workbook's ZIP archive, unpacked one at a time, piece by piece and only when asked
 * for: pictures, macros and archives within it are never opened.
 *
 * Refused whole: parts that lie over one another, that are there twice (names differ by more than
 * case), whose names lead out of the archive, that are encrypted or packed otherwise than by
 * deflate. A backslash in a name is taken for the stroke that some writers mean by it. Sizes are those that come out; what the headers say is only believed when it is too much.
 *
 * Source: ECMA-376 Part 2 (names without regard to case, deflate or stored, no encryption); reading
 * ZIP itself is the library's.
 */
export class Archive {
  readonly #zip: ZipFile;
  readonly #parts: ReadonlyMap<string, Entry>;
  #left = MOST_UNPACKED;

  private constructor(zip: ZipFile, parts: ReadonlyMap<string, Entry>) {
    this.#zip = zip;
    this.#parts = parts;
  }

  /** @throws Refusal for what is no archive, or none that is sound */
  static async open(bytes: Buffer): Promise<Archive> {
    refuseOtherFiles(bytes);
    try {
      const zip = await fromBufferPromise(bytes, { lazyEntries: true });
      if (zip.entryCount > MOST_PARTS) {
        throw tooLarge(`The workbook has more than ${MOST_PARTS} parts.`);
      }
      const parts = new Map<string, Entry>();
      const inOrder: Entry[] = [];
      for await (const entry of zip.eachEntry()) {
        const key = entry.fileName.toLowerCase();
        if (parts.has(key)) throw notSound('The workbook holds a part of the same name twice.');
        parts.set(key, entry);
        inOrder.push(entry);
      }
      refuseOverlaps(inOrder, bytes.length);
      return new Archive(zip, parts);
    } catch (error) {
      throw asRefusal(error);
    }
  }

  has(name: string): boolean {
    return this.#parts.has(name.toLowerCase());
  }

  /**
   * The bytes of a part, in pieces.
   * @param most bytes that may come out of it
   * @throws Refusal as soon as more come out, or other ones than the archive says
   */
  async *read(name: string, most: number): AsyncGenerator<Buffer> {
    const entry = this.#parts.get(name.toLowerCase());
    if (!entry) throw notSound(CUT_OFF);
    if (entry.isEncrypted()) throw notSound(PASSWORD);
    if (!entry.canDecodeFileData()) throw notSound(CUT_OFF);
    if (entry.uncompressedSize > most) throw this.#tooMuch(most);
    let came = 0;
    let sum = 0;
    const stream = await this.#zip.openReadStreamPromise(entry).catch((error: unknown) => {
      throw asRefusal(error);
    });
    try {
      for await (const piece of stream as AsyncIterable<Buffer>) {
        came += piece.length;
        this.#left -= piece.length;
        if (came > most || this.#left < 0) throw this.#tooMuch(most);
        sum = crc32(piece, sum);
        yield piece;
      }
    } catch (error) {
      throw asRefusal(error);
    } finally {
      stream.destroy();
    }
    if (sum !== entry.crc32) throw notSound(CUT_OFF);
  }

  #tooMuch(most: number): Refusal {
    const megabytes = Math.round(Math.min(most, MOST_UNPACKED) / 1_048_576);
    return tooLarge(
      `Unpacked, a part of the workbook is larger than ${megabytes} MB. Send it in parts.`,
    );
  }
}

/** Says in words what the usual other files are. */
function refuseOtherFiles(bytes: Buffer): void {
  // Compound files (MS-CFB 2.2): workbooks before 2007, and every workbook with a password.
  if (bytes.subarray(0, 8).equals(Buffer.from('d0cf11e0a1b11ae1', 'hex'))) {
    // A stream of that name holds the encrypted workbook (MS-OFFCRYPTO 2.3.4.4).
    if (bytes.includes(Buffer.from('EncryptedPackage', 'utf16le'))) throw notSound(PASSWORD);
    throw notSound('This workbook is of the old kind (.xls). Save it as .xlsx and send it again.');
  }
  if (bytes.subarray(0, 2).toString('latin1') !== 'PK') {
    throw notSound('This file is no workbook (.xlsx). Text is sent as CSV.');
  }
}

function refuseOverlaps(entries: readonly Entry[], size: number): void {
  const byPlace = entries.toSorted(
    (a, b) => a.relativeOffsetOfLocalHeader - b.relativeOffsetOfLocalHeader,
  );
  for (const [i, entry] of byPlace.entries()) {
    const ends =
      entry.relativeOffsetOfLocalHeader +
      LOCAL_HEADER +
      entry.fileNameRaw.length +
      entry.compressedSize;
    if (ends > (byPlace[i + 1]?.relativeOffsetOfLocalHeader ?? size)) {
      throw notSound('Parts of the workbook lie over one another.');
    }
  }
}

/** The library throws plain errors for whatever is wrong with an archive. */
function asRefusal(error: unknown): Refusal {
  if (error instanceof Refusal) return error;
  const said = error instanceof Error ? error.message : '';
  return notSound(
    /path|characters in file ?name/i.test(said)
      ? 'A part of the workbook has a name that leads out of it.'
      : CUT_OFF,
  );
}
