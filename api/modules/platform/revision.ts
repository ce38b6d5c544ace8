import { Refusal } from './refusal.ts';

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
