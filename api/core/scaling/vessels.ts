import { MAX_BASE_AMOUNT, checkRange } from '../quantity/index.ts';
import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** A mould, tray or tin that a batch is portioned into. */
export interface VesselRule {
  readonly name: string;
  /** What one holds, in the recipe's yield unit. */
  readonly fillBase: number;
  /** Pieces one gives, when it gives pieces. */
  readonly pieces?: number;
  /** How many the kitchen has; absent when there are enough. */
  readonly available?: number;
}

/** Moulds or trays for one batch. */
export interface VesselCount {
  readonly name: string;
  readonly count: number;
  /** Pieces in all, counting only what the last one holds when it is not full. */
  readonly pieces?: number;
  /** How full the last one is, above 0 and at most 1. */
  readonly lastFilledFraction: number;
  /** How often the set has to be filled, when there are fewer than are needed. */
  readonly rounds: number;
}

/** A pan, mixer or oven that may hold less than a batch: by amount, or by moulds or trays. */
export type LoadRule =
  | { readonly name: string; readonly holdsBase: number }
  | { readonly name: string; readonly holdsVessels: number };

/** Loads of equal size that follow one another. */
export interface LoadGroup {
  readonly count: number;
  /** Amount of one load, in the recipe's yield unit. */
  readonly amountBase: number;
  /** Moulds or trays of one load, where the equipment holds those. */
  readonly vessels?: number;
}

/** The loads one batch needs in a piece of equipment. */
export interface LoadPlan {
  readonly name: string;
  readonly count: number;
  readonly groups: readonly LoadGroup[];
}

const SLACK = 1e-9;

/** Moulds or trays for an amount in the recipe's yield unit. Error: `out-of-range` for one that holds nothing. */
export function countVessels(amountBase: number, rule: VesselRule): Result<VesselCount> {
  const fill = checkRange(rule.fillBase, `What one ${rule.name} holds`, 0, MAX_BASE_AMOUNT, {
    above: true,
  });
  if (!fill.ok) return fill;
  const available = checkRange(rule.available ?? 1, `The number of ${rule.name}`, 1, 1e6);
  if (!available.ok) return available;
  const full = amountBase / rule.fillBase;
  const count = Math.max(1, Math.ceil(full - SLACK));
  const lastFilledFraction = Math.min(1, full - (count - 1));
  const pieces =
    rule.pieces === undefined ? {} : { pieces: Math.floor(full * rule.pieces + SLACK) };
  return ok({
    name: rule.name,
    count,
    ...pieces,
    lastFilledFraction,
    rounds: rule.available === undefined ? 1 : Math.ceil(count / rule.available),
  });
}

/**
 * The loads for a batch of `amountBase`: as few as the equipment allows, of equal size by amount
 * (they cook alike), or as even as whole moulds and trays allow.
 * @param vessels moulds or trays of the batch, where the equipment holds those
 * Error: `out-of-range` for equipment that holds nothing.
 */
export function planLoads(
  amountBase: number,
  rule: LoadRule,
  vessels?: VesselCount,
): Result<LoadPlan> {
  if ('holdsBase' in rule) {
    const holds = checkRange(rule.holdsBase, `What the ${rule.name} holds`, 0, MAX_BASE_AMOUNT, {
      above: true,
    });
    if (!holds.ok) return holds;
    const count = Math.max(1, Math.ceil(amountBase / rule.holdsBase - SLACK));
    return ok({
      name: rule.name,
      count,
      groups: [{ count, amountBase: amountBase / count }],
    });
  }
  const holds = checkRange(rule.holdsVessels, `What the ${rule.name} holds`, 1, 1e6);
  if (!holds.ok) return holds;
  const total = vessels?.count ?? 1;
  const count = Math.ceil(total / Math.floor(rule.holdsVessels));
  const small = Math.floor(total / count);
  const larger = total - small * count;
  const each = amountBase / total;
  const groups: LoadGroup[] = [];
  if (larger > 0) {
    groups.push({ count: larger, amountBase: each * (small + 1), vessels: small + 1 });
  }
  groups.push({ count: count - larger, amountBase: each * small, vessels: small });
  return ok({ name: rule.name, count, groups });
}
