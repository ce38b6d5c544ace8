import { en, type Texts } from './en.ts';
import { it } from './it.ts';

// One file per language; every language has every text (the type says so).

export type { Texts };
const LANGUAGES = { en, it } as const;
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

const language = first();
export const words = $state({ language, t: LANGUAGES[language] as Texts });
document.documentElement.lang = language;

export function speak(next: Language): void {
  localStorage.setItem(KEPT_AS, next);
  words.language = next;
  words.t = LANGUAGES[next];
  document.documentElement.lang = next;
}

/** The person's own way of writing numbers and dates, in the language of the page. */
export function locale(): string {
  return navigator.language.startsWith(words.language)
    ? navigator.language
    : DEFAULT_LOCALE[words.language];
}
