import {
  invalid,
  notFound,
  Refusal,
  type Actor,
  type Page,
  type PageRequest,
  type Role,
} from '../platform/index.ts';
import type { ApiToken, SiteScope } from './access.ports.ts';
import type { AccessDependencies } from './session.service.ts';
import { checkScope, requirePerson } from './user.service.ts';

const DAY_MS = 24 * 60 * 60_000;
const DEFAULT_LIFE_MS = 365 * DAY_MS;
const LONGEST_LIFE_MS = 2 * 365 * DAY_MS;
const TOUCH_EVERY_MS = 60_000;
/** Begins every key, so that a scan of files can find one that slipped in. */
const PREFIX = 'tamis_';

/** Keys for machines: a booking system, a till. */
export class TokenService {
  readonly #deps: AccessDependencies;

  constructor(deps: AccessDependencies) {
    this.#deps = deps;
  }

  async list(request: PageRequest): Promise<Page<ApiToken>> {
    return this.#deps.work.read.access.tokens.page(request);
  }

  /**
   * Makes a key. The secret is in this answer only.
   * @throws Refusal `forbidden` for a role above one's own, `invalid-input` for a bad scope or end
   */
  async create(
    actor: Actor,
    input: {
      readonly name: string;
      readonly role: Role;
      readonly siteIds: SiteScope;
      readonly expiresAt: Date | null;
    },
  ): Promise<{ readonly token: ApiToken; readonly secret: string }> {
    requirePerson(actor);
    if (input.role === 'admin' && actor.role !== 'admin') {
      throw new Refusal('forbidden', 'Only an admin makes a key with the rights of an admin.');
    }
    checkScope(input.role, input.siteIds);
    const { clock, newId, secrets, work } = this.#deps;
    const now = clock.now();
    const expiresAt = input.expiresAt ?? new Date(now.getTime() + DEFAULT_LIFE_MS);
    if (expiresAt <= now) throw invalid('/expiresAt', 'The end of the key is past already.');
    if (expiresAt.getTime() - now.getTime() > LONGEST_LIFE_MS) {
      throw invalid('/expiresAt', 'A key lives two years at most; make a new one then.');
    }
    const secret = PREFIX + secrets.make();
    const token = await work.run(async ({ access, audit }) => {
      if (input.siteIds !== 'all') {
        const [unknown] = await access.users.unknownSites(input.siteIds);
        if (unknown !== undefined) {
          throw invalid(
            `/siteIds/${input.siteIds.indexOf(unknown)}`,
            `There is no site with the id ${unknown}.`,
          );
        }
      }
      const made = await access.tokens.insert(
        newId('tok'),
        { ...input, expiresAt },
        secrets.hash(secret),
        actor.id,
        now,
      );
      await audit.append({
        actor,
        action: 'create',
        subjectKind: 'api-token',
        subjectId: made.id,
        detail: { name: made.name, role: made.role, siteIds: made.siteIds },
      });
      return made;
    });
    return { token, secret };
  }

  /** Ends a key at once. Revoking twice changes nothing. */
  async revoke(actor: Actor, id: string): Promise<ApiToken> {
    requirePerson(actor);
    const standing = await this.#deps.work.read.access.tokens.find(id);
    if (!standing) throw notFound('API token', id);
    if (standing.role === 'admin' && actor.role !== 'admin') {
      throw new Refusal('forbidden', 'Only an admin ends a key with the rights of an admin.');
    }
    if (standing.revokedAt) return standing;
    return this.#deps.work.run(async ({ access, audit }) => {
      const revoked = await access.tokens.revoke(id, this.#deps.clock.now());
      if (!revoked) return standing;
      await audit.append({ actor, action: 'revoke', subjectKind: 'api-token', subjectId: id });
      return revoked;
    });
  }

  /** The actor behind a key's secret; null when it is unknown, ended or revoked. */
  async actorOf(secret: string): Promise<Actor | null> {
    if (!secret.startsWith(PREFIX)) return null;
    const { clock, secrets, work } = this.#deps;
    const now = clock.now();
    const token = await work.read.access.tokens.findLive(secrets.hash(secret), now);
    if (!token) return null;
    if (!token.lastUsedAt || now.getTime() - token.lastUsedAt.getTime() >= TOUCH_EVERY_MS) {
      await work.read.access.tokens.touch(token.id, now);
    }
    const { id, name, role, siteIds } = token;
    return { kind: 'token', id, name, role, siteIds };
  }
}
