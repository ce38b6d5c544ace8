import type { Texts } from './en.ts';
import { wordingBy, type Wording } from '../show/wording.ts';

// One file per language; every language has every text (the type says so). A device fetches the
// language it shows; the service worker keeps the others for when it is changed without a network.

export type { Texts };
const LANGUAGES = {
  en: () => import('./en.ts').then((file): Texts => file.en),
  it: () => import('./it.ts').then((file): Texts => file.it),
} as const;
/** What the service says is English as it stands; other languages word it by a catalogue. */
const SAID: Readonly<Record<keyof typeof LANGUAGES, () => Promise<Wording | null>>> = {
  en: async () => null,
  it: () => import('./said/it.ts').then(({ saidIt }) => wordingBy(saidIt, ',')),
};
export type Language = keyof typeof LANGUAGES;
export const languages: readonly { id: Language; name: string }[] = [
  { id: 'en', name: 'English' },
  { id: 'it', name: 'Italiano' },
];
const DEFAULT_LOCALE: Readonly<Record<Language, string>> = { en: 'en-GB', it: 'it-IT' };
const KEPT_AS = 'tamis-language';

function first(): Language {
  const chosen = localStorage.getItem(KEPT_AS);
  if (chosen === 'en' || chosen === 'it') return chosen;
  return navigator.language.startsWith('it') ? 'it' : 'en';
}

/** The language shown and its texts; there once `speakFirst` is through, before any screen. */
export const words = $state({ language: first(), t: {} as Texts, wording: null as Wording | null });

async function use(language: Language): Promise<void> {
  const [texts, wording] = await Promise.all([LANGUAGES[language](), SAID[language]()]);
  words.t = texts;
  words.wording = wording;
  words.language = language;
  document.documentElement.lang = language;
}

/** Fetches the texts of the device's language. */
export const speakFirst = (): Promise<void> => use(words.language);

/** Changes the language; it stays as it was when the texts cannot be had. */
export async function speak(next: Language): Promise<void> {
  await use(next);
  localStorage.setItem(KEPT_AS, next);
}

/** The person's own way of writing numbers and dates, in the language of the page. */
export function locale(): string {
  return navigator.language.startsWith(words.language)
    ? navigator.language
    : DEFAULT_LOCALE[words.language];
}
