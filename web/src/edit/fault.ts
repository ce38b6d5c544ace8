import type { Problem } from '../api/client.ts';
import type { SentRows } from './draft.ts';

/** What the service finds wrong with a draft, at the row and field that a person typed it in. */
export interface Fault {
  readonly list: keyof SentRows | null;
  /** Key of the row. */
  readonly key: number | null;
  /** Field of the row, or of the draft. */
  readonly field: string;
  readonly message: string;
  /** Character from 0, where an amount cannot be read. */
  readonly position: number | null;
}

/** @param rows the rows the body was made of, in its order */
export function faultFrom(problem: Problem, rows: SentRows): Fault {
  const [list = '', index = '', field = ''] = problem.pointer
    .replace(/^\/body/, '')
    .split('/')
    .slice(1);
  const { position } = problem.context;
  const common = {
    message: problem.message,
    position: typeof position === 'number' ? position : null,
  };
  if (list === 'lines' || list === 'steps' || list === 'byProducts') {
    return { list, key: rows[list][Number(index)] ?? null, field, ...common };
  }
  return { list: null, key: null, field: list, ...common };
}
