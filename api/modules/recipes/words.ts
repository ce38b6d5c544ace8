import type { YieldKind, YieldStep } from '../../core/yields/index.ts';
import type { LineFreedom, StepFreedom } from './recipes.ports.ts';

const MIN_PER_HOUR = 60;
const MIN_PER_DAY = 1440;

/** Minutes as a cook says them: '45 min', '1 h 30 min', '3 days'. */
export function inDuration(minutes: number): string {
  const days = Math.floor(minutes / MIN_PER_DAY);
  const hours = Math.floor((minutes % MIN_PER_DAY) / MIN_PER_HOUR);
  const rest = minutes % MIN_PER_HOUR;
  const parts = [
    days > 0 ? `${days} ${days === 1 ? 'day' : 'days'}` : '',
    hours > 0 ? `${hours} h` : '',
    rest > 0 ? `${rest} min` : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'no time' : parts.join(' ');
}

/** A fraction as a percentage with at most one decimal: '8 %', '12.5 %'. */
export function inPercent(fraction: number): string {
  return `${Math.round(fraction * 1000) / 10} %`;
}

const LOSSES: Readonly<Record<YieldKind, string>> = {
  trim: 'trimming',
  peel: 'peeling',
  stone: 'stoning',
  cooking: 'cooking',
  evaporation: 'boiling down',
  sieve: 'the sieve',
  'pan-loss': 'what stays in the pan',
};

/** A chain of losses as a cook says it: '92 % left after boiling down, then 98 % after the sieve'. */
export function lossWords(yields: readonly YieldStep[]): string {
  if (yields.length === 0) return 'no loss stated';
  return yields
    .map(
      ({ kind, fraction }, i) =>
        `${inPercent(fraction)} ${i === 0 ? 'left ' : ''}after ${LOSSES[kind]}`,
    )
    .join(', then ');
}

type Freedom = LineFreedom | StepFreedom;
const FREEDOMS: Readonly<Record<Freedom, string>> = {
  ingredient: 'use a local ingredient here',
  yield: 'state its own yield',
  temperature: 'set its own temperature',
  time: 'set its own times',
};

/** What sites may do that they might not before, and the other way round. */
export function freedomWords(before: readonly Freedom[], now: readonly Freedom[]): string[] {
  return [
    ...now.filter((f) => !before.includes(f)).map((f) => `a site may now ${FREEDOMS[f]}.`),
    ...before.filter((f) => !now.includes(f)).map((f) => `a site may no longer ${FREEDOMS[f]}.`),
  ];
}
