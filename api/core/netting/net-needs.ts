import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** A quantity of one component that must be ready at `atMin` and still in date until `untilMin`. */
export interface DatedNeed {
  readonly id: string;
  readonly atMin: number;
  readonly untilMin: number;
  /** In the component's base unit, ≥ 0. */
  readonly quantity: number;
}

/** Stock of the same component: on hand, or due (a by-product, a batch in progress) from `availableFromMin`. */
export interface LotOnHand {
  readonly id: string;
  readonly quantity: number;
  readonly availableFromMin: number;
  /** Last minute at which it may be used. */
  readonly useByMin: number;
}

export interface LotAllocation {
  readonly needId: string;
  readonly lotId: string;
  readonly quantity: number;
}

export interface NetNeeds {
  /** In the order of use: needs by time, lots first-expiring first. */
  readonly allocations: readonly LotAllocation[];
  /** Every need, by time, with the quantity that stock does not cover (0 when covered). */
  readonly net: readonly DatedNeed[];
  /** What stays of each lot (only lots with something left), first-expiring first. */
  readonly leftovers: readonly LotOnHand[];
}

/** Quantities closer than this to zero are float dust, not food. */
export const DUST = 1e-9;

/** Order of use: earliest service first; of two at once, the one that must keep the shorter time. */
export function byTime(a: DatedNeed, b: DatedNeed): number {
  return a.atMin - b.atMin || a.untilMin - b.untilMin || compareIds(a.id, b.id);
}

/** First-expiring first; of two with one date, the one that was there first. */
export function byExpiry(a: LotOnHand, b: LotOnHand): number {
  return (
    a.useByMin - b.useByMin || a.availableFromMin - b.availableFromMin || compareIds(a.id, b.id)
  );
}

function compareIds(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/**
 * Sets dated needs against stock, first-expiring first-out, and says what must still be made.
 *
 * Needs are served in order of time; each takes, of the lots that are there by then and in date
 * until it ends, the one that expires first. This greedy rule covers as much as any allocation
 * can, for every stretch of needs from the first to the k-th as well:
 *   seen at need j, the lots there only grow with time, and of them it can use those with
 *   use-by ≥ until_j. Suppose a best allocation agrees with ours up to j and gives j a unit of lot
 *   l' where ours gives l, with use-by(l) ≤ use-by(l'). Both are there from now on, and whatever
 *   later need can use l can use l' too; so giving j the unit of l, and l' to whoever had l, covers
 *   as much. And leaving j short while a usable lot is free gains nothing: that unit can serve at
 *   most one unit of a later need instead. So a lot that can serve only an early need is never
 *   kept back, and a long-dated lot is never spent where a shorter one would do.
 * (The matching of points by dominance in two coordinates; checked in tests against every
 * allocation of small cases.)
 *
 * @returns allocations, net needs and leftovers; error `out-of-range` with a path for a negative
 *          or non-finite quantity, a need that ends before it starts, or an id used twice
 */
export function netNeeds(input: {
  readonly needs: readonly DatedNeed[];
  readonly lots: readonly LotOnHand[];
}): Result<NetNeeds> {
  const problem = firstProblem(input.needs, input.lots);
  if (problem) return err(problem);
  const lots = [...input.lots].sort(byExpiry).map((lot) => ({ lot, left: lot.quantity }));
  const allocations: LotAllocation[] = [];
  const net: DatedNeed[] = [];
  for (const need of [...input.needs].sort(byTime)) {
    let open = need.quantity;
    for (const entry of lots) {
      if (open <= DUST) break;
      const { lot } = entry;
      const usable = lot.availableFromMin <= need.atMin && lot.useByMin >= need.untilMin;
      if (!usable || entry.left <= DUST) continue;
      const quantity = Math.min(open, entry.left);
      entry.left -= quantity;
      open -= quantity;
      allocations.push({ needId: need.id, lotId: lot.id, quantity });
    }
    net.push({ ...need, quantity: open <= DUST ? 0 : open });
  }
  const leftovers = lots
    .filter(({ left }) => left > DUST)
    .map(({ lot, left }) => ({ ...lot, quantity: left }));
  return ok({ allocations, net, leftovers });
}

function firstProblem(needs: readonly DatedNeed[], lots: readonly LotOnHand[]) {
  const seen = new Set<string>();
  const amountWrong = (quantity: number): boolean => !(quantity >= 0 && Number.isFinite(quantity));
  for (const [index, need] of needs.entries()) {
    if (amountWrong(need.quantity) || !(need.untilMin >= need.atMin) || seen.has(need.id)) {
      return coreError(
        'out-of-range',
        `Need ${need.id} has an impossible amount, time or a used id.`,
        {
          path: ['needs', index],
          detail: { ...need },
        },
      );
    }
    seen.add(need.id);
  }
  const lotIds = new Set<string>();
  for (const [index, lot] of lots.entries()) {
    if (amountWrong(lot.quantity) || lotIds.has(lot.id)) {
      return coreError('out-of-range', `Lot ${lot.id} has an impossible amount or a used id.`, {
        path: ['lots', index],
        detail: { ...lot },
      });
    }
    lotIds.add(lot.id);
  }
  return undefined;
}
