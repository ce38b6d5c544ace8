import type { PaperLanguage } from '../../core/exports/index.ts';
import type { PriceListMapping } from '../../core/ordering/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** What a person sets of a supplier. Times are the supplier's own; money is in its currency. */
export interface SupplierInput {
  readonly name: string;
  readonly zone: string;
  readonly currency: string;
  /** ISO weekdays, 1 Monday to 7 Sunday. */
  readonly deliveryWeekdays: readonly number[];
  /** Orders close at `time`, at the latest so many calendar days before the delivery. */
  readonly cutoff: { readonly daysBefore: number; readonly time: string };
  /** Working days between the cutoff and the delivery. */
  readonly leadDays: number;
  /** Decimal texts, net of tax. */
  readonly minimumOrder: string;
  readonly deliveryCharge: string;
  /** Goods value from which the delivery charge is waived. */
  readonly freeDeliveryFrom: string | null;
  /** Fewest packs of an order, all lines together; 0 for none. */
  readonly minimumPacks: number;
  /** Dates on which it neither delivers nor takes orders. */
  readonly holidays: readonly string[];
  /** Weekdays on which it takes and makes up orders; empty for all seven. */
  readonly workingWeekdays: readonly number[];
  /** Latest arrival, its own time; needed where orders close on the delivery day. */
  readonly arrivesBy: string | null;
  /** Days from the delivery to the first use. */
  readonly usableAfterDays: number;
  readonly email: string | null;
  readonly phone: string | null;
  readonly addressLines: readonly string[];
  /** GS1 global location number. */
  readonly gln: string | null;
  /** The group's account number with the supplier. */
  readonly accountNumber: string | null;
  /** What its order sheets are written in. */
  readonly language: PaperLanguage;
  /** The sites it delivers to. */
  readonly siteIds: readonly string[];
}

export interface Supplier extends SupplierInput {
  readonly id: string;
  readonly archived: boolean;
  readonly rev: number;
}

/** What a person sets of a pack. `content` is what one pack holds, as purchased. */
export interface PackInput {
  readonly ingredientId: string;
  readonly name: string;
  readonly sku: string;
  readonly gtin: string | null;
  readonly content: { readonly value: number; readonly unit: string };
  /** Fewest packs sold at once. */
  readonly minPacks: number;
  /** Most packs the supplier can give per delivery. */
  readonly maxPacks: number | null;
  readonly shelfLifeDays: number | null;
  readonly isDefault: boolean;
  readonly outOfStock: boolean;
  /** While out of stock: the first delivery date on which it can be had again. */
  readonly backOn: string | null;
}

/** A price of one pack from a date on, when at least `minPacks` are ordered; net of tax. */
export interface PackPriceInput {
  readonly validFrom: string;
  readonly minPacks: number;
  readonly amount: string;
  readonly source: string;
}
export interface PackPrice extends PackPriceInput {
  readonly id: string;
}

export interface Pack extends PackInput {
  readonly id: string;
  readonly supplierId: string;
  /** What one pack holds, in the ingredient's base unit. */
  readonly quantityBase: number;
  /** The supplier's. */
  readonly currency: string;
  /** Newest first, then by the number of packs. */
  readonly prices: readonly PackPrice[];
  readonly archived: boolean;
  readonly rev: number;
}

/** A pack as stored: the content converted. */
export interface PackToSave extends PackInput {
  readonly quantityBase: number;
}

export interface PackFilter {
  readonly archived: boolean;
  readonly supplierId?: string;
  readonly ingredientId?: string;
}

export interface SuppliersRepository {
  page(request: PageRequest, archived: boolean): Promise<Page<Supplier>>;
  all(): Promise<readonly Supplier[]>;
  find(id: string): Promise<Supplier | null>;
  insert(id: string, input: SupplierInput): Promise<Supplier>;
  update(id: string, input: SupplierInput, rev: number): Promise<Supplier | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Supplier | null>;

  packPage(request: PageRequest, filter: PackFilter): Promise<Page<Pack>>;
  /** Every pack in use of every supplier in use, with its whole price history. */
  packsWithPrices(): Promise<readonly Pack[]>;
  findPack(id: string): Promise<Pack | null>;
  findPackBySku(supplierId: string, sku: string): Promise<Pack | null>;
  /** Packs in use marked as the one ordered by habit. */
  defaultPacksOf(ingredientId: string): Promise<readonly Pack[]>;
  insertPack(id: string, supplierId: string, pack: PackToSave): Promise<Pack>;
  updatePack(id: string, pack: PackToSave, rev: number): Promise<Pack | null>;
  setPackArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Pack | null>;

  insertPrice(id: string, packId: string, price: PackPriceInput): Promise<PackPrice>;
  deletePrice(packId: string, id: string): Promise<boolean>;
  /** Writes prices, in place of those of the same pack, day and number of packs. */
  putPrices(
    prices: readonly {
      readonly id: string;
      readonly packId: string;
      readonly price: PackPriceInput;
    }[],
  ): Promise<void>;
  /** How the supplier's price list is read; null where nobody has said. */
  priceColumns(supplierId: string): Promise<PriceColumns | null>;
  setPriceColumns(supplierId: string, columns: PriceColumns): Promise<void>;
}

/** How a supplier's list is read: which column holds what. The currency is the supplier's own. */
export type PriceColumns = Omit<PriceListMapping, 'currency'>;

/** The repositories the suppliers service works with, inside one transaction. */
export interface SuppliersWork {
  readonly suppliers: SuppliersRepository;
  readonly ingredients: IngredientsRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
