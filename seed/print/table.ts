/** Sets rows as a table of plain text, columns as wide as their widest cell. */
export function table(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  rightAligned: readonly number[] = [],
): string {
  const widths = heads.map((head, i) =>
    Math.max(head.length, ...rows.map((row) => (row[i] ?? '').length)),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) =>
        rightAligned.includes(i) ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0),
      )
      .join('  ')
      .trimEnd();
  const rule = widths.map((width) => '-'.repeat(width)).join('  ');
  return [line(heads), rule, ...rows.map(line)].join('\n');
}
