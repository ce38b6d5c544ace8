import type { PlanWeight } from './weigh-plan.ts';

/** A way to share out the making of a component: who makes it, and for whom. */
export interface Place {
  /** Null: every site makes its own. */
  readonly makerSiteId: string | null;
  /** The sites it goes to, in the order given; the others make their own. */
  readonly receiverSiteIds: readonly string[];
}

/** A place with what all sites concerned cost with it, over the horizon of the plans. */
export interface WeighedPlace extends Place, PlanWeight {
  /** Trips, packing and age of what is carried, minutes. */
  readonly carryingMin: number;
  readonly totalMin: number;
  readonly trips: number;
}

/** Which place is taken, and why. */
export interface PlaceChoice<P extends WeighedPlace = WeighedPlace> {
  readonly chosen: P;
  readonly why: 'less-short' | 'less-work' | 'stands' | 'only-one';
  /** Every place that was worked out, best first. */
  readonly places: readonly P[];
}

/**
 * What another place must save before work moves from where it is made now, minutes over the horizon:
 * one getting out and cleaning down. Common practice, no source.
 */
export const WORTH_MOVING_MIN = 20;

/** Amounts short that are no difference, batches. */
const SHORT_DUST = 1e-6;

/** More receivers than this are not tried out in every combination. */
const TRY_ALL = 3;

/**
 * Chooses among places: the least short and, of those as little short, the least work. The place that
 * stands is kept while it is as little short and no other saves more than a clean-down.
 *
 * @throws Error when there is nothing to choose from
 */
export function choosePlace<P extends WeighedPlace>(
  places: readonly P[],
  standing: Place | null = null,
): PlaceChoice<P> {
  const ranked = [...places].sort(byShortThenWork);
  const [best, second] = ranked;
  if (!best) throw new Error('There is no place to choose from.');
  const now = standing && ranked.find((place) => isSamePlace(place, standing));
  if (
    now &&
    now !== best &&
    now.shortBatches <= best.shortBatches + SHORT_DUST &&
    now.totalMin <= best.totalMin + WORTH_MOVING_MIN
  ) {
    return { chosen: now, why: 'stands', places: ranked };
  }
  const why =
    second === undefined
      ? 'only-one'
      : second.shortBatches > best.shortBatches + SHORT_DUST
        ? 'less-short'
        : 'less-work';
  return { chosen: best, why, places: ranked };
}

function byShortThenWork(a: WeighedPlace, b: WeighedPlace): number {
  const short = a.shortBatches - b.shortBatches;
  return Math.abs(short) > SHORT_DUST ? short : a.totalMin - b.totalMin;
}

export function isSamePlace(a: Place, b: Place): boolean {
  return (
    a.makerSiteId === b.makerSiteId &&
    a.receiverSiteIds.length === b.receiverSiteIds.length &&
    a.receiverSiteIds.every((id) => b.receiverSiteIds.includes(id))
  );
}

/**
 * Tries out which receivers one maker makes for. Every combination of up to three; of more, all of
 * them first and then without one at a time as long as that is better, so that a combination in which
 * two must be left out at once to gain anything is missed.
 *
 * @param weigh works the plans of all sites concerned through for a combination; never called twice
 *              for one
 * @returns every combination that was worked out, in that order
 */
export async function tryReceivers<P extends WeighedPlace>(
  receiverSiteIds: readonly string[],
  weigh: (receivers: readonly string[]) => Promise<P>,
): Promise<readonly P[]> {
  const tried: P[] = [];
  if (receiverSiteIds.length <= TRY_ALL) {
    for (let mask = 1; mask < 2 ** receiverSiteIds.length; mask += 1) {
      tried.push(await weigh(receiverSiteIds.filter((_, i) => (mask & (2 ** i)) !== 0)));
    }
    return tried;
  }
  let best = await weigh(receiverSiteIds);
  tried.push(best);
  for (let better = true; better && best.receiverSiteIds.length > 1;) {
    better = false;
    const without: P[] = [];
    for (const left of best.receiverSiteIds) {
      without.push(await weigh(best.receiverSiteIds.filter((id) => id !== left)));
    }
    tried.push(...without);
    for (const place of without) {
      if (byShortThenWork(place, best) < 0) {
        best = place;
        better = true;
      }
    }
  }
  return tried;
}
