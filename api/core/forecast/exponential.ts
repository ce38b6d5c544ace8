/** Steps of the table in one unit of x; a power of two, so that a step is exact. */
const STEPS = 256;
const STEP = 1 / STEPS;
const FROM = -4;
const TO = 12;
const TABLE = Float64Array.from({ length: (TO - FROM) * STEPS + 1 }, (_, i) =>
  Math.exp(FROM + i * STEP),
);

/**
 * e^x within 1e-15 of itself, for the covers that a log level stands for: learning asks for it ten
 * times a service, and `Math.exp` is a call out of the compiled loop. e^x = e^(n/256) · e^r, the
 * first from a table and the second, r at most 1/512, by its Taylor series to the fourth power (the
 * rest is below r⁵/120 < 3e-16). Beyond the table (e^−4 to e^12 covers) it is `Math.exp`.
 */
export function exponential(x: number): number {
  if (!(x > FROM && x < TO)) return Math.exp(x);
  // Above 0, so cutting off its fraction rounds it; one machine step where `Math.floor` is two.
  const n = ((x - FROM) * STEPS + 0.5) | 0;
  const r = x - (FROM + n * STEP);
  return (TABLE[n] ?? 0) * (1 + r * (1 + r * (1 / 2 + r * (1 / 6 + r * (1 / 24)))));
}
