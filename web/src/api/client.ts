import type { components } from './schema.d.ts';

type Schemas = components['schemas'];
export type Session = Schemas['Session'];
export type PrepList = Schemas['PrepList'];
export type PrepTask = Schemas['PrepTask'];
export type RecipeCard = Schemas['RecipeCard'];
export type Explanation = Schemas['Explanation'];
export type Order = Schemas['Order'];
export type OrderHeader = Schemas['OrderHeader'];

/** What the service answered instead of doing the work, in its own words. */
export class Problem extends Error {
  readonly status: number;
  constructor(status: number, message: string) {
    super(message);
    this.status = status;
  }
}

let csrfToken: string | null = null;

/** Remembers the token that changing requests must carry. */
export function useSession(session: Session | null): void {
  csrfToken = session?.csrfToken ?? null;
}

async function send(method: string, path: string, body?: unknown, headers: HeadersInit = {}) {
  const response = await fetch(path, {
    method,
    credentials: 'same-origin',
    headers: {
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(method === 'GET' || csrfToken === null ? {} : { 'x-csrf-token': csrfToken }),
      ...headers,
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const text = await response.text();
  const data: unknown = text === '' ? null : JSON.parse(text);
  if (!response.ok) {
    const detail = (data as { detail?: string; title?: string } | null) ?? {};
    throw new Problem(
      response.status,
      detail.detail ?? detail.title ?? `Not done (${response.status}).`,
    );
  }
  return { data, etag: response.headers.get('etag') };
}

export async function get<T>(path: string): Promise<T> {
  return (await send('GET', path)).data as T;
}

/** A changing request that may be repeated safely: the same key is never counted twice. */
export async function post<T>(
  path: string,
  body: unknown = undefined,
  headers: Record<string, string> = {},
): Promise<T> {
  const key = { 'idempotency-key': crypto.randomUUID() };
  return (await send('POST', path, body, { ...key, ...headers })).data as T;
}

export async function put<T>(path: string, body: unknown, rev: number): Promise<T> {
  return (await send('PUT', path, body, { 'if-match': `"${rev}"` })).data as T;
}

export async function remove(path: string): Promise<void> {
  await send('DELETE', path);
}
