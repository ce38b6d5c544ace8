import type { PlanVersion } from './plan-input.ts';

/** Whatever an item goes into, up to the dishes, and itself. */
export function takersOf(versions: readonly PlanVersion[], itemId: string): ReadonlySet<string> {
  const takers = new Set([itemId]);
  for (let size = 0; size < takers.size;) {
    size = takers.size;
    for (const { itemId: user, recipe } of versions) {
      if (recipe.lines.some((line) => takers.has(line.itemId))) takers.add(user);
    }
  }
  return takers;
}
