/** Days of a mean Gregorian year. */
const YEAR_DAYS = 365.2425;

export type Waves = readonly [number, number, number, number];

const cache = new Map<number, Waves>();

/**
 * Two harmonics of the year on a day number: cos and sin of one and of two turns a year, counted
 * from 1970-01-01. A leap day is a day like any other on this circle. Pure; answers are kept so
 * that a year is computed once.
 */
export function seasonWaves(day: number): Waves {
  const kept = cache.get(day);
  if (kept !== undefined) return kept;
  const angle = (2 * Math.PI * day) / YEAR_DAYS;
  const waves: Waves = [Math.cos(angle), Math.sin(angle), Math.cos(2 * angle), Math.sin(2 * angle)];
  if (cache.size > 20_000) cache.clear();
  cache.set(day, waves);
  return waves;
}
