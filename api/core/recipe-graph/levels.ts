/** A topological order and the longest path to each position from a start. */
export interface Levels {
  readonly order: readonly number[];
  readonly levelOf: readonly number[];
}

/**
 * Orders positions so that each stands before those below it, and gives each the length of the
 * longest path down to it. Level by level (Kahn), no recursion.
 *
 * @param below  for each position, the positions below it; repeats allowed
 * @returns undefined where there is a cycle
 */
export function longestPathLevels(below: readonly (readonly number[])[]): Levels | undefined {
  const waiting = new Int32Array(below.length);
  for (const targets of below) for (const t of targets) waiting[t] = (waiting[t] ?? 0) + 1;
  const order: number[] = [];
  for (let i = 0; i < below.length; i += 1) if (waiting[i] === 0) order.push(i);
  const levelOf: number[] = below.map(() => 0);
  // `order` grows while it is walked: whatever has nothing above it left joins the end.
  for (let next = 0; next < order.length; next += 1) {
    const at = order[next] ?? 0;
    const level = (levelOf[at] ?? 0) + 1;
    for (const target of below[at] ?? []) {
      if ((levelOf[target] ?? 0) < level) levelOf[target] = level;
      const left = (waiting[target] ?? 0) - 1;
      waiting[target] = left;
      if (left === 0) order.push(target);
    }
  }
  if (order.length < below.length) return undefined;
  // Sorted by level, so that whole levels can be stepped through; stable within a level.
  order.sort((a, b) => (levelOf[a] ?? 0) - (levelOf[b] ?? 0));
  return { order, levelOf };
}

/**
 * One cycle as positions, the first repeated at the end; empty where there is none.
 * Depth-first with its own stack.
 */
export function findCycle(below: readonly (readonly number[])[]): number[] {
  const state = new Uint8Array(below.length); // 0 new, 1 on the path, 2 done
  for (let start = 0; start < below.length; start += 1) {
    if (state[start] !== 0) continue;
    const path: number[] = [start];
    const next: number[] = [0];
    state[start] = 1;
    while (path.length > 0) {
      const at = path[path.length - 1] ?? 0;
      const step = next[next.length - 1] ?? 0;
      const target = below[at]?.[step];
      if (target === undefined) {
        state[at] = 2;
        path.pop();
        next.pop();
        continue;
      }
      next[next.length - 1] = step + 1;
      if (state[target] === 1) return [...path.slice(path.indexOf(target)), target];
      if (state[target] === 0) {
        state[target] = 1;
        path.push(target);
        next.push(0);
      }
    }
  }
  return [];
}
