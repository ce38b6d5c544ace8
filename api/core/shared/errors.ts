/**
 * Why the core refused some data. `kind` is stable (it becomes the problem type of the API);
 * `message` is one sentence in kitchen English; `path` points into the input the caller gave
 * (object keys and array indexes); `detail` carries the offending values with their units.
 */
export interface CoreError {
  readonly kind: CoreErrorKind;
  readonly message: string;
  readonly path?: readonly (string | number)[];
  readonly detail?: Readonly<Record<string, unknown>>;
}

export type CoreErrorKind =
  | 'unknown-unit'
  | 'dimension-mismatch'
  | 'no-density'
  | 'no-piece-mass'
  | 'unreadable-amount'
  | 'out-of-range'
  | 'recipe-cycle'
  | 'missing-component'
  | 'missing-ingredient'
  | 'infeasible'
  | 'invalid-date'
  | 'invalid-zone'
  | 'invalid-code'
  | 'currency-mismatch'
  | 'missing-data'
  | 'too-large'
  | 'solver-failed'
  | 'wrong-state'
  | 'stale-version'
  | 'over-limit'
  | 'broken-explanation';

/** Builds a CoreError without undefined members. */
export function coreError(
  kind: CoreErrorKind,
  message: string,
  extra: { path?: readonly (string | number)[]; detail?: Readonly<Record<string, unknown>> } = {},
): CoreError {
  return { kind, message, ...extra };
}
