/** Puts things that share a key together, keys in order of first sight. */
export function grouped<T>(all: readonly T[], keyOf: (one: T) => string): [string, T[]][] {
  const found = new Map<string, T[]>();
  for (const one of all) {
    const group = found.get(keyOf(one));
    if (group) group.push(one);
    else found.set(keyOf(one), [one]);
  }
  return [...found];
}
