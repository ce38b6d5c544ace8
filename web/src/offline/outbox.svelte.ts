import { isStaleToken, NoAnswer, newKey, post, Problem, send } from '../api/client.ts';
import { ask, connection } from '../state/connection.svelte.ts';
import { minutesSince, thisMoment, type Moment } from '../state/service-clock.ts';
import { who } from '../state/session.svelte.ts';
import { allKept, forget, keep } from './kept.ts';

// What people ticked, counted and threw away goes out through here, with or without a network: kept
// first, then sent in order, each under its own key, so that it counts once.

export type About =
  | {
      readonly kind: 'task';
      readonly act: 'start' | 'finish' | 'abandon' | 'undo';
      readonly taskId: string;
      readonly name: string;
    }
  | {
      readonly kind: 'count';
      readonly siteId: string;
      readonly itemId: string;
      readonly name: string;
    }
  | {
      readonly kind: 'waste';
      readonly siteId: string;
      readonly lotId: string;
      readonly name: string;
    }
  | { readonly kind: 'temperature'; readonly celsiusText: string; readonly name: string }
  | {
      /** What leaves for another site, or came from one. */
      readonly kind: 'carry';
      readonly act: 'send' | 'receive' | 'call-off' | 'take-back';
      readonly transferId: string;
      readonly name: string;
    };

export interface Waiting {
  /** Order of doing on this device. */
  readonly place: number;
  readonly key: string;
  readonly userId: string;
  /** When the person did it by the device's clock, ms: for showing only. */
  readonly at: number;
  /** The same by every clock: how long ago it was is worked out when it is sent. */
  readonly moment?: Moment;
  readonly path: string;
  readonly body?: unknown;
  readonly about: About;
}

/** Something to read: what was refused, and why. */
export interface Remark {
  readonly waiting: Waiting;
  readonly kind: 'refused';
  /** The service's words. */
  readonly message: string;
}

export const outbox = $state({
  waiting: [] as Waiting[],
  remarks: [] as Remark[],
  sending: null as string | null,
});

type Heard = (waiting: Waiting, answer: unknown) => void | Promise<void>;
let listeners: readonly Heard[] = [];
const ASK_AGAIN_MS = 1_500;

/** @param act called with the service's answer to each thing sent @returns stop */
export function whenSent(act: Heard): () => void {
  listeners = [...listeners, act];
  return () => {
    listeners = listeners.filter((one) => one !== act);
  };
}

/** Keys of what may still be taken back: kept on the device, not sent yet. A reload ends that. */
// eslint-disable-next-line svelte/prefer-svelte-reactivity -- nothing on the screen hangs on it
const held = new Set<string>();

/**
 * Keeps something to send, and sends it when the service answers.
 * @param graceMs how long it may still be taken back before it is sent
 */
export async function put(
  path: string,
  body: unknown,
  about: About,
  graceMs = 0,
  begun: { readonly key: string; readonly moment: Moment } = {
    key: newKey(),
    moment: thisMoment(),
  },
): Promise<Waiting> {
  const last = outbox.waiting.at(-1)?.place ?? 0;
  const waiting: Waiting = {
    place: Math.max(Date.now(), last + 1),
    key: begun.key,
    userId: who.session?.user.id ?? '',
    at: Date.now(),
    moment: begun.moment,
    path,
    ...(body === undefined ? {} : { body }),
    about,
  };
  if (graceMs > 0) {
    held.add(waiting.key);
    setTimeout(() => letGo(waiting), graceMs);
  }
  await keep('ticks', waiting.place, waiting);
  outbox.waiting.push(waiting);
  void sendAll();
  return waiting;
}

/**
 * Sends something at once where that goes, so that a refusal stands beside what was typed; without a
 * network, or behind other things that wait, it is kept and sent later. It counts once: both ways it
 * goes under one key.
 * @returns the service's answer, or null when it is kept
 * @throws Problem when refused
 */
export async function sendOrKeep<T>(path: string, body: unknown, about: About): Promise<T | null> {
  const begun = { key: newKey(), moment: thisMoment() };
  if (connection.there && ownWaiting().length === 0) {
    try {
      return await post<T>(path, body, { headers: { 'idempotency-key': begun.key } });
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
    }
  }
  await put(path, body, about, 0, begun);
  return null;
}

/** Sends what could still be taken back. */
export function letGo(waiting: Waiting): void {
  if (held.delete(waiting.key)) void sendAll();
}

