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

/** Requests under way whose id can be found. */
let open = 0;

/** Runs the rest of a request so that `requestId` finds its id, until `requestEnded` is called. */
export function withRequestId(id: string, rest: () => void): void {
  open += 1;
  ids.run(id, rest);
}

/**
 * A request whose id could be found has its answer. While there is none, what carries ids along is off: up
 * to Node 22 it costs every promise of the process something, and tablets mostly read.
 */
export function requestEnded(): void {
  open -= 1;
  if (open > 0) return;
  ids.disable();
  underWay.disable();
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
