import { get } from './client.ts';
import { query } from './query.ts';

interface ListPage<T> {
  readonly items: readonly T[];
  readonly nextCursor?: string | undefined;
}

/**
 * Reads a list of the service to its end.
 * @throws Problem when refused; NoAnswer when nothing answers
 */
export async function wholeList<T>(
  path: string,
  wanted: Readonly<Record<string, string>> = {},
): Promise<T[]> {
  const found: T[] = [];
  let cursor = '';
  do {
    const page = await get<ListPage<T>>(`${path}${query({ limit: '200', ...wanted, cursor })}`);
    found.push(...page.items);
    cursor = page.nextCursor ?? '';
  } while (cursor !== '');
  return found;
}
