import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { wordingBy } from '../../web/src/show/wording.ts';
import { checks } from '../../web/src/texts/said/checks.it.ts';
import { saidIt } from '../../web/src/texts/said/it.ts';
import { sayings, sourceText } from './said-by-the-service.ts';

const word = wordingBy(saidIt, ',');
const all: Readonly<Record<string, string>> = { ...saidIt.phrases, ...saidIt.sentences };
const slots = (text: string): string[] =>
  (text.match(/\{#?\d\}/g) ?? []).map((slot) => slot.replace('#', '')).sort();
/** What a phrase says itself, as it may stand in the source: begun large or small, a status with its underscore. */
const plain = (text: string): string => text.toLowerCase().replaceAll('_', ' ');
const fragments = (text: string): string[] =>
  text
    .split(/\{#?\d\}/)
    .map((part) => plain(part).replace(/^[\s,]+|\s+$/g, ''))
    .filter((part) => part !== '');

describe('what the service says', () => {
  it('has every sentence and every label of an explanation in Italian', () => {
    const found = sayings();
    expect(found.length).toBeGreaterThan(800);
    const missing = found.filter(({ text }) => all[text] === undefined);
    expect(missing.map(({ file, text }) => `${file}: ${text}`)).toEqual([]);
  });

  it('has no Italian for what the service no longer says', () => {
    const said = new Set(sayings().map(({ text }) => text));
    const source = plain(sourceText().replaceAll("\\'", "'"));
    const gone = Object.keys(all).filter(
      (text) =>
        !said.has(text) &&
        !(text in checks) &&
        fragments(text).some((part) => !source.includes(part)),
    );
    expect(gone).toEqual([]);
  });

  it('puts into the Italian exactly what is put into the English', () => {
    const wrong = Object.entries(all).filter(
      ([english, italian]) =>
        !(english in checks) && slots(english).join() !== slots(italian).join(),
    );
    expect(wrong).toEqual([]);
    expect(Object.values(all).filter((text) => text.trim() === '')).toEqual([]);
  });

  it('knows the refusals of the check of a request’s form', () => {
    const messages = [
      z.string().safeParse(1),
      z.string().min(3).safeParse('a'),
      z.string().max(1).safeParse('abc'),
      z.string().regex(/a/).safeParse('b'),
      z.number().positive().safeParse(-1),
      z.number().min(2).safeParse(1),
      z.number().max(2).safeParse(3),
      z.number().lt(2).safeParse(3),
      z.int().safeParse(1.5),
      z.array(z.string()).min(1).safeParse([]),
      z.array(z.string()).max(0).safeParse(['a']),
      z.enum(['a', 'b']).safeParse('c'),
      z.strictObject({}).safeParse({ a: 1 }),
      z.union([z.string(), z.boolean()]).safeParse(1),
    ].map(({ error }) => error?.issues[0]?.message ?? '');
    expect(messages.filter((message) => word(message) === null)).toEqual([]);
  });
});

describe('the Italian wording', () => {
  const name = fc
    .array(fc.constantFrom('Crema', 'limone', 'Sablé', 'al', 'caffè', 'Pâte'), {
      minLength: 1,
      maxLength: 3,
    })
    .map((parts) => parts.join(' '));
  const sentences = Object.keys(saidIt.sentences).filter((text) => /[.!?]$/.test(text));

  it('says of any names and numbers the same as the catalogue does', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...sentences),
        fc.tuple(name, name, name, name, name, name),
        (english, names) => {
          const filled = (text: string): string =>
            text.replace(/\{(\d)\}/g, (_, n: string) => names[Number(n) - 1] ?? '');
          expect(word(filled(english))).toBe(filled(saidIt.sentences[english] ?? ''));
        },
      ),
      { numRuns: 3000 },
    );
  });

  it('leaves names as they are, words phrases, and writes numbers with a comma', () => {
    expect(word('Mousse after eight would be ready 20 minutes late: Oven in use.')).toBe(
      'Mousse after eight sarebbe pronto con 20 minuti di ritardo: Oven già in uso.',
    );
    expect(word('Lemon curd is short for Dinner: nothing can be ready by then.')).toBe(
      'Lemon curd manca per Dinner: per allora nulla può essere pronto.',
    );
    expect(word('Hold at 8 °C or colder.')).toBe('Tenere a 8 °C o più freddo.');
    expect(word('Cool from 57 °C to 21 °C within 2 h and to 5 °C within 6 h.')).toBe(
      'Raffreddare da 57 °C a 21 °C entro 2 h e a 5 °C entro 6 h.',
    );
    expect(word('The recipe keeps for 3 days.')).toBe('La ricetta dura 3 giorni.');
    expect(word('This task is part done already by Cleo. Nothing was counted twice.')).toBe(
      'Questa preparazione è già fatta in parte da Cleo. Nulla è stato contato due volte.',
    );
    expect(word('7.5 °C is above the limit of 5 °C.')).toBe('7,5 °C è sopra il limite di 5 °C.');
  });

  it('words several sentences one after the other, also behind a name', () => {
    expect(
      word(
        'Curd: Still above 10 °C after 2 h. It was heated again: what follows belongs to a new record.',
      ),
    ).toBe(
      'Curd: Ancora sopra 10 °C dopo 2 h. È stato scaldato di nuovo: quel che segue va in una registrazione nuova.',
    );
  });

  it('has no wording for what nobody wrote one for', () => {
    expect(word('Nobody ever said this sentence of ours.')).toBeNull();
    expect(word('Lemon curd')).toBeNull();
  });
});
