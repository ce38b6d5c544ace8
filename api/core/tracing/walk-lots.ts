/** Something of one lot went into another: a making, or a move between sites. */
export interface LotLink {
  readonly fromLotId: string;
  readonly toLotId: string;
  /** What was taken of the first, in its base unit. */
  readonly quantity: number;
  /** The task that made the second; null for a move. */
  readonly taskId: string | null;
}

/** Lots reached from a start, with how many makings lie between. */
export interface Walk {
  /** By lot id; the start is 0. */
  readonly steps: ReadonlyMap<string, number>;
  readonly links: readonly LotLink[];
}

/** Deeper than any recipe goes: a record that runs in circles still ends. */
const MOST_STEPS = 40;

/**
 * Walks from a lot to everything it went into (`forward`) or came from (`back`), breadth first; each
 * lot is visited once, so that links that run in a circle do no harm.
 * @param linksOf the links that leave a set of lots in the direction of the walk
 */
export async function walkLots(
  startLotId: string,
  direction: 'forward' | 'back',
  linksOf: (lotIds: readonly string[]) => Promise<readonly LotLink[]>,
): Promise<Walk> {
  const steps = new Map([[startLotId, 0]]);
  const links = new Map<string, LotLink>();
  let front: readonly string[] = [startLotId];
  for (let step = 1; front.length > 0 && step <= MOST_STEPS; step += 1) {
    const next: string[] = [];
    for (const link of await linksOf(front)) {
      links.set(`${link.fromLotId} ${link.toLotId} ${link.taskId ?? ''}`, link);
      const reached = direction === 'forward' ? link.toLotId : link.fromLotId;
      if (steps.has(reached)) continue;
      steps.set(reached, step);
      next.push(reached);
    }
    front = next;
  }
  return { steps, links: [...links.values()] };
}
