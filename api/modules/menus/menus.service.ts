import {
  lostUpdate,
  maySeeSite,
  notFound,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import { checkDishes, menuToSave, refuseTwice } from './check-menu.ts';
import type {
  ActiveMenuLine,
  Menu,
  MenuFilter,
  MenuInput,
  MenusWork,
  MenuToSave,
} from './menus.ports.ts';

export interface MenusDependencies {
  readonly work: UnitOfWork<MenusWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** A menu with what a reader needs beside it. */
export interface NamedMenu {
  readonly menu: Menu;
  readonly currency: string;
  readonly dishNames: ReadonlyMap<string, string>;
}

/** Which dishes a site offers, from when to when, for what share of covers and at what price. */
export class MenusService {
  readonly #deps: MenusDependencies;

  constructor(deps: MenusDependencies) {
    this.#deps = deps;
  }

  async list(siteId: string, request: PageRequest, filter: MenuFilter): Promise<Page<Menu>> {
    await this.#requireSite(siteId);
    return this.#deps.work.read.menus.page(siteId, request, filter);
  }

  async get(actor: Actor, id: string): Promise<Menu> {
    const menu = await this.#deps.work.read.menus.find(id);
    if (!menu || !maySeeSite(actor, menu.siteId)) throw notFound('menu', id);
    return menu;
  }

  /** Lines offered on some date from `from` to `to`. */
  async activeLines(siteId: string, from: string, to: string): Promise<readonly ActiveMenuLine[]> {
    await this.#requireSite(siteId);
    return this.#deps.work.read.menus.activeLines(siteId, from, to);
  }

  /** Adds currency and dish names. */
  async named(menus: readonly Menu[]): Promise<readonly NamedMenu[]> {
    const dishNames = new Map(
      (await this.#deps.work.read.recipes.all()).map((recipe) => [recipe.id, recipe.name]),
    );
    const currencies = new Map(
      (await this.#deps.work.read.sites.all()).map((site) => [site.id, site.currency]),
    );
    return menus.map((menu) => ({
      menu,
      currency: currencies.get(menu.siteId) ?? '',
      dishNames,
    }));
  }

  async create(actor: Actor, siteId: string, input: MenuInput): Promise<Menu> {
    return this.#deps.work.run(async (work) => {
      const id = this.#deps.newId('menu');
      const menu = await this.#read(work, id, siteId, input);
      const made = await work.menus.insert(id, siteId, menu);
      await audit(work, actor, 'create', made);
      return made;
    });
  }

  async update(actor: Actor, id: string, rev: number, input: MenuInput): Promise<Menu> {
    const { siteId } = await this.get(actor, id);
    return this.#deps.work.run(async (work) => {
      const menu = await this.#read(work, id, siteId, input);
      const saved = await work.menus.update(id, menu, rev);
      if (!saved) throw lostUpdate('menu', id, rev, await work.menus.find(id));
      await audit(work, actor, 'update', saved);
      return saved;
    });
  }

  /** Restoring checks the menu against what is published and offered now. */
  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<Menu> {
    const menu = await this.get(actor, id);
    return this.#deps.work.run(async (work) => {
      if (!archived) await checkAgainstOthers(work, id, menu.siteId, menu);
      const saved = await work.menus.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw lostUpdate('menu', id, rev, await work.menus.find(id));
      await audit(work, actor, archived ? 'archive' : 'restore', saved);
      return saved;
    });
  }

  // Inside the transaction: its own repositories only.
  async #read(work: MenusWork, id: string, siteId: string, input: MenuInput): Promise<MenuToSave> {
    const site = await work.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    if (site.archived) throw new Refusal('wrong-state', `${site.name} is archived.`);
    const menu = menuToSave(input, site, await work.sites.servicesOf(siteId, false));
    await checkAgainstOthers(work, id, siteId, menu);
    return menu;
  }

  async #requireSite(siteId: string): Promise<void> {
    if (!(await this.#deps.work.read.sites.find(siteId))) throw notFound('site', siteId);
  }
}

async function checkAgainstOthers(
  work: MenusWork,
  id: string,
  siteId: string,
  menu: MenuToSave,
): Promise<void> {
  checkDishes(menu, await work.recipes.publishedGraphRows(menu.activeFrom));
  refuseTwice(id, menu, await work.menus.overlapping(siteId, menu.activeFrom, menu.activeTo));
}

function audit(work: MenusWork, actor: Actor, action: string, menu: Menu): Promise<void> {
  const { id: subjectId, siteId } = menu;
  return work.audit.append({ actor, action, subjectKind: 'menu', subjectId, siteId });
}
