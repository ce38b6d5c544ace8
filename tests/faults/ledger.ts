// What the callers of a service that is killed were told. Plain data: it goes to the next process.

/** A step of an order or a task that was asked for; `told` once its answer came. */
export interface OrderPromise {
  readonly id: string;
  rev: number;
  status: string;
  number: number | null;
  lines: number;
  /** A step is under way: it may stand or not. */
  pending: boolean;
}

export interface TaskPromise {
  readonly id: string;
  /** The state its cook was told last. */
  status: string;
  /** The state that was asked for and not answered yet. */
  pending: string | null;
}

/** Something that is there whole or not at all, known by a word or number of its own. */
export interface Made {
  readonly mark: number;
  told: boolean;
}

export interface Ledger {
  readonly lots: Made[];
  readonly counts: Made[];
  readonly imports: Made[];
  readonly plans: string[];
  readonly orders: Record<string, OrderPromise>;
  readonly tasks: Record<string, TaskPromise>;
}

/** Rows of each imported file. */
export const IMPORTED_ROWS = 12;
/** The notes and names by which what was made is found again. */
export const lotNote = (mark: number): string => `found ${mark}`;
export const importedName = (mark: number, row: number): string => `Crop ${mark} of row ${row}`;

export const emptyLedger = (): Ledger => ({
  lots: [],
  counts: [],
  imports: [],
  plans: [],
  orders: {},
  tasks: {},
});