/** Takes something back that was not sent yet. @returns false when it is too late for that */
export async function takeBack(waiting: Waiting): Promise<boolean> {
  if (outbox.sending === waiting.key || !outbox.waiting.some(({ key }) => key === waiting.key)) {
    return false;
  }
  await leave(waiting);
  held.delete(waiting.key);
  void sendAll();
  return true;
}

/** The person has read a remark. */
export async function setAside(remark: Remark): Promise<void> {
  outbox.remarks = outbox.remarks.filter((one) => one.waiting.key !== remark.waiting.key);
  await forget('remarks', remark.waiting.place);
}

async function say(waiting: Waiting, kind: Remark['kind'], message: string): Promise<void> {
  const remark: Remark = { waiting: $state.snapshot(waiting), kind, message };
  await keep('remarks', waiting.place, remark);
  outbox.remarks.push(remark);
}

/** What waits of the person who is signed in. */
export function ownWaiting(): Waiting[] {
  return outbox.waiting.filter((one) => one.userId === who.session?.user.id);
}

async function leave(waiting: Waiting): Promise<void> {
  outbox.waiting = outbox.waiting.filter((one) => one.key !== waiting.key);
  await forget('ticks', waiting.place);
}

/** What the service dates: it is told how long ago it was, so that a use-by counts from then. */
const isDated = ({ about }: Waiting): boolean =>
  about.kind === 'temperature' ||
  (about.kind === 'task' && about.act !== 'undo') ||
  (about.kind === 'carry' && (about.act === 'send' || about.act === 'receive'));
const GROWING = ['minutesAgo', 'offHeatMinutesAgo'] as const;

function dated(waiting: Waiting): unknown {
  const age = waiting.moment && isDated(waiting) ? minutesSince(waiting.moment) : 0;
  if (age === 0) return waiting.body;
  const body: Record<string, unknown> = { minutesAgo: 0, ...(waiting.body as object | undefined) };
  for (const key of GROWING) {
    const said = body[key];
    if (typeof said === 'number') body[key] = Math.round((said + age) * 10) / 10;
  }
  return body;
}

async function sendOne(waiting: Waiting, again = true): Promise<'next' | 'stop'> {
  outbox.sending = waiting.key;
  try {
    const answer = await send<unknown>({
      method: 'POST',
      path: waiting.path,
      body: dated(waiting),
      headers: { 'idempotency-key': waiting.key },
    });
    await leave(waiting);
    for (const heard of listeners) await heard(waiting, answer);
    return 'next';
  } catch (error) {
    if (error instanceof NoAnswer) return 'stop';
    if (!(error instanceof Problem)) throw error;
    // Signed out, slowed down or a fault of the service: nothing is lost, it waits.
    if ([401, 429].includes(error.status) || error.status >= 500 || isStaleToken(error)) {
      return 'stop';
    }
    if (error.status === 409 && error.kind === 'still-in-progress') {
      if (!again) return 'stop';
      await new Promise((done) => setTimeout(done, ASK_AGAIN_MS));
      return sendOne(waiting, false);
    }
    // Done when it was first sent, and only its answer lost: nobody need hear of that.
    if (error.kind !== 'already-done') await say(waiting, 'refused', error.message);
    await leave(waiting);
    for (const heard of listeners) await heard(waiting, null);
    return 'next';
  } finally {
    outbox.sending = null;
  }
}

let running = false;

/** Sends what waits of the person signed in, oldest first, until something does not go through. */
export async function sendAll(): Promise<void> {
  if (running || who.state !== 'signed-in') return;
  running = true;
  const work = async (): Promise<void> => {
    outbox.waiting = await allKept<Waiting>('ticks');
    // How long ago something was is reckoned by the service's time now, not by the last time heard:
    // the counting clock stood still while the tablet slept.
    if (ownWaiting().some(isDated)) await ask();
    let next = ownWaiting()[0];
    while (next && !held.has(next.key) && (await sendOne(next)) === 'next') next = ownWaiting()[0];
  };
  try {
    // Two windows on one device share what waits: one of them sends.
    if ('locks' in navigator) await navigator.locks.request('tamis-sending', work);
    else await work();
  } finally {
    running = false;
  }
}

/** Reads what this device still has to send, and tries again now and then while the service is there. */
export async function beginOutbox(): Promise<void> {
  outbox.waiting = await allKept<Waiting>('ticks');
  outbox.remarks = await allKept<Remark>('remarks');
  setInterval(() => {
    if (connection.there && ownWaiting().length > 0) void sendAll();
  }, 10_000);
  void sendAll();
}
