import { notFound, Refusal } from './refusal.ts';

/**
 * @param expected the revision the editor saw (from If-Match)
 * @throws Refusal `stale-version` when someone else saved in between; `detail.current` is what stands now
 */
export function requireRevision(expected: number, current: { readonly rev: number }): void {
  if (expected !== current.rev) {
    throw new Refusal(
      'stale-version',
      'Somebody else saved this while you were editing. Nothing of yours was saved; look at what stands now and try again.',
      { detail: { expectedRevision: expected, currentRevision: current.rev, current } },
    );
  }
}

/**
 * Why an update against revision `expected` found nothing to change: the thing is not there, or
 * somebody else saved first.
 * @throws Refusal `stale-version` in the second case
 * @returns the error to throw in the first
 */
export function lostUpdate(
  noun: string,
  id: string,
  expected: number,
  current: { readonly rev: number } | null,
): Error {
  if (!current) return notFound(noun, id);
  requireRevision(expected, current);
  return new Error(`The ${noun} ${id} could not be saved.`);
}
