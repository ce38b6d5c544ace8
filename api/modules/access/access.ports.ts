import type {
  Actor,
  AuditTrail,
  DayListAsk,
  DayListFound,
  Page,
  PageRequest,
  Role,
} from '../platform/index.ts';

/** Sites a person or machine may see and change. */
export type SiteScope = 'all' | readonly string[];

/** Hashes passwords slowly and checks them. */
export interface PasswordHasher {
  hash(password: string): Promise<string>;
  verify(passwordHash: string, password: string): Promise<boolean>;
  /** Whether the hash was made with today's cost; an older one is renewed at the next sign-in. */
  isCurrent(passwordHash: string): boolean;
}

/** Makes random secrets and the hashes under which they are kept. */
export interface Secrets {
  make(): string;
  /** A code for a person to type: sixteen letters and digits in fours. */
  makeCode(): string;
  hash(secret: string): string;
  /** Compares without telling by time how much was right. */
  same(a: string, b: string): boolean;
}

/** What is set of a user, apart from the password. */
export interface UserInput {
  readonly email: string;
  readonly name: string;
  readonly role: Role;
  readonly siteIds: SiteScope;
}

export interface User extends UserInput {
  readonly id: string;
  readonly archived: boolean;
  readonly rev: number;
}

export interface UserWithHash extends User {
  readonly passwordHash: string;
}

export interface NewSession {
  readonly id: string;
  readonly secretHash: string;
  readonly userId: string;
  readonly csrfToken: string;
  readonly createdAt: Date;
  readonly expiresAt: Date;
}

/** A session with the person behind it, as read on every request in one query. */
export interface LiveSession {
  readonly id: string;
  readonly csrfToken: string;
  readonly lastSeenAt: Date;
  readonly expiresAt: Date;
  readonly user: { readonly id: string; readonly name: string; readonly role: Role };
  readonly siteIds: SiteScope;
}

/** What is set of a machine's key. */
export interface TokenInput {
  readonly name: string;
  readonly role: Role;
  readonly siteIds: SiteScope;
  readonly expiresAt: Date;
}

export interface ApiToken extends TokenInput {
  readonly id: string;
  readonly createdBy: string;
  readonly createdAt: Date;
  readonly revokedAt: Date | null;
  readonly lastUsedAt: Date | null;
}

export interface AuditLine {
  readonly id: string;
  readonly at: Date;
  readonly actorKind: string;
  readonly actorId: string;
  readonly actorName: string;
  readonly action: string;
  readonly subjectKind: string;
  readonly subjectId: string;
  readonly siteId: string | null;
  readonly detail: Readonly<Record<string, unknown>> | null;
}

export interface AuditFilter {
  readonly subjectKind?: string;
  readonly subjectId?: string;
  readonly actorId?: string;
  readonly siteId?: string;
}

export interface UsersRepository {
  page(request: PageRequest, filter: { archived: boolean }): Promise<Page<User>>;
  count(): Promise<number>;
  find(id: string): Promise<User | null>;
  findWithHash(id: string): Promise<UserWithHash | null>;
  findActiveByEmail(email: string): Promise<UserWithHash | null>;
  insert(id: string, input: UserInput, passwordHash: string): Promise<User>;
  update(id: string, input: UserInput, rev: number): Promise<User | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<User | null>;
  setPasswordHash(id: string, passwordHash: string): Promise<void>;
  /** Ids of the admins who can sign in, their rows locked until the transaction ends. */
  lockAdmins(): Promise<readonly string[]>;
  /** The ids among `siteIds` that name no site. */
  unknownSites(siteIds: readonly string[]): Promise<readonly string[]>;
}

export interface SessionsRepository {
  insert(session: NewSession): Promise<void>;
  touch(id: string, at: Date): Promise<void>;
  deleteBySecret(secretHash: string): Promise<void>;
  deleteOfUser(userId: string): Promise<void>;
  deleteExpired(now: Date, idleSince: Date): Promise<void>;
}

/** Who is at the door. */
export interface Door {
  /**
   * The live session of a secret, neither past its end nor unseen since `idleSince`, and with it, where
   * asked for, what stands of the list of a day (`dayList` is null where there is no such site): one
   * query, one picture of the database.
   */
  find(
    secretHash: string,
    now: Date,
    idleSince: Date,
    ask: DayListAsk | null,
  ): Promise<(LiveSession & { readonly dayList: DayListFound | null }) | null>;
}

export interface TokensRepository {
  insert(
    id: string,
    input: TokenInput,
    secretHash: string,
    createdBy: string,
    at: Date,
  ): Promise<ApiToken>;
  page(request: PageRequest): Promise<Page<ApiToken>>;
  find(id: string): Promise<ApiToken | null>;
  findLive(secretHash: string, now: Date): Promise<ApiToken | null>;
  revoke(id: string, at: Date): Promise<ApiToken | null>;
  touch(id: string, at: Date): Promise<void>;
}

/** Attempts counted in windows, together for all replicas. */
export interface AttemptsRepository {
  /** Adds one and returns the count of the current window; a window older than `windowMs` starts anew. */
  add(key: string, now: Date, windowMs: number): Promise<{ attempts: number; windowStart: Date }>;
  /** The count of the current window without adding. */
  peek(key: string, now: Date, windowMs: number): Promise<{ attempts: number; windowStart: Date }>;
  clear(keys: readonly string[]): Promise<void>;
  deleteBefore(at: Date): Promise<void>;
}

export interface GroupSettingsRepository {
  /** @returns false when the key is there already */
  insert(key: string, value: unknown): Promise<boolean>;
  put(key: string, value: unknown): Promise<void>;
  find(key: string): Promise<unknown>;
  deleteByPrefix(prefix: string): Promise<void>;
}

export interface AuditReader {
  /** Newest first. */
  page(request: PageRequest, filter: AuditFilter): Promise<Page<AuditLine>>;
}

export interface AccessRepository {
  readonly users: UsersRepository;
  readonly sessions: SessionsRepository;
  readonly tokens: TokensRepository;
  readonly attempts: AttemptsRepository;
  readonly settings: GroupSettingsRepository;
  readonly auditLines: AuditReader;
}

/** The repositories the access services work with, inside one transaction. */
export interface AccessWork {
  readonly access: AccessRepository;
  readonly audit: AuditTrail;
}

/** What the page needs to know of who is signed in. */
export interface WhoIsSignedIn {
  readonly actor: Actor;
  readonly email: string | null;
  readonly csrfToken: string | null;
  readonly expiresAt: Date | null;
  readonly sites: readonly {
    readonly id: string;
    readonly name: string;
    readonly zone: string;
    readonly currency: string;
  }[];
}
