import { z } from 'zod';
import {
  decodeCursor,
  encodeCursor,
  type Page,
  type PageRequest,
} from '../modules/platform/index.ts';

/** Query of every list: at most 200 rows a page, then follow `nextCursor`. */
export const PageQuery = z.object({
  limit: z.coerce.number().int().min(1).max(200).default(50).meta({ description: 'Rows a page.' }),
  cursor: z
    .string()
    .max(200)
    .optional()
    .meta({ description: '`nextCursor` of the page before; the first page without it.' }),
});

/** @returns the page request of a parsed query */
export function pageRequest(query: z.infer<typeof PageQuery>): PageRequest {
  return query.cursor === undefined
    ? { limit: query.limit }
    : { limit: query.limit, after: decodeCursor(query.cursor) };
}

/** Schema of a page of `item`, registered under `<id>Page`. */
export function pageSchema<T extends z.ZodType>(item: T, id: string) {
  return z
    .object({ items: z.array(item), nextCursor: z.string().optional() })
    .meta({ id: `${id}Page` });
}

/** Maps a service's page to the wire. */
export function toPageBody<T, U>(page: Page<T>, map: (item: T) => U) {
  return {
    items: page.items.map(map),
    ...(page.next === undefined ? {} : { nextCursor: encodeCursor(page.next) }),
  };
}
