import { monotonicFactory } from 'ulid';
import type { NewId } from '../modules/platform/index.ts';

/** @returns a maker of prefixed, time-sortable ids (ULID) */
export function createNewId(): NewId {
  const next = monotonicFactory();
  return (prefix) => `${prefix}_${next()}`;
}
