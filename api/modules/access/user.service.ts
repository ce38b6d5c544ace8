import {
  invalid,
  notFound,
  Refusal,
  requireRevision,
  ROLES,
  type Actor,
  type Page,
  type PageRequest,
  type Role,
} from '../platform/index.ts';
import type { AccessWork, SiteScope, User, UserInput } from './access.ports.ts';
import { checkPassword } from './password-rules.ts';
import { normalEmail, type AccessDependencies } from './session.service.ts';

/**
 * Leads and admins work for the whole group, a chef for named sites, purchasing for either.
 * @throws Refusal `invalid-input`
 */
export function checkScope(role: Role, siteIds: SiteScope): void {
  if ((role === 'lead' || role === 'admin') && siteIds !== 'all') {
    throw invalid('/siteIds', 'A lead or admin has all sites: write "all".');
  }
  if (role === 'chef' && siteIds === 'all') {
    throw invalid('/siteIds', "Name the chef's sites one by one.");
  }
  if (siteIds !== 'all' && new Set(siteIds).size !== siteIds.length) {
    throw invalid('/siteIds', 'A site is listed twice.');
  }
}

/** @throws Refusal `forbidden` unless a person (or the system itself) asks: keys make no keys */
export function requirePerson(actor: Actor): void {
  if (actor.kind === 'token') {
    throw new Refusal('forbidden', 'People and keys are looked after by a person who signs in.');
  }
}

/** The roles whose people somebody looks after: an admin everybody, a lead chefs. */
export function rolesInCareOf(actor: Actor): readonly Role[] {
  if (actor.kind === 'token') return [];
  if (actor.role === 'admin') return ROLES;
  return actor.role === 'lead' ? ['chef'] : [];
}

/** The people who sign in. Admins look after everybody, a lead after chefs. */
export class UserService {
  readonly #deps: AccessDependencies;

  constructor(deps: AccessDependencies) {
    this.#deps = deps;
  }

  async list(request: PageRequest, archived: boolean): Promise<Page<User>> {
    return this.#deps.work.read.access.users.page(request, { archived });
  }

  async get(id: string): Promise<User> {
    const user = await this.#deps.work.read.access.users.find(id);
    if (!user) throw notFound('user', id);
    return user;
  }

  async create(actor: Actor, input: UserInput & { readonly password: string }): Promise<User> {
    const { password, ...rest } = input;
    const user = { ...rest, email: normalEmail(rest.email) };
    this.#mayLookAfter(actor, user.role);
    checkScope(user.role, user.siteIds);
    checkPassword(password, [user.email, user.name], '/password');
    const hash = await this.#deps.hasher.hash(password);
    return this.#deps.work.run(async (work) => {
      await this.#checkSites(work, user.siteIds);
      const made = await work.access.users.insert(this.#deps.newId('usr'), user, hash);
      await this.#note(work, actor, 'create', made);
      return made;
    });
  }

  async update(actor: Actor, id: string, rev: number, input: UserInput): Promise<User> {
    const user = { ...input, email: normalEmail(input.email) };
    checkScope(user.role, user.siteIds);
    return this.#deps.work.run(async (work) => {
      const { users } = work.access;
      await this.#standing(work, actor, id);
      this.#mayLookAfter(actor, user.role);
      await this.#checkSites(work, user.siteIds);
      if (user.role !== 'admin') await this.#keepAnAdmin(work, id);
      const saved = await users.update(id, user, rev);
      if (!saved) throw await this.#lost(work, id, rev);
      await this.#note(work, actor, 'update', saved);
      return saved;
    });
  }

  /** An archived person cannot sign in; their sessions end at once. */
  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<User> {
    return this.#deps.work.run(async (work) => {
      const { users, sessions } = work.access;
      await this.#standing(work, actor, id);
      if (archived) await this.#keepAnAdmin(work, id);
      const saved = await users.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw await this.#lost(work, id, rev);
      if (archived) await sessions.deleteOfUser(id);
      await this.#note(work, actor, archived ? 'archive' : 'restore', saved);
      return saved;
    });
  }

  /** Gives somebody else a new password and ends their sessions. */
  async resetPassword(actor: Actor, id: string, password: string): Promise<void> {
    if (actor.id === id) {
      throw new Refusal('forbidden', 'Change your own password with the present one.');
    }
    const user = await this.get(id);
    this.#mayLookAfter(actor, user.role);
    checkPassword(password, [user.email, user.name], '/password');
    const hash = await this.#deps.hasher.hash(password);
    await this.#deps.work.run(async (work) => {
      const standing = await this.#standing(work, actor, id);
      await work.access.users.setPasswordHash(id, hash);
      await work.access.sessions.deleteOfUser(id);
      await this.#note(work, actor, 'reset-password', standing);
    });
  }

  #mayLookAfter(actor: Actor, role: Role): void {
    requirePerson(actor);
    if (!rolesInCareOf(actor).includes(role)) {
      throw new Refusal('forbidden', 'A lead looks after chefs; for others ask an admin.');
    }
  }

  async #standing(work: AccessWork, actor: Actor, id: string): Promise<User> {
    const user = await work.access.users.find(id);
    if (!user) throw notFound('user', id);
    this.#mayLookAfter(actor, user.role);
    return user;
  }

  /** Somebody must be able to look after everybody else. */
  async #keepAnAdmin(work: AccessWork, id: string): Promise<void> {
    const admins = await work.access.users.lockAdmins();
    if (admins.length === 1 && admins[0] === id) {
      throw new Refusal('conflict', 'This is the last admin. Make another one first.');
    }
  }

  async #checkSites(work: AccessWork, siteIds: SiteScope): Promise<void> {
    if (siteIds === 'all') return;
    const unknown = await work.access.users.unknownSites(siteIds);
    if (unknown.length > 0) {
      const index = siteIds.findIndex((id) => unknown.includes(id));
      throw invalid(`/siteIds/${index}`, `There is no site with the id ${siteIds[index]}.`);
    }
  }

  async #lost(work: AccessWork, id: string, rev: number): Promise<Error> {
    const current = await work.access.users.find(id);
    if (!current) return notFound('user', id);
    requireRevision(rev, current);
    return new Error(`The user ${id} could not be saved.`);
  }

  #note({ audit }: AccessWork, actor: Actor, action: string, user: User): Promise<void> {
    return audit.append({
      actor,
      action,
      subjectKind: 'user',
      subjectId: user.id,
      detail: { role: user.role, siteIds: user.siteIds },
    });
  }
}
