import { outbox, put, takeBack, whenSent, type Waiting } from '../offline/outbox.svelte.ts';

// What was thrown away can be taken back: unsent it never leaves, sent the service puts it back.

interface WasteMade {
  readonly lots: readonly { readonly lineId: string }[];
}

/** The lines that the service made of what was sent, by the key it was sent under. */
const linesOf = new Map<string, readonly string[]>();

whenSent(({ key, about, path }, answer) => {
  if (about.kind !== 'waste' || path.endsWith('/undo') || answer === null) return;
  linesOf.set(
    key,
    (answer as WasteMade).lots.map(({ lineId }) => lineId),
  );
});

/** Has lines of the waste record put back into their lots. */
export async function putBack(
  siteId: string,
  lineIds: readonly string[],
  name: string,
): Promise<Waiting> {
  const about = { kind: 'waste', siteId, lotId: '', name } as const;
  return put(`/v1/sites/${siteId}/waste/undo`, { lineIds }, about);
}

/**
 * Takes back what this page threw away.
 * @returns false when it is just being sent, or its answer was lost: the record of waste has it then
 */
export async function takeWasteBack(waiting: Waiting): Promise<boolean> {
  if (await takeBack(waiting)) return true;
  const lines = linesOf.get(waiting.key);
  if (lines === undefined || waiting.about.kind !== 'waste') return false;
  await putBack(waiting.about.siteId, lines, waiting.about.name);
  return true;
}

/** Whether a lot waits to be written off. */
export const waitsToGo = (lotId: string): boolean =>
  outbox.waiting.some(({ about }) => about.kind === 'waste' && about.lotId === lotId);
