import { words } from '../texts/index.svelte.ts';
import { withDates } from './time.ts';

/** A sentence of the service in the language of the page, its dates made readable. */
export const said = (text: string): string => withDates(words.wording?.(text) ?? text);

/** The language a sentence of the service is shown in, where that is not the page's. */
export const saidIn = (text: string): 'en' | undefined =>
  words.language === 'en' || (words.wording?.(text) ?? null) !== null ? undefined : 'en';
