import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

// What the service is built from: exact versions, known licences, nothing run at installation,
// nothing that is not used. Known vulnerabilities are asked for by .ci/audit.mjs.

const ROOT = path.join(import.meta.dirname, '..', '..');
const readJson = (file: string): unknown =>
  JSON.parse(readFileSync(path.join(ROOT, file), 'utf8')) as unknown;

interface Locked {
  readonly version: string;
  readonly integrity?: string;
  readonly resolved?: string;
  readonly link?: boolean;
  readonly dev?: boolean;
  readonly hasInstallScript?: boolean;
  readonly engines?: { readonly node?: string };
}
const own = readJson('package.json') as {
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
  readonly scripts: Readonly<Record<string, string>>;
  readonly engines: { readonly node: string };
};
const lock = readJson('package-lock.json') as { readonly packages: Record<string, Locked> };
const locked = Object.entries(lock.packages).filter(([at]) => at !== '');
const nameOf = (at: string) => at.slice(at.lastIndexOf('node_modules/') + 'node_modules/'.length);
const declared = { ...own.dependencies, ...own.devDependencies };

/** Licences (SPDX identifiers) that ask for no more than their notice. */
const PERMISSIVE: ReadonlySet<string> = new Set([
  ...[
    '0BSD',
    'Apache-2.0',
    'BSD-2-Clause',
    'BSD-3-Clause',
    'BlueOak-1.0.0',
    'CC0-1.0',
    'ISC',
    'MIT',
  ],
  ...['Unlicense', 'Zlib', 'Python-2.0', 'CC-BY-4.0'],
]);
/** Packages of the running service with another licence, or with none in their package.json. */
const LOOKED_AT: ReadonlyMap<string, string> = new Map([
  [
    '@visx/vendor',
    'says "MIT and ISC"; comes with the database tool, which the service never runs',
  ],
  ['elkjs', 'EPL-2.0, unchanged; comes with the database tool, which the service never runs'],
  ['lightningcss', 'MPL-2.0, unchanged; builds the page and is no part of it'],
  ['seq-queue', 'its LICENSE file is the MIT licence; comes with the database tool'],
]);
/** Packages that would run something at installation, and why nothing is missing without it. */
const SCRIPTS_NOT_RUN: ReadonlyMap<string, string> = new Map([
  ['@prisma/engines', 'would fetch engines; this client computes queries without any'],
  ['esbuild', 'would check its binary, which comes as a package of its own'],
  ['fsevents', 'for another operating system'],
  ['prisma', 'would check the version of Node'],
]);

/** Packages of the running service that want a newer Node than we do, and why that is no matter. */
const NEWER_NODE: ReadonlyMap<string, string> = new Map([
  ['@prisma/streams-local', 'comes with the database tool and is loaded by nothing we run of it'],
]);

/** Whether a range of versions holds one, for what `engines` says: `^20.19 || >=22`, `18`, `>= 10.x`. */
function holds(range: string, version: readonly [number, number, number]): boolean {
  const bounds = (part: string): boolean => {
    const read = [...part.matchAll(/(>=|\^|)\s*v?(\d+)((?:\.(?:\d+|x))*)(?:\s+|$)/g)];
    if (read.map(([text]) => text).join('') !== part) throw new Error(`What is ${range}?`);
    return read.every(([, sign, major = '', rest = '']) => {
      const [minor = 0, patch = 0] = rest
        .split('.')
        .slice(1)
        .map((one) => (one === 'x' ? 0 : Number(one)));
      const [a, b, c] = version;
      const reached =
        a !== Number(major) ? a > Number(major) : b !== minor ? b > minor : c >= patch;
      return reached && (sign === '>=' || a === Number(major));
    });
  };
  return range.split('||').some((part) => bounds(part.trim()));
}

/** @returns whether an SPDX expression can be met by permissive licences alone */
function isPermissive(expression: string): boolean {
  const plain = expression.replace(/[()]/g, ' ').trim();
  if (/ AND /.test(plain)) return plain.split(/ AND /).every((part) => isPermissive(part));
  return plain.split(/ OR /).some((part) => PERMISSIVE.has(part.trim()));
}

