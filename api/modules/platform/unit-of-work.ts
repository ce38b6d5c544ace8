/**
 * Runs `work` in one database transaction over repositories `R`: all of it lands, or none.
 * Nested calls are not allowed; pass the repositories down instead.
 */
export interface UnitOfWork<R> {
  /** Repositories outside any transaction, for reads. */
  readonly read: R;
  run<T>(work: (repositories: R) => Promise<T>): Promise<T>;
}
