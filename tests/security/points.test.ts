import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { POINTS, type Point } from './points.ts';

const TESTS = path.join(import.meta.dirname, '..');

interface FoundTest {
  readonly title: string;
  /** What follows the title, up to the next test. */
  readonly text: string;
}

/** The tests of a file that are run, by their titles as they are written there. */
function testsIn(text: string): readonly FoundTest[] {
  const calls =
    /\bit((?:\.[a-zA-Z]+(?:\([^()]*(?:\([^()]*\)[^()]*)*\))?)*)\(\s*(['"`])((?:\\.|(?!\2).)*)\2/g;
  const found = [...text.matchAll(calls)];
  return found.flatMap(({ 1: how = '', 3: title = '', index }, i) =>
    /\.(?:skip|todo|fails)\b/.test(how)
      ? []
      : [{ title, text: text.slice(index, found[i + 1]?.index ?? text.length) }],
  );
}

/** What is wrong with points: no test and no reason, or a test that is not there or asserts nothing. */
function faultsOf(points: readonly Point[], read: (file: string) => string | null): string[] {
  return points.flatMap(({ point, tests, reason }) => [
    ...(tests.length === 0 && (reason ?? '').length < 40
      ? [`${point}: neither test nor reason`]
      : []),
    ...tests.flatMap(([file, title]) => {
      const test = testsIn(read(file) ?? '').find((one) => one.title === title);
      if (!test) return [`${point}: ${file} has no test '${title}'`];
      // Or a function of the file whose name says that it asserts.
      return /\bexpect\w*\s*\(|\.expect\(|\bassert/.test(test.text)
        ? []
        : [`${point}: '${title}' of ${file} asserts nothing`];
    }),
  ]);
}

const readTest = (file: string): string | null =>
  existsSync(path.join(TESTS, file)) ? readFileSync(path.join(TESTS, file), 'utf8') : null;

describe('the points of the published lists', () => {
  it('are each held by tests that are there and assert something, or have a reason', () => {
    expect(faultsOf(POINTS, readTest)).toEqual([]);
  });

  it('are found out where a test is gone, renamed, left out or empty', () => {
    const file = `it('holds', () => { expect(1).toBe(1); });
      it.skip('left out', () => { expect(1).toBe(1); });
      it.each([1])('empty %s', () => { run(); });
      it.each([1])('%s holds', () => { expect(1).toBe(1); });`;
    const point = (name: string, ...titles: string[]): Point => ({
      ...{ point: name, asks: '', tests: titles.map((title) => ['a.test.ts', title]) },
    });
    const points = [
      point('held', 'holds', '%s holds'),
      point('renamed', 'held'),
      point('skipped', 'left out'),
      point('hollow', 'empty %s'),
      point('bare'),
      { ...point('gone'), tests: [['b.test.ts', 'holds']] } satisfies Point,
    ];
    expect(
      faultsOf(points, (name) => (name === 'a.test.ts' ? file : null)).map(
        (fault) => fault.split(':')[0],
      ),
    ).toEqual(['renamed', 'skipped', 'hollow', 'bare', 'gone']);
  });

  it('hold all ten of the API list, and nothing twice', () => {
    const names = POINTS.map(({ point }) => point);
    expect(new Set(names).size).toBe(names.length);
    const ten = names.filter((name) => name.startsWith('API')).map((name) => name.split(':')[0]);
    expect(ten).toEqual(Array.from({ length: 10 }, (_, i) => `API${i + 1}`));
  });
});
