import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { Item } from '../recipe-graph/index.ts';
import type { PlanVersion } from './plan-input.ts';

/**
 * Items so that whatever draws an item stands before it, over every version in the plan's window
 * at once (two versions of one recipe may be in force on different dates of it). A by-product
 * stands below the recipe that gives it.
 *
 * @param urgent items to take before others wherever that keeps the order
 * @returns item ids; error `recipe-cycle` where versions of different dates contain each other
 * Source: topological order by counting users (Kahn 1962, CACM 5(11): 558–562).
 */
export function itemOrder(
  items: readonly Item[],
  versions: readonly PlanVersion[],
  urgent: ReadonlySet<string> = new Set(),
): Result<readonly string[]> {
  const below = new Map<string, Set<string>>(items.map((item) => [item.id, new Set()]));
  for (const { itemId, recipe } of versions) {
    const children = below.get(itemId);
    for (const line of recipe.lines) children?.add(line.itemId);
    for (const output of recipe.outputs) {
      if (output.main) continue;
      children?.add(output.itemId);
      if (output.mayStartBatch !== true) continue;
      // Batches started for its sake draw the recipe's lines: those stand below it in turn.
      for (const line of recipe.lines) below.get(output.itemId)?.add(line.itemId);
    }
  }
  const users = new Map<string, number>(items.map((item) => [item.id, 0]));
  for (const children of below.values()) {
    for (const child of children) users.set(child, (users.get(child) ?? 0) + 1);
  }
  const ready = items.filter((item) => users.get(item.id) === 0).map((item) => item.id);
  const order: string[] = [];
  const next = (): string | undefined => {
    const first = ready.findLastIndex((id) => urgent.has(id));
    return first === -1 ? ready.pop() : ready.splice(first, 1)[0];
  };
  for (let id = next(); id !== undefined; id = next()) {
    order.push(id);
    for (const child of below.get(id) ?? []) {
      const left = (users.get(child) ?? 0) - 1;
      users.set(child, left);
      if (left === 0) ready.push(child);
    }
  }
  if (order.length === items.length) return ok(order);
  const stuck = items.filter((item) => (users.get(item.id) ?? 0) > 0).map((item) => item.name);
  return err(
    coreError(
      'recipe-cycle',
      `Recipes of different dates contain each other: ${stuck.join(', ')}.`,
      {
        detail: { names: stuck },
      },
    ),
  );
}

/** The version of each recipe in force on a service date: the last one that has begun. */
export class VersionsByDate {
  readonly #byItem = new Map<string, PlanVersion[]>();

  constructor(versions: readonly PlanVersion[]) {
    for (const version of versions) {
      const list = this.#byItem.get(version.itemId) ?? [];
      if (list.length === 0) this.#byItem.set(version.itemId, list);
      list.push(version);
    }
    for (const list of this.#byItem.values()) {
      list.sort((a, b) =>
        a.firstServiceDate === b.firstServiceDate
          ? a.versionNumber - b.versionNumber
          : a.firstServiceDate < b.firstServiceDate
            ? -1
            : 1,
      );
    }
  }

  on(itemId: string, serviceDate: string): PlanVersion | undefined {
    return this.#byItem.get(itemId)?.findLast((v) => v.firstServiceDate <= serviceDate);
  }

  has(itemId: string): boolean {
    return this.#byItem.has(itemId);
  }
}
