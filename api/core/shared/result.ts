import type { CoreError } from './errors.ts';

/** The outcome of a calculation that bad data can refuse. Programmer mistakes throw instead. */
export type Result<T, E = CoreError> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: E };

/** Wraps a value as a success. */
export function ok<T>(value: T): Result<T, never> {
  return { ok: true, value };
}

/** Wraps an error as a refusal. */
export function err<E>(error: E): Result<never, E> {
  return { ok: false, error };
}

/**
 * Takes the value out, or throws. For tests and for places where the data was checked before.
 * @throws Error with the refusal's kind and message when `result` is not ok
 */
export function unwrap<T, E>(result: Result<T, E>): T {
  if (result.ok) return result.value;
  throw new Error(`Unexpected refusal: ${JSON.stringify(result.error)}`);
}

/** Applies `f` to the value of a success; passes a refusal on. */
export function mapResult<T, U, E>(result: Result<T, E>, f: (value: T) => U): Result<U, E> {
  return result.ok ? ok(f(result.value)) : result;
}

/** Collects results in order; the first refusal stops it. */
export function allResults<T, E>(results: Iterable<Result<T, E>>): Result<T[], E> {
  const values: T[] = [];
  for (const result of results) {
    if (!result.ok) return result;
    values.push(result.value);
  }
  return ok(values);
}
