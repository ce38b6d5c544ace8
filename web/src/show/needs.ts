import type { NeededFor } from '../api/types.ts';
import { dayWord } from './time.ts';

export interface Taker {
  readonly name: string;
  readonly when: readonly string[];
}

/** Who needs it: each dish or component once, with the services or days. */
export function takers(needs: readonly NeededFor[], today: string): Taker[] {
  const found = new Map<string, string[]>();
  for (const need of needs) {
    const { name, when } = split(need, today);
    const times = found.get(name) ?? [];
    if (!times.includes(when)) times.push(when);
    found.set(name, times);
  }
  return [...found].map(([name, when]) => ({ name, when }));
}

/** A need for a service is labelled 'dish, service'; one for a batch 'component, date'. */
function split(need: NeededFor, today: string): { name: string; when: string } {
  const comma = need.label.lastIndexOf(', ');
  const day = dayWord(need.serviceDate, today);
  if (comma < 0) return { name: need.label, when: day };
  const name = need.label.slice(0, comma);
  return need.kind === 'service'
    ? { name, when: `${need.label.slice(comma + 2)} ${day}` }
    : { name, when: day };
}

/** 'Lemon tart, 2026-03-10' said as 'Lemon tart'. */
export function withoutDate(label: string): string {
  return label.replace(/, \d{4}-\d{2}-\d{2}$/, '');
}
