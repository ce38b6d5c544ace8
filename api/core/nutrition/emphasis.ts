import type { AllergenCode } from '../allergens/index.ts';

/** A run of text on a label; emphasised where it names an allergen (bold, capitals, underlining). */
export interface LabelSegment {
  readonly text: string;
  readonly emphasised: boolean;
}

/** Words that name an allergen in a list of ingredients; the first is written where none is there. */
const WORDS: Readonly<Record<string, readonly string[]>> = {
  gluten: ['gluten'],
  'gluten:wheat': ['wheat'],
  'gluten:spelt': ['spelt wheat', 'spelt'],
  'gluten:khorasan': ['khorasan wheat', 'khorasan'],
  'gluten:rye': ['rye'],
  'gluten:barley': ['barley'],
  'gluten:oats': ['oats', 'oat'],
  crustaceans: ['crustaceans', 'crustacean'],
  eggs: ['egg'],
  fish: ['fish'],
  peanuts: ['peanut'],
  soybeans: ['soya', 'soybean', 'soy'],
  milk: ['milk'],
  nuts: ['nuts', 'nut'],
  'nuts:almond': ['almond'],
  'nuts:hazelnut': ['hazelnut'],
  'nuts:walnut': ['walnut'],
  'nuts:cashew': ['cashew'],
  'nuts:pecan': ['pecan'],
  'nuts:brazil': ['Brazil nut'],
  'nuts:pistachio': ['pistachio'],
  'nuts:macadamia': ['macadamia'],
  celery: ['celery', 'celeriac'],
  mustard: ['mustard'],
  sesame: ['sesame'],
  sulphites: ['sulphites', 'sulphite', 'sulphur dioxide'],
  lupin: ['lupin'],
  molluscs: ['molluscs', 'mollusc'],
};

/**
 * An ingredient's name with its allergens emphasised where the name says them, and added in
 * brackets where it does not: 'butter (MILK)', 'WHEAT flour'.
 *
 * Source: Article 21 of Regulation (EU) 1169/2011: the name of the substance as in Annex II,
 * set apart from the rest of the list.
 */
export function emphasise(name: string, codes: readonly AllergenCode[]): LabelSegment[] {
  const spans: { from: number; to: number }[] = [];
  const absent: string[] = [];
  for (const code of codes) {
    const words = WORDS[code] ?? [code.split(':')[1] ?? code];
    const span = words.map((word) => findWord(name, word)).find((found) => found !== null);
    if (span) spans.push(span);
    else absent.push(words[0] ?? code);
  }
  const segments = cut(name, spans);
  if (absent.length === 0) return segments;
  const added = [...new Set(absent)].flatMap((word, index): LabelSegment[] => [
    { text: index === 0 ? ' (' : ', ', emphasised: false },
    { text: word, emphasised: true },
  ]);
  return joinPlain([...segments, ...added, { text: ')', emphasised: false }]);
}

/** Joins neighbours that are set alike. */
export function joinPlain(segments: readonly LabelSegment[]): LabelSegment[] {
  const joined: LabelSegment[] = [];
  for (const segment of segments) {
    const last = joined.at(-1);
    if (segment.text === '') continue;
    if (last?.emphasised === segment.emphasised) {
      joined[joined.length - 1] = { ...last, text: last.text + segment.text };
    } else {
      joined.push(segment);
    }
  }
  return joined;
}

function findWord(name: string, word: string): { from: number; to: number } | null {
  const match = new RegExp(`\\b${word}(?:s|es)?\\b`, 'i').exec(name);
  return match === null ? null : { from: match.index, to: match.index + match[0].length };
}

function cut(name: string, spans: readonly { from: number; to: number }[]): LabelSegment[] {
  const segments: LabelSegment[] = [];
  let at = 0;
  for (const { from, to } of [...spans].sort((a, b) => a.from - b.from)) {
    if (to <= at) continue;
    const start = Math.max(from, at);
    segments.push({ text: name.slice(at, start), emphasised: false });
    segments.push({ text: name.slice(start, to), emphasised: true });
    at = to;
  }
  segments.push({ text: name.slice(at), emphasised: false });
  return joinPlain(segments);
}
