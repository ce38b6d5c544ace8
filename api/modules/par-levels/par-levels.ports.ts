import type { DishesRead } from '../dishes/index.ts';
import type { ForecastsRepository } from '../forecasts/index.ts';
import type { AuditTrail } from '../platform/index.ts';

/** How a par is set. `quantity` is portions of a dish, base units of a component. */
export type ParRule =
  | { readonly kind: 'fixed'; readonly quantity: number }
  /** Chance of lasting until more can be ready. */
  | { readonly kind: 'service_level'; readonly level: number }
  /** Margin lost on a portion short against the cost of one thrown away. */
  | { readonly kind: 'margin_against_waste' };

export const PAR_RULES = ['fixed', 'service_level', 'margin_against_waste'] as const;

/** What a person sets. */
export interface ParInput {
  /** A dish or a component. */
  readonly recipeId: string;
  readonly rule: ParRule;
  /** Days from one making to the next. */
  readonly reviewDays: number;
  /** Days from deciding to having it ready. */
  readonly leadDays: number;
  /** Service dates, both included; null: open. */
  readonly validFrom: string | null;
  readonly validTo: string | null;
  readonly reason: string | null;
}

export interface Par extends ParInput {
  readonly id: string;
  readonly siteId: string;
  readonly enteredBy: string;
  readonly archived: boolean;
  readonly rev: number;
}

/** A quantity that a person puts in place of a par for one service date. */
export interface ParOverride {
  readonly id: string;
  readonly parId: string;
  readonly siteId: string;
  readonly serviceDate: string;
  readonly quantity: number;
  readonly reason: string;
  /** What the par said for that date when it was entered. */
  readonly parQuantity: number | null;
  readonly enteredBy: string;
  readonly enteredAt: Date;
}

export interface ParsRepository {
  ofSite(siteId: string, archived: boolean): Promise<readonly Par[]>;
  find(id: string): Promise<Par | null>;
  insert(par: Omit<Par, 'archived' | 'rev'>): Promise<Par>;
  update(id: string, input: ParInput, enteredBy: string, rev: number): Promise<Par | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Par | null>;
  /** One writer of a site's pars at a time, for this transaction. */
  lockSite(siteId: string): Promise<void>;

  /** Overrides that stand, by date. */
  overridesOf(siteId: string, from: string, to: string): Promise<readonly ParOverride[]>;
  insertOverride(override: ParOverride): Promise<void>;
  removeOverride(id: string, at: Date, by: string): Promise<boolean>;
}

/** What pars are worked out from. */
export interface ParsRead extends DishesRead {
  readonly pars: ParsRepository;
  readonly forecasts: ForecastsRepository;
}

export interface ParsWork extends ParsRead {
  readonly audit: AuditTrail;
}
