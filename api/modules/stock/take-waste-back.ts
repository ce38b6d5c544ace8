import { notFound, Refusal, type Actor, type NewId } from '../platform/index.ts';
import type { StockRepository, WasteLine } from './stock.ports.ts';

/** As a tick of a task: later than this the fridge is counted instead. */
const TAKEN_BACK_WITHIN_MS = 4 * 60 * 60_000;

/** Until when a line may be taken back; null where it no longer may, or never might. */
export function undoUntil(line: WasteLine, now: Date): Date | null {
  const until = new Date(line.at.getTime() + TAKEN_BACK_WITHIN_MS);
  return line.takenBackAt !== null || isUnsafe(line) || until < now ? null : until;
}

/** What a breach had thrown away is decided there, with its temperatures. */
const isUnsafe = ({ reason }: WasteLine): boolean => reason?.startsWith('unsafe') ?? false;

const refuse = (message: string): Refusal => new Refusal('conflict', message);

/**
 * Puts back into its lots what was written off by mistake: all of the lines or none. The site must
 * be locked.
 * @throws Refusal `not-found` for a line that is not of this site; `conflict` when one was taken back
 * already, is older than four hours, was thrown away as unsafe, or its item was counted since
 */
export async function takeWasteBack(
  stock: StockRepository,
  actor: Actor,
  siteId: string,
  lineIds: readonly string[],
  now: Date,
  newId: NewId,
): Promise<readonly WasteLine[]> {
  const lines = await stock.wasteLines(siteId, lineIds);
  const missing = lineIds.find((id) => !lines.some((line) => line.id === id));
  if (missing !== undefined) throw notFound('waste line', missing);
  for (const line of lines) {
    if (line.takenBackAt !== null) throw refuse('This was taken back already.');
    if (isUnsafe(line)) {
      throw refuse('It was thrown away because a limit was not kept: that stands.');
    }
    if (now.getTime() - line.at.getTime() > TAKEN_BACK_WITHIN_MS) {
      throw refuse('This was thrown away more than four hours ago. Count the fridge instead.');
    }
    if (await stock.countedSince(siteId, line, line.at)) {
      throw refuse('It was counted since it was thrown away: count it again instead.');
    }
    const { reason } = line;
    const moved = await stock.move(line.lotId, {
      id: newId('mov'),
      kind: 'waste-undone',
      quantity: -line.quantity,
      at: now,
      actorId: actor.id,
      reason,
      undoesId: line.id,
    });
    if (!moved) throw notFound('stock lot', line.lotId);
  }
  return lines.map((line) => ({ ...line, takenBackAt: now }));
}
