import { AsyncLocalStorage } from 'node:async_hooks';

/** What a request made or changed, as the audit trail names it. */
export interface MadeThing {
  readonly kind: string;
  readonly id: string;
}

/** The request being worked on, where its caller gave it an Idempotency-Key. */
export interface KeyedRequest {
  readonly actorId: string;
  readonly key: string;
  /** When this try took the key; a later try that took it over has another. */
  readonly takenAt: Date;
  readonly now: () => Date;
  /** Whether a transaction of it has been committed. */
  landed: boolean;
  /** What its transactions have put on the audit trail. */
  made: MadeThing[];
}

const underWay = new AsyncLocalStorage<KeyedRequest>();
const ids = new AsyncLocalStorage<string>();

/** Runs the rest of a request so that `requestId` finds its id. */
export function withRequestId(id: string, rest: () => void): void {
  ids.run(id, rest);
}

/** @returns the id of the request that the caller works for; undefined outside one (night work) */
export function requestId(): string | undefined {
  return ids.getStore();
}

/** Runs the rest of a request so that `keyedRequest` finds it. */
export function withKeyedRequest(request: KeyedRequest, rest: () => void): void {
  underWay.run(request, rest);
}

/** @returns the keyed request that the caller works for; undefined outside one */
export function keyedRequest(): KeyedRequest | undefined {
  return underWay.getStore();
}
