import { SaxesParser } from 'saxes';
import { Refusal } from '../refusal.ts';
import { notSound, tooLarge } from './refuse-workbook.ts';

/** What a part of a workbook is read by: names without their prefixes. */
export interface XmlReading {
  open?(name: string, attributes: XmlAttributes): void;
  text?(text: string): void;
  close?(name: string): void;
  /** Whether nothing more is wanted. */
  enough?(): boolean;
}

/** Attributes by name without its prefix. */
export type XmlAttributes = Readonly<Record<string, string>>;

/** SpreadsheetML nests a dozen levels deep. */
const MOST_LEVELS = 64;
/** A text, tag or comment that goes on for longer than this never ends. */
const MOST_SILENT = 2 * 1_048_576;
const PIECE = 65_536;
/** Read before other requests get their turn. */
const BYTES_A_TURN = 4 * PIECE;

const local = (name: string): string => name.slice(name.indexOf(':') + 1);

/**
 * Reads XML (UTF-8) piece by piece; other requests get their turn in between. A document type
 * (DOCTYPE) is refused, so that there are no entities but the five of XML and nothing outside is
 * ever referred to; the parser knows no way to fetch anything.
 * @throws Refusal for XML that is not well-formed, nests too deep, or has a text without end
 */
export async function readXml(
  pieces: AsyncIterable<Buffer>,
  part: string,
  reading: XmlReading,
): Promise<void> {
  const parser = new SaxesParser({ xmlns: false, position: false });
  const broken = () => notSound(`The part ${part} of the workbook is not readable as XML.`);
  let levels = 0;
  let heard = 0;
  parser.on('error', () => {
    throw broken();
  });
  parser.on('doctype', () => {
    throw notSound('The workbook holds a document type (DOCTYPE), which no workbook needs.');
  });
  parser.on('opentag', ({ name, attributes }) => {
    heard += 1;
    levels += 1;
    if (levels > MOST_LEVELS) throw broken();
    reading.open?.(local(name), withoutPrefixes(attributes));
  });
  parser.on('closetag', ({ name }) => {
    heard += 1;
    levels -= 1;
    reading.close?.(local(name));
  });
  const text = (said: string): void => {
    heard += 1;
    reading.text?.(said);
  };
  parser.on('text', text);
  parser.on('cdata', text);

  const decoder = new TextDecoder('utf-8', { fatal: true });
  let silent = 0;
  let sinceTurn = 0;
  try {
    for await (const whole of pieces) {
      for (let at = 0; at < whole.length; at += PIECE) {
        const piece = whole.subarray(at, at + PIECE);
        const before = heard;
        parser.write(decoder.decode(piece, { stream: true }));
        silent = heard === before ? silent + piece.length : 0;
        if (silent > MOST_SILENT) {
          throw tooLarge(`The part ${part} of the workbook holds a text without end.`);
        }
        if (reading.enough?.()) return;
        sinceTurn += piece.length;
        if (sinceTurn >= BYTES_A_TURN) {
          sinceTurn = 0;
          await new Promise((turn) => setImmediate(turn));
        }
      }
    }
    parser.write(decoder.decode());
    parser.close();
  } catch (error) {
    if (error instanceof Refusal) throw error;
    // Bytes that are no UTF-8.
    if (error instanceof TypeError) throw broken();
    throw error;
  }
}

function withoutPrefixes(attributes: Readonly<Record<string, string>>): XmlAttributes {
  for (const name in attributes) {
    if (name.includes(':')) {
      return Object.assign(
        Object.create(null),
        Object.fromEntries(Object.entries(attributes).map(([key, value]) => [local(key), value])),
      ) as XmlAttributes;
    }
  }
  return attributes;
}
