/**
 * The headings of a file of comma- or semicolon-separated values, for choosing among them. What the
 * file says is read by the service alone.
 */
export function headingsOf(text: string): readonly string[] {
  const [line = ''] = text.replace(/^\uFEFF/, '').split(/\r?\n/, 1);
  const mark = line.split(';').length > line.split(',').length ? ';' : ',';
  const cells = line.match(new RegExp(`("(?:[^"]|"")*"|[^${mark}]*)(?:${mark}|$)`, 'g')) ?? [];
  const headings = cells.map((cell) =>
    cell
      .replace(new RegExp(`${mark}$`), '')
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .replaceAll('""', '"')
      .trim(),
  );
  return [...new Set(headings.filter((heading) => heading !== ''))];
}
