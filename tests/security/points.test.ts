import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { POINTS } from './points.ts';

const TESTS = path.join(import.meta.dirname, '..');

/** Titles of a test file, as they are written there. */
function titlesIn(file: string): readonly string[] {
  const text = readFileSync(path.join(TESTS, file), 'utf8');
  const calls =
    /\bit(?:\.[a-zA-Z]+(?:\([^()]*(?:\([^()]*\)[^()]*)*\))?)*\(\s*(['"`])((?:\\.|(?!\1).)*)\1/g;
  return [...text.matchAll(calls)].map(([, , title]) => title ?? '');
}

describe('the points of the published lists', () => {
  it('are each held by tests that are there, or have a reason', () => {
    const missing = POINTS.flatMap(({ point, tests, reason }) => [
      ...(tests.length === 0 && (reason ?? '').length < 40
        ? [`${point}: neither test nor reason`]
        : []),
      ...tests
        .filter(
          ([file, title]) => !existsSync(path.join(TESTS, file)) || !titlesIn(file).includes(title),
        )
        .map(([file, title]) => `${point}: ${file} has no test '${title}'`),
    ]);
    expect(missing).toEqual([]);
  });

  it('hold all ten of the API list, and nothing twice', () => {
    const names = POINTS.map(({ point }) => point);
    expect(new Set(names).size).toBe(names.length);
    const ten = names.filter((name) => name.startsWith('API')).map((name) => name.split(':')[0]);
    expect(ten).toEqual(Array.from({ length: 10 }, (_, i) => `API${i + 1}`));
  });
});
