/** Writes a query string, leaving out what is empty. @returns '' or '?…' */
export function query(parts: Readonly<Record<string, string>>): string {
  const written = Object.entries(parts)
    .filter(([, value]) => value !== '')
    .map(([name, value]) => `${name}=${encodeURIComponent(value)}`);
  return written.length === 0 ? '' : `?${written.join('&')}`;
}
