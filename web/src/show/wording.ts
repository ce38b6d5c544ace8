// What the service says is English: a sentence with things put in. A catalogue has each of those
// sentences in another language, with {1}, {2} for what is put in; what is put in may itself be a
// phrase of the catalogue. Nothing is guessed: what is not in the catalogue has no wording.

/** A language's wording of each English sentence or phrase. */
export type Sayings = Readonly<Record<string, string>>;
export interface Catalogue {
  /** Sentences and labels that stand alone. */
  readonly sentences: Sayings;
  /** What is put into those; `{#1}` begins with a digit, so that no name is taken for a phrase. */
  readonly phrases: Sayings;
}
/** @returns null for what the catalogue does not know */
export type Wording = (text: string) => string | null;

interface Pattern {
  readonly first: string;
  readonly last: string;
  readonly regex: RegExp;
  readonly wording: string;
  readonly literal: number;
}

/** Answers kept: a page asks for the same sentences whenever it is drawn anew. */
const MOST_KEPT = 2000;
const SLOT = /\{(#?\d)\}/;
/** Where one sentence ends and the next begins. */
const SENTENCE_END = /[.!?] (?=\p{Lu}|\d)/gu;
/** 'Crema: Not held at…': a name before a sentence. */
const NAMED = /^([^:]{1,80}): (.+)$/s;
const DECIMAL = /(\d)\.(\d)/g;
const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

function patternOf([english, wording]: readonly [string, string]): Pattern {
  const parts = english.split(SLOT);
  const literals = parts.filter((_, i) => i % 2 === 0);
  const regex = parts.map((part, i) => {
    if (i % 2 === 0) return escaped(part);
    return part.startsWith('#') ? '([-−]?\\d.*?)' : '(.+?)';
  });
  return {
    first: literals[0] ?? '',
    last: literals.at(-1) ?? '',
    regex: new RegExp(`^${regex.join('')}$`, 's'),
    wording,
    literal: literals.join('').length,
  };
}

/** A catalogue's texts without slots, and its patterns: what says most itself is tried first. */
class Book {
  readonly exact: ReadonlyMap<string, string>;
  readonly #patterns: readonly Pattern[];

  constructor(sayings: Sayings) {
    const all = Object.entries(sayings);
    this.exact = new Map(all.filter(([english]) => !SLOT.test(english)));
    this.#patterns = all
      .filter(([english]) => SLOT.test(english))
      .map(patternOf)
      .sort((a, b) => b.literal - a.literal);
  }

  /** @param fits whether what was put in may be that */
  word(text: string, put: Wording, fits: (value: string) => boolean): string | null {
    const whole = this.exact.get(text);
    if (whole !== undefined) return whole;
    for (const { first, last, regex, wording } of this.#patterns) {
      if (!text.startsWith(first) || !text.endsWith(last)) continue;
      const found = regex.exec(text)?.slice(1);
      if (!found?.every(fits)) continue;
      return wording.replace(/\{(\d)\}/g, (_, n: string) => put(found[Number(n) - 1] ?? '') ?? '');
    }
    return null;
  }
}

const isOneSentence = (value: string): boolean => value.search(SENTENCE_END) < 0;

/**
 * Words a service's sentences by a catalogue.
 * @param decimal what stands between whole and part of a number in that language
 */
export function wordingBy({ sentences, phrases }: Catalogue, decimal: string): Wording {
  const book = new Book({ ...phrases, ...sentences });
  const within = new Book({
    ...phrases,
    ...Object.fromEntries(Object.entries(sentences).filter(([english]) => /[.!?]$/.test(english))),
  });
  const kept = new Map<string, string | null>();
  const put = (value: string): string =>
    within.word(value, put, isOneSentence) ??
    bySentences(value) ??
    value.replace(DECIMAL, `$1${decimal}$2`);

  /** Two sentences or more, one after the other. */
  function bySentences(text: string): string | null {
    for (const { index } of text.matchAll(SENTENCE_END)) {
      const first = word(text.slice(0, index + 1));
      const rest = first === null ? null : word(text.slice(index + 2));
      if (rest !== null) return `${first} ${rest}`;
    }
    return null;
  }

  function byName(text: string): string | null {
    const [, name, rest] = NAMED.exec(text) ?? [];
    const said = rest === undefined ? null : word(rest);
    return said === null ? null : `${name}: ${said}`;
  }

  function word(text: string): string | null {
    const known = kept.get(text);
    if (known !== undefined) return known;
    const said =
      book.word(text, put, isOneSentence) ??
      bySentences(text) ??
      book.word(text, put, () => true) ??
      byName(text);
    if (kept.size >= MOST_KEPT) kept.clear();
    kept.set(text, said);
    return said;
  }
  return word;
}
