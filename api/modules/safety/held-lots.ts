import type { Actor, NewId } from '../platform/index.ts';
import type { SafetyWork } from './safety.ports.ts';

interface LotState {
  readonly id: string;
  readonly held: boolean;
}

/** As much of a reason as stands on a lot. */
const REASON_LENGTH = 200;

/** Holds lots back that are not held yet. */
export async function holdLots(
  { stock }: Pick<SafetyWork, 'stock'>,
  newId: NewId,
  actor: Actor,
  lots: readonly LotState[],
  reason: string,
  now: Date,
): Promise<void> {
  const short = reason.slice(0, REASON_LENGTH);
  for (const lot of lots.filter(({ held }) => !held)) {
    await stock.setHeld(lot.id, short, {
      id: newId('mov'),
      kind: 'held',
      quantity: 0,
      at: now,
      actorId: actor.id,
      reason: short,
    });
  }
}

/** Writes off whatever is left of the lots. */
export async function throwAwayLots(
  { stock }: Pick<SafetyWork, 'stock'>,
  newId: NewId,
  actor: Actor,
  lots: readonly LotState[],
  reason: string,
  now: Date,
): Promise<void> {
  for (const { id } of lots) {
    const lot = await stock.findLot(id);
    if (!lot || lot.quantity <= 0) continue;
    await stock.move(id, {
      id: newId('mov'),
      kind: 'wasted',
      quantity: -lot.quantity,
      at: now,
      actorId: actor.id,
      reason: `unsafe: ${reason}`.slice(0, REASON_LENGTH),
    });
  }
}
