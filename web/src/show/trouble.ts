import { NoAnswer, Problem } from '../api/client.ts';
import { words } from '../texts/index.svelte.ts';
import { withDates } from './time.ts';

/** Where a refusal of a field begins: the service names it by its place in what was sent. */
const PLACE = /^\/[\w/]*: /;

/**
 * Why something was not done, in words: those of the service, with its dates made readable.
 * @param fields how the page calls the fields that the service may find wrong
 */
export function troubleWords(
  error: unknown,
  fields: Readonly<Record<string, string | undefined>> = {},
): string {
  if (error instanceof NoAnswer) return words.t.noAnswer;
  const said = withDates((error as Error).message).replace(PLACE, '');
  const [, field = ''] = error instanceof Problem ? error.pointer.split('/') : [];
  const name = fields[field];
  return name === undefined ? said : `${name}: ${said}`;
}
