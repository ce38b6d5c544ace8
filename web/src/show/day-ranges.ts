import { shiftDate, shortDay } from './time.ts';

/** Days in order as stretches: 'Thu 12 Mar, Sat 14 Mar – Mon 16 Mar'. */
export function dayRanges(dates: readonly string[]): string {
  const stretches: [string, string][] = [];
  for (const date of [...dates].sort()) {
    const last = stretches.at(-1);
    if (last && shiftDate(last[1], 1) === date) last[1] = date;
    else stretches.push([date, date]);
  }
  return stretches
    .map(([first, last]) =>
      first === last ? shortDay(first) : `${shortDay(first)} – ${shortDay(last)}`,
    )
    .join(', ');
}
