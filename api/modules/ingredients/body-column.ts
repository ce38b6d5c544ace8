import type { CellValue } from '../platform/index.ts';

export type Body = Record<string, unknown>;

/** Sets one column's meaning in a body; returns what is wrong with the cell, if anything. */
export interface Column {
  readonly set: (body: Body, cell: string) => string | undefined;
  /** Pointers of the body that this column answers for. */
  readonly pointer: string;
}

/** Takes a cell's value, or says what is wrong with it. */
export function put<T>(cell: CellValue<T>, take: (value: T) => void): string | undefined {
  if ('message' in cell) return cell.message;
  take(cell.value);
  return undefined;
}

/** A member that is an object or null. */
export const part = (body: Body, name: string): Body | null => (body[name] ?? null) as Body | null;

/** Merges into a member that is an object or null. */
export function merge(body: Body, name: string, more: Body): void {
  body[name] = { ...part(body, name), ...more };
}
