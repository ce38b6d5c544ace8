import type { CoreError, Result } from '../../core/shared/index.ts';

/** One thing wrong with a request, with a JSON pointer to the field (`/lines/3/unit`). */
export interface RefusalIssue {
  readonly pointer: string;
  readonly message: string;
}

/** What a use case can answer instead of doing the work. The HTTP layer maps kinds to statuses. */
export type RefusalKind =
  | 'invalid-input'
  | 'not-signed-in'
  | 'forbidden'
  | 'not-found'
  | 'conflict'
  /** The first request under the same Idempotency-Key has no answer yet: ask again shortly. */
  | 'still-in-progress'
  /** It was done under this Idempotency-Key before, but the answer to it was lost. */
  | 'already-done'
  | 'stale-version'
  | 'version-required'
  | 'too-many-requests'
  | 'too-large'
  | 'unavailable'
  | CoreError['kind'];

/**
 * Thrown by services when the work cannot be done and nothing was changed. `message` is one plain
 * sentence for the person at the screen.
 */
export class Refusal extends Error {
  readonly kind: RefusalKind;
  readonly issues: readonly RefusalIssue[];
  readonly detail: Readonly<Record<string, unknown>>;

  constructor(
    kind: RefusalKind,
    message: string,
    extra: { issues?: readonly RefusalIssue[]; detail?: Readonly<Record<string, unknown>> } = {},
  ) {
    super(message);
    this.name = 'Refusal';
    this.kind = kind;
    this.issues = extra.issues ?? [];
    this.detail = extra.detail ?? {};
  }
}

/** @returns a Refusal saying that no such thing exists */
export function notFound(noun: string, id: string): Refusal {
  return new Refusal('not-found', `There is no ${noun} with the id ${id}.`);
}

/** @returns a Refusal pointing at one field */
export function invalid(pointer: string, message: string): Refusal {
  return new Refusal('invalid-input', message, { issues: [{ pointer, message }] });
}

/** Turns a path of keys and indexes into a JSON pointer (RFC 6901). */
export function toPointer(path: readonly PropertyKey[]): string {
  return path
    .map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`)
    .join('');
}

/** @returns the Refusal that a core error becomes; `prefix` points at the input the core was given */
export function fromCoreError(error: CoreError, prefix = ''): Refusal {
  const pointer = `${prefix}${toPointer(error.path ?? [])}`;
  return new Refusal(error.kind, error.message, {
    issues: [{ pointer, message: error.message }],
    ...(error.detail ? { detail: error.detail } : {}),
  });
}

/** Takes the value of a core result out, or throws its Refusal. */
export function orRefuse<T>(result: Result<T>, prefix = ''): T {
  if (result.ok) return result.value;
  throw fromCoreError(result.error, prefix);
}
