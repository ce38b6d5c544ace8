import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { DishOffers, RecipesRepository } from '../recipes/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** What a person sets of a dish on a menu. */
export interface MenuLineInput {
  readonly dishId: string;
  /** Null: offered in every service of the site. */
  readonly serviceId: string | null;
  /** Part of the covers that order it. */
  readonly share: number;
  /** Selling price of a portion in the site's currency. */
  readonly price: { readonly amount: string; readonly currency: string };
  readonly priceIncludesTax: boolean;
  /** 0.1 is ten in a hundred. */
  readonly taxRate: number;
  /** The food cost aimed at, as a fraction of the net price. */
  readonly targetCost: number | null;
  /** A guest orders it once at most. */
  readonly oneACover: boolean;
}

export interface MenuInput {
  readonly name: string;
  /** Service dates, both included. */
  readonly activeFrom: string;
  readonly activeTo: string | null;
  readonly lines: readonly MenuLineInput[];
}

export interface MenuLine {
  readonly id: string;
  readonly dishId: string;
  readonly serviceId: string | null;
  readonly share: number;
  /** Decimal text before tax, in the site's currency. */
  readonly netPrice: string;
  readonly taxRate: number;
  readonly targetCost: number | null;
  /** A guest orders it once at most. */
  readonly oneACover: boolean;
}

export interface Menu {
  readonly id: string;
  readonly siteId: string;
  readonly name: string;
  readonly activeFrom: string;
  readonly activeTo: string | null;
  readonly lines: readonly MenuLine[];
  readonly archived: boolean;
  readonly rev: number;
}

/** A menu as stored: prices before tax. */
export interface MenuToSave {
  readonly name: string;
  readonly activeFrom: string;
  readonly activeTo: string | null;
  readonly lines: readonly Omit<MenuLine, 'id'>[];
}

/** A line with the dates of its menu. */
export interface ActiveMenuLine extends MenuLine {
  readonly menuId: string;
  readonly menuName: string;
  readonly siteId: string;
  readonly activeFrom: string;
  readonly activeTo: string | null;
}

export interface MenuFilter {
  readonly archived: boolean;
  /** Only menus active on this service date. */
  readonly on?: string;
}

export interface MenusRepository extends DishOffers {
  page(siteId: string, request: PageRequest, filter: MenuFilter): Promise<Page<Menu>>;
  find(id: string): Promise<Menu | null>;
  /** Menus in use of a site that are active on some date from `from` to `to` (open ended: null). */
  overlapping(siteId: string, from: string, to: string | null): Promise<readonly Menu[]>;
  /** Lines of menus in use that are active on some date from `from` to `to`. */
  activeLines(siteId: string, from: string, to: string): Promise<readonly ActiveMenuLine[]>;
  insert(id: string, siteId: string, menu: MenuToSave): Promise<Menu>;
  /** A line that names the same dish and service keeps its id. */
  update(id: string, menu: MenuToSave, rev: number): Promise<Menu | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Menu | null>;
}

/** The repositories the menus service works with, inside one transaction. */
export interface MenusWork {
  readonly menus: MenusRepository;
  readonly recipes: RecipesRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
