import {
  get,
  NoAnswer,
  Problem,
  remove,
  send,
  useSession,
  whenSignedOut,
  whenTokenIsStale,
} from '../api/client.ts';
import type { Session, SetupState } from '../api/types.ts';
import { forget, forgetAll, keep, kept } from '../offline/kept.ts';

const KEY = 'session';
const LAST_USER = 'last user';
type State = 'looking' | 'no-answer' | 'set-up' | 'signed-out' | 'signed-in';

/** Who works with this device. `again` is whoever must sign in once more to send what waits. */
export const who = $state({
  state: 'looking' as State,
  session: null as Session | null,
  again: false,
});

function use(session: Session | null): void {
  useSession(session);
  who.session = session;
}

async function signedIn(session: Session): Promise<void> {
  const before = await kept<string>('answers', LAST_USER);
  if (before !== session.user.id) await forgetAll('answers');
  await keep('answers', LAST_USER, session.user.id);
  await keep('answers', KEY, $state.snapshot(session));
  use(session);
  who.state = 'signed-in';
  who.again = false;
}

/** Finds out who is signed in; without an answer, whoever was last on this device goes on. */
export async function findSession(): Promise<void> {
  try {
    await signedIn(await get<Session>('/v1/session'));
  } catch (error) {
    if (error instanceof Problem) {
      who.again = who.session !== null;
      use(null);
      const state = await get<SetupState>('/v1/setup').catch(() => ({ needed: false }));
      who.state = state.needed ? 'set-up' : 'signed-out';
      return;
    }
    const last = await kept<Session>('answers', KEY);
    if (last) {
      use(last);
      who.state = 'signed-in';
    } else who.state = 'no-answer';
  }
}

/** @throws Problem with the service's words; NoAnswer */
export async function signIn(email: string, password: string): Promise<void> {
  const body = { email, password };
  await signedIn(await send<Session>({ method: 'POST', path: '/v1/session', body }));
}

/**
 * Changes the password of whoever is signed in; every other session of theirs ends.
 * @throws Problem with the service's words; NoAnswer
 */
export async function changePassword(currentPassword: string, newPassword: string): Promise<void> {
  const body = { currentPassword, newPassword };
  await signedIn(await send<Session>({ method: 'PUT', path: '/v1/session/password', body }));
}

/** Ends the session and forgets what the device kept of it; waiting ticks stay until they are sent. */
export async function signOut(): Promise<void> {
  try {
    await remove('/v1/session');
  } catch (error) {
    if (error instanceof NoAnswer) throw error;
  }
  await forgetAll('answers');
  use(null);
  who.state = 'signed-out';
}

whenSignedOut(() => {
  if (who.state !== 'signed-in') return;
  who.again = true;
  who.state = 'signed-out';
  void forget('answers', KEY);
});

whenTokenIsStale(async () => {
  const before = who.session?.user.id;
  await findSession();
  return who.session !== null && who.session.user.id === before;
});
