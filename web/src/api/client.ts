import { said } from '../show/said.ts';
import { lost, reached } from '../state/connection.svelte.ts';
import { hearTime } from '../state/service-clock.ts';
import type { Session } from './types.ts';

/** What the service answered instead of doing the work, in the language of the page. */
export class Problem extends Error {
  readonly status: number;
  readonly kind: string;
  /** JSON pointer of the first thing that is wrong, where one is named. */
  readonly pointer: string;
  /** What else the service says of it, such as the character that cannot be read. */
  readonly context: Readonly<Record<string, unknown>>;
  constructor(
    status: number,
    kind: string,
    message: string,
    pointer = '',
    context: Readonly<Record<string, unknown>> = {},
  ) {
    super(message);
    this.status = status;
    this.kind = kind;
    this.pointer = pointer;
    this.context = context;
  }
}

/** Nothing answered: no network, or the service is down. */
export class NoAnswer extends Error {}

/** How long to wait for an answer before saying that there is none. */
const USUAL_WAIT_MS = 20_000;
/** Plans and orders are worked out while one waits. */
export const LONG_WAIT_MS = 120_000;

/** Where a refusal of a field begins: the service names it by its place in what was sent. */
const PLACE = /^\/[\w/]*: /;

let csrfToken: string | null = null;
let onSignedOut: () => void = () => undefined;
let onStaleToken: () => Promise<boolean> = async () => false;
/** Where a refusal points when the token is not of the session that the cookie names. */
const TOKEN_POINTER = '/headers/x-csrf-token';

/** Remembers the token that changing requests must carry. */
export function useSession(session: Session | null): void {
  csrfToken = session?.csrfToken ?? null;
}

/** @param act called when the service says that nobody is signed in any more */
export function whenSignedOut(act: () => void): void {
  onSignedOut = act;
}

/** @param act fetches the token anew; false when somebody else is signed in by now */
export function whenTokenIsStale(act: () => Promise<boolean>): void {
  onStaleToken = act;
}

/** Whether a refusal only says that this window's token is of an earlier session. */
export const isStaleToken = (problem: Problem): boolean => problem.pointer === TOKEN_POINTER;

/** A key under which a request counts once however often it is sent. */
export function newKey(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

export interface Sending {
  readonly method: 'GET' | 'POST' | 'PUT' | 'DELETE';
  readonly path: string;
  readonly body?: unknown;
  /** A file in place of a body; its type is what it is sent as. */
  readonly file?: Blob | undefined;
  readonly headers?: Record<string, string>;
  readonly waitMs?: number;
}

async function answerTo({ method, path, body, file, headers, waitMs }: Sending): Promise<Response> {
  try {
    const response = await fetch(path, {
      method,
      credentials: 'same-origin',
      cache: 'no-store',
      signal: AbortSignal.timeout(waitMs ?? USUAL_WAIT_MS),
      headers: {
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        ...(file === undefined ? {} : { 'content-type': file.type }),
        ...(method === 'GET' || csrfToken === null ? {} : { 'x-csrf-token': csrfToken }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      ...(file === undefined ? {} : { body: file }),
    });
    // A proxy that answers for a service that is down is no answer of the service.
    if ([502, 503, 504].includes(response.status)) throw new NoAnswer();
    hearTime(response.headers.get('date'));
    reached();
    return response;
  } catch {
    lost();
    throw new NoAnswer();
  }
}

interface ProblemBody {
  readonly type?: string;
  readonly title?: string;
  readonly detail?: string;
  readonly context?: Readonly<Record<string, unknown>>;
  readonly issues?: readonly { readonly pointer: string }[];
}

/** @throws Problem when refused, NoAnswer when nothing answers */
export async function send<T>(sending: Sending, again = true): Promise<T> {
  const response = await answerTo(sending);
  const data = read(await response.text().catch(() => ''));
  if (response.ok && data !== undefined) return data as T;
  const body = (data ?? {}) as ProblemBody;
  const problem = new Problem(
    response.status,
    body.type?.split('/').at(-1) ?? '',
    said((body.detail ?? body.title ?? `(${response.status})`).replace(PLACE, '')),
    body.issues?.[0]?.pointer,
    body.context,
  );
  if (isStaleToken(problem) && again && (await onStaleToken())) return send<T>(sending, false);
  if (response.status === 401 && sending.path !== '/v1/session') onSignedOut();
  throw problem;
}

/** @returns undefined for what is no JSON */
function read(text: string): unknown {
  if (text === '') return null;
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

export const get = <T>(path: string): Promise<T> => send<T>({ method: 'GET', path });

/** A creating request; sent twice by a stumbling network, it counts once. */
export const post = <T>(path: string, body?: unknown, more: Partial<Sending> = {}): Promise<T> =>
  send<T>({
    method: 'POST',
    path,
    body,
    ...more,
    headers: { 'idempotency-key': newKey(), ...more.headers },
  });

/** Changes something of which we saw revision `rev`; refused when somebody was faster. */
export const put = <T>(path: string, body: unknown, rev: number): Promise<T> =>
  send<T>({ method: 'PUT', path, body, headers: { 'if-match': `"${rev}"` } });

export const remove = (path: string): Promise<null> => send<null>({ method: 'DELETE', path });
