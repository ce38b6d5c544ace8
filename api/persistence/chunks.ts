/** Cuts a long list into pieces, so that one insert stays under the database's parameter limit. */
export function* inChunks<T>(items: readonly T[], size: number): Generator<readonly T[]> {
  for (let i = 0; i < items.length; i += size) yield items.slice(i, i + size);
}
