import { NoAnswer, Problem } from '../api/client.ts';
import { words } from '../texts/index.svelte.ts';

/**
 * Why something was not done, in words: as the service says it.
 * @param fields how the page calls the fields that the service may find wrong
 */
export function troubleWords(
  error: unknown,
  fields: Readonly<Record<string, string | undefined>> = {},
): string {
  if (error instanceof NoAnswer) return words.t.noAnswer;
  const said = (error as Error).message;
  const [, field = ''] = error instanceof Problem ? error.pointer.split('/') : [];
  const name = fields[field];
  return name === undefined ? said : `${name}: ${said}`;
}
