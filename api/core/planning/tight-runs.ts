import type { Blocked } from '../schedule/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import type { PlacedRuns } from './place-runs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { Shortage, TightRun } from './plan-output.ts';

/** Says which runs of a component people or equipment leave no room for in time, or on their day. */
export function tightRuns(
  item: Item,
  { placed, homeless }: PlacedRuns,
  draft: PlanDraft,
): readonly TightRun[] {
  const late = [...placed.values()].flatMap((run): TightRun[] => {
    const base = { itemId: item.id, slotId: run.id, dueMin: run.dueMin };
    if (run.blocked) {
      return [
        {
          ...base,
          kind: 'late',
          lateMin: run.lateMin,
          ...lackOf(run.blocked),
          message: `${item.name} would be ready ${run.lateMin} minutes late: ${lackWords(run.blocked, draft)}.`,
        },
      ];
    }
    if (run.date >= run.wishedDate || !run.moved) return [];
    return [
      {
        ...base,
        kind: 'earlier-day',
        lateMin: 0,
        ...lackOf(run.moved),
        message: `${item.name} is begun on ${run.date} instead of ${run.wishedDate}: ${lackWords(run.moved, draft)}.`,
      },
    ];
  });
  const none = homeless.map(({ slot, blocked }): TightRun => ({
    itemId: item.id,
    slotId: slot.id,
    dueMin: slot.readyMin,
    kind: 'no-time',
    lateMin: 0,
    ...lackOf(blocked),
    message: `${item.name} finds no time at all: ${lackWords(blocked, draft)}.`,
  }));
  return [...late, ...none];
}

function lackOf({ by, kind }: Blocked): Pick<TightRun, 'by' | 'equipmentKind'> {
  return { by, ...(kind === undefined ? {} : { equipmentKind: kind }) };
}

/** What there is not enough of, in a chef's words. */
export function lackWords(blocked: Blocked, draft: PlanDraft): string {
  if (blocked.by === 'hands') return 'not enough people on shift';
  if (blocked.by === 'hours') return 'not enough time inside working hours';
  return `${draft.kinds.get(blocked.kind ?? '')?.name ?? blocked.kind ?? 'equipment'} in use`;
}

/** Why a need goes short when the runs that could serve it found no room. */
export function blockedReason(
  name: string,
  neededBy: string,
  { blocks }: PlacedRuns,
  draft: PlanDraft,
): Pick<Shortage, 'reason' | 'message' | 'equipmentKind'> | undefined {
  const block = blocks.find(({ by }) => by !== 'hours');
  const waits = blocks.find(({ waitMaxMin }) => waitMaxMin !== undefined)?.waitMaxMin;
  if (!block && waits !== undefined) {
    // Tenths of an hour, never more than there is: it is a limit.
    const hours = Math.floor(waits / 6) / 10;
    return {
      reason: 'shelf-life-too-short',
      message: `${name} may wait at most ${hours} hours once it is done, and would be done too long before ${neededBy}.`,
    };
  }
  if (!block) return undefined;
  return {
    reason: block.by === 'hands' ? 'no-hands' : 'equipment-full',
    message: `${name} cannot be ready in time for ${neededBy}: ${lackWords(block, draft)}.`,
    ...(block.kind === undefined ? {} : { equipmentKind: block.kind }),
  };
}
