import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { DeclaredRoute } from '../../api/http/access.ts';
import { startTestApp, type TestApp } from '../helpers/test-app.ts';

interface Operation {
  readonly summary?: string;
  readonly description?: string;
  readonly tags?: readonly string[];
  readonly security?: readonly unknown[];
  readonly parameters?: readonly {
    readonly in: string;
    readonly name: string;
    readonly description?: string;
  }[];
  readonly responses: Readonly<Record<string, { readonly content?: object }>>;
}

let test: TestApp;
let operations: readonly (readonly [name: string, operation: Operation])[];
let routes: readonly DeclaredRoute[];
beforeAll(async () => {
  test = await startTestApp();
  const { body } = await test.anonymous.get('/v1/openapi.json').expect(200);
  const paths = body.paths as Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  operations = Object.entries(paths).flatMap(([path, item]) =>
    Object.entries(item).map(([method, one]) => [`${method.toUpperCase()} ${path}`, one] as const),
  );
  routes = test.app.declaredRoutes;
});
afterAll(() => test.close());

const named = (keep: (operation: Operation) => boolean): string[] =>
  operations.filter(([, one]) => keep(one)).map(([name]) => name);

describe('the OpenAPI document', () => {
  it('says of every operation what it does, in one line', () => {
    expect(operations.length).toBeGreaterThan(250);
    expect(named(({ summary = '' }) => summary.length < 4 || summary.length > 110)).toEqual([]);
    expect(named(({ summary = '' }) => /[.\n]$|^[a-z]/.test(summary))).toEqual([]);
    expect(named(({ tags = [] }) => tags.length !== 1)).toEqual([]);
  });

  it('says who may call each, and asks for no signing in where none is needed', () => {
    for (const [name, { description = '', security }] of operations) {
      const url = name.replace(/\{(\w+)\}/g, ':$1');
      const access = routes.find((route) => `${route.method} ${route.url}` === url)?.access;
      const words =
        access === 'public'
          ? 'Needs no signing in.'
          : access === 'signed-in'
            ? 'For anybody signed in.'
            : `For ${[access].flat().join(', ')}.`;
      expect(description.endsWith(words), `${name}: ${description}`).toBe(true);
      expect(description.replace(words, '').trim(), name).toMatch(/^$|[.!]$/);
      expect(security, name).toEqual(access === 'public' ? [] : undefined);
    }
  });

  it('names the problems, and describes every header', () => {
    const problems = ['4XX', '5XX'];
    const lacks = ({ responses }: Operation, status: string): boolean =>
      !Object.hasOwn(responses[status]?.content ?? {}, 'application/problem+json');
    expect(named((one) => problems.some((status) => lacks(one, status)))).toEqual([]);
    const headers = operations.flatMap(([name, { parameters = [] }]) =>
      parameters.filter((one) => one.in === 'header').map((one) => ({ of: name, ...one })),
    );
    expect(headers.filter(({ description }) => !description)).toEqual([]);
    const keyed = headers.filter((one) => one.name === 'idempotency-key').map(({ of }) => of);
    expect(keyed).toContain('POST /v1/order-runs');
    expect(keyed.filter((name) => !name.startsWith('POST '))).toEqual([]);
  });
});
