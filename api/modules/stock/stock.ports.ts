import type { IngredientMeasures } from '../../core/quantity/index.ts';
import type { UseByReason } from '../../core/safety/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** By-products are components: they have a recipe to name them. */
export const ITEM_KINDS = ['ingredient', 'component'] as const;
export type ItemKind = (typeof ITEM_KINDS)[number];

export interface ItemRef {
  readonly itemKind: ItemKind;
  readonly itemId: string;
}

/** A quantity of one item with one use-by. `quantity` is in the item's base unit. */
export interface StockLot extends ItemRef {
  readonly id: string;
  readonly siteId: string;
  readonly quantity: number;
  readonly madeAt: Date;
  readonly useBy: Date;
  readonly sourceKind: string;
  readonly sourceId: string | null;
  readonly supplierLot: string | null;
  readonly heldReason: string | null;
  readonly note: string | null;
  /** Why the use-by of what was made here is what it is. */
  readonly useByReasons?: readonly UseByReason[] | null;
  readonly archived: boolean;
  readonly rev: number;
}

export type NewStockLot = Omit<StockLot, 'heldReason' | 'archived' | 'rev'>;

/**
 * A change of a lot: `quantity` above zero came in, below went out. Kinds of this module: found,
 * received, counted, wasted, held, released, sold and 'sale corrected'; prep tasks write made, used
 * and undone.
 */
export interface StockMovement {
  readonly id: string;
  readonly lotId: string;
  readonly kind: string;
  readonly quantity: number;
  readonly at: Date;
  readonly actorId: string;
  readonly taskId: string | null;
  /** The sale of a dish it was drawn for. */
  readonly saleId?: string | null;
  readonly reason: string | null;
  /** The movement this one takes back. */
  readonly undoesId?: string | null;
}
export type NewMovement = Omit<StockMovement, 'lotId' | 'taskId'>;

/** What a person found, and how far it was from the record (base units). */
export interface StockCount extends ItemRef {
  readonly id: string;
  readonly siteId: string;
  readonly quantity: number;
  readonly drift: number;
  readonly countedAt: Date;
  readonly actorId: string;
}

/** An item with what it takes to read amounts of it. */
export interface StockItem extends ItemRef {
  readonly name: string;
  readonly measures: IngredientMeasures;
}

/** `in_date` includes held lots; `usable` does not; `used_up` have nothing left. */
export const LOT_STATES = ['usable', 'in_date', 'expired', 'held', 'used_up', 'on_hand'] as const;
export type LotState = (typeof LOT_STATES)[number];

export interface LotFilter {
  readonly state: LotState;
  readonly itemKind?: ItemKind;
  readonly itemId?: string;
}

/** A wasted quantity with the item it was of. */
export interface WasteLine extends StockMovement, ItemRef {
  readonly takenBackAt: Date | null;
}

export interface StockRepository {
  /** Waits until nobody else changes the stock of this site; held until the transaction ends. */
  lockSite(siteId: string): Promise<void>;
  /** First-expiring first. */
  lotPage(
    siteId: string,
    filter: LotFilter,
    request: PageRequest,
    now: Date,
  ): Promise<Page<StockLot>>;
  findLot(id: string): Promise<StockLot | null>;
  movementsOf(lotId: string): Promise<readonly StockMovement[]>;
  /** Lots of one item at a site with something left, held and expired ones too, first-expiring first. */
  lotsOf(siteId: string, item: ItemRef): Promise<readonly StockLot[]>;
  /** Lots a kitchen may use: something left, not held; the planner judges their dates. */
  usableLots(siteId: string): Promise<readonly StockLot[]>;

  /** Inserts lots, each with its first movement of the whole quantity. */
  insertLots(
    lots: readonly { readonly lot: NewStockLot; readonly movement: NewMovement }[],
  ): Promise<void>;
  /**
   * Changes a lot by the movement's quantity and writes the movement.
   * @returns false, with nothing changed, when less is left than is to go out
   */
  move(lotId: string, movement: NewMovement): Promise<boolean>;
  /** @returns false when the lot is held (reason given) or not held (null) already */
  setHeld(lotId: string, reason: string | null, movement: NewMovement): Promise<boolean>;

  /** The id of a breach nobody has decided yet that holds this lot back. */
  openBreachOf(lotId: string): Promise<string | null>;

  insertCounts(counts: readonly StockCount[]): Promise<void>;
  countPage(
    siteId: string,
    filter: Partial<ItemRef>,
    request: PageRequest,
  ): Promise<Page<StockCount>>;
  /** Newest first. */
  wastePage(
    siteId: string,
    range: { readonly from?: Date; readonly before?: Date },
    request: PageRequest,
  ): Promise<Page<WasteLine>>;
  /** Those of a site among some lines, oldest first. */
  wasteLines(siteId: string, ids: readonly string[]): Promise<readonly WasteLine[]>;
  /** Whether an item was counted after an instant. */
  countedSince(siteId: string, item: ItemRef, at: Date): Promise<boolean>;

  /** The items among `refs` that exist, archived ones too. */
  items(refs: readonly ItemRef[]): Promise<readonly StockItem[]>;
}

/** The repositories the stock service works with, inside one transaction. */
export interface StockWork {
  readonly stock: StockRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
