/**
 * Sets of whole minutes, kept as ascending, disjoint, non-touching spans with BOTH ends included.
 * The schedule is exact because every set of possible start times is carried whole, never sampled.
 */
export interface Span {
  readonly lo: number;
  readonly hi: number;
}

export type Spans = readonly Span[];

export const EVERY_MINUTE: Spans = [{ lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY }];

/** Sorts, drops empty spans and joins those that overlap or follow one another by a minute. */
export function normalise(spans: readonly Span[]): Span[] {
  const sorted = spans.filter((span) => span.lo <= span.hi).sort((a, b) => a.lo - b.lo);
  const joined: Span[] = [];
  for (const span of sorted) {
    const last = joined.at(-1);
    if (last && span.lo <= last.hi + 1) {
      joined[joined.length - 1] = { lo: last.lo, hi: Math.max(last.hi, span.hi) };
    } else joined.push(span);
  }
  return joined;
}

/** Minutes in both sets. */
export function intersect(a: Spans, b: Spans): Span[] {
  const out: Span[] = [];
  let i = 0;
  let j = 0;
  while (true) {
    const x = a[i];
    const y = b[j];
    if (!x || !y) return out;
    const lo = Math.max(x.lo, y.lo);
    const hi = Math.min(x.hi, y.hi);
    if (lo <= hi) out.push({ lo, hi });
    if (x.hi < y.hi) i += 1;
    else j += 1;
  }
}

/** The set moved by `by` minutes. */
export function shift(a: Spans, by: number): Span[] {
  return a.map((span) => ({ lo: span.lo + by, hi: span.hi + by }));
}

/** The latest minute of the set; undefined when empty. */
export function latest(a: Spans): number | undefined {
  return a.at(-1)?.hi;
}

/** The earliest minute of the set; undefined when empty. */
export function earliest(a: Spans): number | undefined {
  return a[0]?.lo;
}
