import type { VersionBody } from '../api/types.ts';

// What is lost on the way, as it is typed: what is left in percent. The service works the chain out.

type BodyLine = NonNullable<VersionBody['lines']>[number];
export type BodyLoss = NonNullable<BodyLine['yields']>[number];

/** A share as typed in percent; where the text stays as it came, the exact share goes back. */
export interface TypedShare {
  text: string;
  readonly came: { readonly text: string; readonly fraction: number } | null;
}
export interface TypedLoss {
  readonly key: number;
  kind: BodyLoss['kind'];
  left: TypedShare;
  source: string;
}
export interface HasLosses {
  losses: TypedLoss[];
}

export const LOSS_KINDS: readonly BodyLoss['kind'][] = [
  'trim',
  'peel',
  'stone',
  'cooking',
  'evaporation',
  'sieve',
  'pan-loss',
];
const PERCENT = 100;

/** @param fraction what is left of 1; null where nothing is said */
export function typedShare(fraction: number | null): TypedShare {
  if (fraction === null) return { text: '', came: null };
  const text = String(Number((fraction * PERCENT).toFixed(4)));
  return { text, came: { text, fraction } };
}

/** @param read reads a typed number */
export function shareFrom({ text, came }: TypedShare, read: (text: string) => number): number {
  if (came && came.text === text) return came.fraction;
  const percent = read(text);
  return typeof percent === 'number' ? percent / PERCENT : percent;
}

export function typedLosses(
  losses: readonly { readonly kind: string; readonly fraction: number; readonly source: string }[],
  newKey: () => number,
): TypedLoss[] {
  return losses.map(({ kind, fraction, source }) => ({
    key: newKey(),
    kind: kind as BodyLoss['kind'],
    left: typedShare(fraction),
    source,
  }));
}

/** The losses to send; a row with neither a share nor a source is left out. */
export function lossesFrom(
  losses: readonly TypedLoss[],
  read: (text: string) => number,
): BodyLoss[] {
  return losses
    .filter(({ left, source }) => left.text.trim() !== '' || source.trim() !== '')
    .map(({ kind, left, source }) => ({
      kind,
      fraction: shareFrom(left, read),
      source: source.trim(),
    }));
}
