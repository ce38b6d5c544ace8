import { Refusal } from './refusal.ts';

/** A request for one page of a list ordered by id. `after` is the last id already seen. */
export interface PageRequest {
  readonly limit: number;
  readonly after?: string;
}

/** A page; `next` is the id to ask after, absent on the last page. */
export interface Page<T> {
  readonly items: readonly T[];
  readonly next?: string;
}

/** @returns a page from one row more than asked for */
export function pageOf<T extends { readonly id: string }>(
  rowsPlusOne: readonly T[],
  limit: number,
): Page<T> {
  const items = rowsPlusOne.slice(0, limit);
  const last = items.at(-1);
  return rowsPlusOne.length > limit && last ? { items, next: last.id } : { items };
}

/** @returns the opaque cursor for an id */
export function encodeCursor(id: string): string {
  return Buffer.from(id, 'utf8').toString('base64url');
}

/** @throws Refusal `invalid-input` when the cursor was not made here */
export function decodeCursor(cursor: string): string {
  const id = Buffer.from(cursor, 'base64url').toString('utf8');
  if (!/^[\w-]{1,80}$/.test(id)) {
    throw new Refusal('invalid-input', 'This cursor is not one of ours.', {
      issues: [{ pointer: '/cursor', message: 'Use the cursor of the page before, unchanged.' }],
    });
  }
  return id;
}
