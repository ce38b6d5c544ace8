import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { NeededBy } from './plan-output.ts';

/** A dated need of one item while the plan is being worked out. */
export interface OpenNeed {
  readonly id: string;
  readonly itemId: string;
  readonly atMin: EpochMin;
  readonly untilMin: EpochMin;
  /** The service date that decides which recipe version holds. */
  readonly serviceDate: ServiceDate;
  readonly quantity: number;
  /** The part of the quantity that booked covers alone need, 0 to 1. */
  readonly certainFraction: number;
  /** The explained quantity. */
  readonly node: string;
  readonly neededBy: NeededBy;
}

/** Needs by item, filled from dishes downward. */
export class OpenNeeds {
  readonly #byItem = new Map<string, OpenNeed[]>();

  add(need: OpenNeed): void {
    const list = this.#byItem.get(need.itemId) ?? [];
    if (list.length === 0) this.#byItem.set(need.itemId, list);
    list.push(need);
  }

  of(itemId: string): readonly OpenNeed[] {
    return this.#byItem.get(itemId) ?? [];
  }
}

/** The certain part of several needs together, weighted by quantity. */
export function certainFractionOf(
  parts: readonly { readonly quantity: number; readonly certainFraction: number }[],
): number {
  const total = parts.reduce((sum, part) => sum + part.quantity, 0);
  if (total <= 0) return 0;
  return parts.reduce((sum, part) => sum + part.quantity * part.certainFraction, 0) / total;
}
