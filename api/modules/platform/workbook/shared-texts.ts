import { isUnstorable, MOST_CELL_TEXT, unescaped } from './cell-text.ts';
import type { XmlReading } from './read-xml.ts';
import { tooLarge } from './refuse-workbook.ts';

/** Different texts in a workbook. */
const MOST_TEXTS = 1_000_000;
/** All their characters together. */
const MOST_CHARACTERS = 32 * 1_048_576;

/** Reads one text of an element that holds runs of it; how it is spoken (rPh) is left out. */
export class TextRuns {
  #text = '';
  #spoken = 0;
  #within = false;
  #long = false;

  begin(): void {
    [this.#text, this.#spoken, this.#within, this.#long] = ['', 0, false, false];
  }

  open(name: string): void {
    if (name === 'rPh') this.#spoken += 1;
    else if (name === 't' && this.#spoken === 0) this.#within = true;
  }

  add(text: string): void {
    if (!this.#within) return;
    if (this.#text.length + text.length > MOST_CELL_TEXT) this.#long = true;
    else this.#text += text;
  }

  close(name: string): void {
    if (name === 'rPh') this.#spoken -= 1;
    else if (name === 't') this.#within = false;
  }

  /** @returns the text, or what is wrong with it */
  end(): string | { readonly fault: 'long' | 'unstorable' } {
    if (this.#long) return { fault: 'long' };
    const text = unescaped(this.#text);
    return isUnstorable(text) ? { fault: 'unstorable' } : text;
  }
}

/** Reads the texts that cells name by number. */
export class SharedTextsReading implements XmlReading {
  readonly texts: (string | { readonly fault: 'long' | 'unstorable' })[] = [];
  readonly #runs = new TextRuns();
  #characters = 0;

  open(name: string): void {
    if (name === 'si') this.#runs.begin();
    else this.#runs.open(name);
  }

  text(text: string): void {
    this.#runs.add(text);
  }

  close(name: string): void {
    this.#runs.close(name);
    if (name !== 'si') return;
    const text = this.#runs.end();
    this.#characters += typeof text === 'string' ? text.length : 0;
    if (this.texts.length >= MOST_TEXTS || this.#characters > MOST_CHARACTERS) {
      throw tooLarge('The workbook holds too many texts. Send it in parts.');
    }
    this.texts.push(text);
  }
}
