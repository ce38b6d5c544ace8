import {
  invalid,
  Refusal,
  type Actor,
  type Clock,
  type DayListAsk,
  type DayListFound,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type {
  AccessWork,
  Door,
  LiveSession,
  PasswordHasher,
  Secrets,
  UserWithHash,
  WhoIsSignedIn,
} from './access.ports.ts';
import { checkPassword } from './password-rules.ts';
import { SignInThrottle } from './sign-in-throttle.ts';

/** A working day: after that a person signs in anew, whatever they did. */
export const SESSION_ABSOLUTE_MS = 12 * 60 * 60_000;
/** A tablet left alone this long is signed out. */
export const SESSION_IDLE_MS = 4 * 60 * 60_000;
/** How often "last seen" is written, so that reading a list does not mean writing a row. */
const TOUCH_EVERY_MS = 60_000;

export interface AccessDependencies {
  readonly work: UnitOfWork<AccessWork & { readonly sites: SitesRepository }>;
  readonly door: Door;
  readonly clock: Clock;
  readonly newId: NewId;
  readonly hasher: PasswordHasher;
  readonly secrets: Secrets;
  /** Whether cookies are only sent over TLS. */
  readonly secureCookies: boolean;
}

/** A session just begun; the secret goes into the cookie and is kept nowhere. */
export interface BegunSession {
  readonly secret: string;
  readonly expiresAt: Date;
  readonly who: WhoIsSignedIn;
}

const NOBODY: Actor = {
  kind: 'system',
  id: 'nobody',
  name: 'not signed in',
  role: 'chef',
  siteIds: [],
};

/** The actor of a live session. */
export function actorOfSession(session: LiveSession): Actor {
  const { user, siteIds } = session;
  return { kind: 'user', id: user.id, name: user.name, role: user.role, siteIds };
}

/** Signing in and out, and who is behind a cookie. */
export class SessionService {
  readonly #deps: AccessDependencies;
  readonly #throttle: SignInThrottle;
  #decoy: Promise<string> | null = null;

  constructor(deps: AccessDependencies) {
    this.#deps = deps;
    this.#throttle = new SignInThrottle(deps.work.read.access.attempts, deps.secrets, deps.clock);
  }

  get secureCookies(): boolean {
    return this.#deps.secureCookies;
  }

  /**
   * Begins a session; the one of the cookie that came along ends. An unknown person costs as much
   * time as a wrong password.
   * @throws Refusal `not-signed-in` (never saying which was wrong), `too-many-requests`
   */
  async signIn(input: {
    readonly email: string;
    readonly password: string;
    readonly address: string;
    readonly earlierSecret: string | null;
  }): Promise<BegunSession> {
    const { hasher } = this.#deps;
    const email = normalEmail(input.email);
    await this.#throttle.enter(email, input.address);
    const user = await this.#deps.work.read.access.users.findActiveByEmail(email);
    const right = await hasher.verify(
      user?.passwordHash ?? (await this.#decoyHash()),
      input.password,
    );
    if (!user || !right) {
      await this.#throttle.failed(input.address);
      if (user) await this.#noteFailure(user);
      throw new Refusal('not-signed-in', 'The email or the password is not right.');
    }
    const renewed = hasher.isCurrent(user.passwordHash) ? null : await hasher.hash(input.password);
    const begun = await this.#begin(user, input.earlierSecret, renewed);
    await this.#throttle.succeeded(email, input.address);
    return begun;
  }

  /** The live session of a cookie's secret, or null; with what stands of a day's list when asked. */
  async find(
    secret: string,
    ask: DayListAsk | null = null,
  ): Promise<(LiveSession & { readonly dayList: DayListFound | null }) | null> {
    const { work, secrets, clock, door } = this.#deps;
    const now = clock.now();
    const idleSince = new Date(now.getTime() - SESSION_IDLE_MS);
    const session = await door.find(secrets.hash(secret), now, idleSince, ask);
    if (session && now.getTime() - session.lastSeenAt.getTime() >= TOUCH_EVERY_MS) {
      await work.read.access.sessions.touch(session.id, now);
    }
    return session;
  }

  /** Whether a request's CSRF header belongs to the session. */
  csrfMatches(session: LiveSession, token: string): boolean {
    return this.#deps.secrets.same(session.csrfToken, token);
  }

  /** Who asks, with their sites. */
  async who(actor: Actor, secret: string | null): Promise<WhoIsSignedIn> {
    const session = secret === null ? null : await this.find(secret);
    const user =
      actor.kind === 'user' ? await this.#deps.work.read.access.users.find(actor.id) : null;
    return {
      actor,
      email: user?.email ?? null,
      csrfToken: session?.csrfToken ?? null,
      expiresAt: session?.expiresAt ?? null,
      sites: await this.#sitesOf(actor),
    };
  }

  async signOut(actor: Actor, secret: string | null): Promise<void> {
    if (secret === null) return;
    await this.#deps.work.run(async ({ access, audit }) => {
      await access.sessions.deleteBySecret(this.#deps.secrets.hash(secret));
      await audit.append({
        actor,
        action: 'sign-out',
        subjectKind: 'user',
        subjectId: actor.id,
      });
    });
  }

  /**
   * Changes one's own password. Every session of the person ends, and a new one begins.
   * @throws Refusal `invalid-input` when the present password is wrong or the new one too weak
   */
  async changePassword(
    actor: Actor,
    input: {
      readonly currentPassword: string;
      readonly newPassword: string;
      readonly address: string;
    },
  ): Promise<BegunSession> {
    const { access } = this.#deps.work.read;
    const user = actor.kind === 'user' ? await access.users.findWithHash(actor.id) : null;
    if (!user) throw new Refusal('forbidden', 'Only a person has a password.');
    await this.#throttle.enter(user.email, input.address);
    if (!(await this.#deps.hasher.verify(user.passwordHash, input.currentPassword))) {
      throw invalid('/currentPassword', 'The present password is not right.');
    }
    checkPassword(input.newPassword, [user.email, user.name], '/newPassword');
    await this.#throttle.succeeded(user.email, input.address);
    const hash = await this.#deps.hasher.hash(input.newPassword);
    return this.#begin(user, null, hash, async ({ access: inside, audit }) => {
      await inside.sessions.deleteOfUser(user.id);
      await audit.append({
        actor,
        action: 'change-password',
        subjectKind: 'user',
        subjectId: user.id,
      });
    });
  }

  /** Begins a session for a person who has just proved who they are. */
  async #begin(
    user: UserWithHash,
    earlierSecret: string | null,
    newHash: string | null,
    also?: (work: AccessWork) => Promise<void>,
  ): Promise<BegunSession> {
    const { clock, newId, secrets } = this.#deps;
    const now = clock.now();
    const secret = secrets.make();
    const csrfToken = secrets.make();
    const expiresAt = new Date(now.getTime() + SESSION_ABSOLUTE_MS);
    const actor: Actor = {
      kind: 'user',
      id: user.id,
      name: user.name,
      role: user.role,
      siteIds: user.siteIds,
    };
    await this.#deps.work.run(async (work) => {
      const { sessions, users } = work.access;
      if (also) await also(work);
      if (earlierSecret !== null) await sessions.deleteBySecret(secrets.hash(earlierSecret));
      await sessions.deleteExpired(now, new Date(now.getTime() - SESSION_IDLE_MS));
      if (newHash !== null) await users.setPasswordHash(user.id, newHash);
      await sessions.insert({
        id: newId('ses'),
        secretHash: secrets.hash(secret),
        userId: user.id,
        csrfToken,
        createdAt: now,
        expiresAt,
      });
      await work.audit.append({
        actor,
        action: 'sign-in',
        subjectKind: 'user',
        subjectId: user.id,
      });
    });
    const sites = await this.#sitesOf(actor);
    return { secret, expiresAt, who: { actor, email: user.email, csrfToken, expiresAt, sites } };
  }

  async #sitesOf(actor: Actor): Promise<WhoIsSignedIn['sites']> {
    const sites = await this.#deps.work.read.sites.all();
    return sites
      .filter((s) => !s.archived && (actor.siteIds === 'all' || actor.siteIds.includes(s.id)))
      .map(({ id, name, zone, currency }) => ({ id, name, zone, currency }));
  }

  /** A hash nobody has the password of, so that an unknown email costs the same time. */
  #decoyHash(): Promise<string> {
    this.#decoy ??= this.#deps.hasher.hash(this.#deps.secrets.make());
    return this.#decoy;
  }

  async #noteFailure(user: UserWithHash): Promise<void> {
    await this.#deps.work.run(({ audit }) =>
      audit.append({
        actor: NOBODY,
        action: 'sign-in-refused',
        subjectKind: 'user',
        subjectId: user.id,
      }),
    );
  }
}

/** Emails are compared in lower case. */
export function normalEmail(email: string): string {
  return email.trim().normalize('NFC').toLowerCase();
}
