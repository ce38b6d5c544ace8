import { normalise } from './spans.ts';
import type { Span } from './spans.ts';

/** Places taken in one stretch of time, by the temperature they are held at (null: none matters). */
export type Taken = readonly { readonly temperatureC: number | null; readonly amount: number }[];

/** What a step wants of a resource. */
export interface Want {
  readonly amount: number;
  readonly temperatureC: number | null;
}

/** Whether `want` fits beside what is taken, from a given minute on. */
export type Fits = (taken: Taken, want: Want, atMin: number) => boolean;

/**
 * What is taken of one resource over time: pieces of constant use, found by halving. Fast enough for
 * a fortnight of a large kitchen because a query looks only at its window.
 */
export class Occupation {
  /** Piece i lasts from times[i] up to times[i + 1]. */
  readonly #times: number[] = [Number.NEGATIVE_INFINITY];
  readonly #taken: Taken[] = [[]];
  readonly #fits: Fits;

  /** @param changes minutes at which the room itself changes (people coming and going) */
  constructor(fits: Fits, changes: readonly number[] = []) {
    this.#fits = fits;
    for (const minute of changes) this.#cut(minute);
  }

  /** Minutes of [lo, hi] at which the want can be met for `duration` minutes on end. */
  starts(want: Want, duration: number, { lo, hi }: Span): Span[] {
    if (duration <= 0 || want.amount <= 0) return [{ lo, hi }];
    const free: Span[] = [];
    for (let i = this.#pieceAt(lo); i < this.#times.length; i += 1) {
      const from = Math.max(lo, this.#times[i] ?? 0);
      if (from > hi + duration) break;
      const to = (this.#times[i + 1] ?? Number.POSITIVE_INFINITY) - 1;
      if (this.#fits(this.#taken[i] ?? [], want, from)) free.push({ lo: from, hi: to });
    }
    return normalise(free)
      .map((span) => ({ lo: span.lo, hi: Math.min(hi, span.hi - duration + 1) }))
      .filter((span) => span.lo <= span.hi);
  }

  /** Takes the want from `lo` up to and without `hi`; a negative amount gives it back. */
  take(want: Want, lo: number, hi: number): void {
    if (hi <= lo || want.amount === 0) return;
    this.#cut(lo);
    this.#cut(hi);
    for (let i = this.#pieceAt(lo); (this.#times[i] ?? hi) < hi; i += 1) {
      this.#taken[i] = added(this.#taken[i] ?? [], want);
    }
  }

  #pieceAt(minute: number): number {
    let low = 0;
    let high = this.#times.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((this.#times[middle] ?? 0) <= minute) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  #cut(minute: number): void {
    const i = this.#pieceAt(minute);
    if (this.#times[i] === minute) return;
    this.#times.splice(i + 1, 0, minute);
    this.#taken.splice(i + 1, 0, this.#taken[i] ?? []);
  }
}

function added(taken: Taken, want: Want): Taken {
  const same = taken.some(({ temperatureC }) => temperatureC === want.temperatureC);
  if (!same) return [...taken, { temperatureC: want.temperatureC, amount: want.amount }];
  return taken.map((part) =>
    part.temperatureC === want.temperatureC ? { ...part, amount: part.amount + want.amount } : part,
  );
}