describe('the packages', () => {
  it('are declared in exact versions, and locked with a sum each, from the registry only', () => {
    for (const [name, version] of Object.entries(declared)) {
      expect(version, name).toMatch(/^\d+\.\d+\.\d+(-[\w.]+)?$/);
      expect(lock.packages[`node_modules/${name}`]?.version, name).toBe(version);
    }
    for (const [at, { integrity, resolved = '', link }] of locked) {
      expect(integrity, at).toMatch(/^sha512-/);
      expect(link ?? false, at).toBe(false);
      expect(resolved, at).not.toMatch(/^(git|file|http:)/);
    }
  });

  it('of the running service have a licence that is on the list', () => {
    const odd = new Map<string, string>();
    for (const [at, { dev }] of locked) {
      // What is for other machines is not installed here.
      if (dev || !existsSync(path.join(ROOT, at, 'package.json'))) continue;
      const { license } = readJson(path.join(at, 'package.json')) as { license?: unknown };
      if (typeof license === 'string' && isPermissive(license)) continue;
      odd.set(nameOf(at).replace(/^lightningcss-.*/, 'lightningcss'), String(license));
    }
    expect([...odd].filter(([name]) => !LOOKED_AT.has(name))).toEqual([]);
    expect([...LOOKED_AT.keys()].filter((name) => !odd.has(name))).toEqual([]);
  });

  it.each([
    ['MIT', true],
    ['(MIT OR CC0-1.0)', true],
    ['(GPL-3.0-only OR MIT)', true],
    ['MIT AND ISC', true],
    ['MIT AND GPL-3.0-only', false],
    ['GPL-3.0-only', false],
    ['SEE LICENSE IN LICENSE.md', false],
  ])('would be let through with the licence %s: %s', (expression, expected) => {
    expect(isPermissive(expression)).toBe(expected);
  });

  it('of the running service take the oldest Node that we take', () => {
    const oldest = /^>=(\d+)\.(\d+)$/.exec(own.engines.node);
    const version = [Number(oldest?.[1]), Number(oldest?.[2]), 0] as const;
    const newer = locked
      .filter(([, { dev, engines }]) => !dev && engines?.node && !holds(engines.node, version))
      .map(([at]) => nameOf(at));
    expect(newer).toEqual([...NEWER_NODE.keys()]);
  });

  it.each([
    ['>=22', false],
    ['^22.13.0 || >=23.5.0', false],
    ['^20.19.1', false],
    ['>=20.20', false],
    ['18', false],
    ['20 || >=22', true],
    ['^20.19 || ^22.12', true],
    ['>= 10.x', true],
    ['>=16 || 14 >=14.17', true],
  ])('that want Node %s would be let through at 20.19: %s', (range, expected) => {
    expect(holds(range, [20, 19, 0])).toBe(expected);
  });

  it('run nothing when they are installed, and those that would are known', () => {
    expect(readFileSync(path.join(ROOT, '.npmrc'), 'utf8')).toMatch(/^ignore-scripts=true$/m);
    expect(readFileSync(path.join(ROOT, '.ci', 'run'), 'utf8')).toContain(
      'npm ci --ignore-scripts',
    );
    const would = locked.filter(([, one]) => one.hasInstallScript).map(([at]) => nameOf(at));
    expect([...new Set(would)].filter((name) => !SCRIPTS_NOT_RUN.has(name))).toEqual([]);
    // No script of ours runs at installation either.
    expect(
      Object.keys(own.scripts).filter((name) => /^(pre|post)?(install|prepare)$/.test(name)),
    ).toEqual([]);
  });

  it('are all used: nothing is declared that no file names', () => {
    const files = execFileSync(
      'git',
      ['ls-files', '*.ts', '*.mjs', '*.cjs', '*.svelte', '*.json', '*.prisma'],
      {
        cwd: ROOT,
        encoding: 'utf8',
      },
    );
    const text = files
      .split('\n')
      .filter(
        (file) => file !== '' && !/^(package|package-lock|openapi\/.*|seed\/.*)\.json$/.test(file),
      )
      .map((file) => readFileSync(path.join(ROOT, file), 'utf8'))
      .join('\n');
    const scripts = Object.values(own.scripts).join('\n');
    const unused = Object.keys(declared).filter((name) => {
      if (NAMED_BY_NO_FILE.has(name)) return false;
      const quoted = new RegExp(`['"]${name}(/[^'"]*)?['"]`);
      return (
        !quoted.test(text) && !new RegExp(`(^|[\\s;&])${COMMAND_OF[name] ?? name}\\s`).test(scripts)
      );
    });
    expect(unused).toEqual([]);
    expect([...NAMED_BY_NO_FILE.keys()].filter((name) => !(name in declared))).toEqual([]);
  });
});

/** Packages whose command has another name than they have. */
const COMMAND_OF: Readonly<Record<string, string>> = {
  typescript: 'tsc',
  'dependency-cruiser': 'depcruise',
};
/** Packages that something else needs beside it, by what needs them. */
const NAMED_BY_NO_FILE: ReadonlyMap<string, string> = new Map([
  ['@prisma/client', 'the generated client, which is not in the repository'],
  ['openapi-types', 'fastify-type-provider-zod, for its types'],
  ['@types/luxon', 'the compiler'],
  ['@types/node', 'the compiler'],
  ['@types/pg', 'the compiler'],
  ['@types/supertest', 'the compiler'],
  ['@types/yauzl', 'the compiler'],
]);
