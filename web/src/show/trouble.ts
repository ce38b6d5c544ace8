import { NoAnswer } from '../api/client.ts';
import { words } from '../texts/index.svelte.ts';
import { withDates } from './time.ts';

/** Why something was not done, in words: those of the service, with its dates made readable. */
export function troubleWords(error: unknown): string {
  return error instanceof NoAnswer ? words.t.noAnswer : withDates((error as Error).message);
}
