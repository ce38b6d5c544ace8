import { AsyncLocalStorage } from 'node:async_hooks';

/** The request being worked on, where its caller gave it an Idempotency-Key. */
export interface KeyedRequest {
  readonly actorId: string;
  readonly key: string;
  /** When this try took the key; a later try that took it over has another. */
  readonly takenAt: Date;
  readonly now: () => Date;
  /** Whether a transaction of it has been committed. */
  landed: boolean;
}

const underWay = new AsyncLocalStorage<KeyedRequest>();

/** Runs the rest of a request so that `keyedRequest` finds it. */
export function withKeyedRequest(request: KeyedRequest, rest: () => void): void {
  underWay.run(request, rest);
}

/** @returns the keyed request that the caller works for; undefined outside one */
export function keyedRequest(): KeyedRequest | undefined {
  return underWay.getStore();
}
