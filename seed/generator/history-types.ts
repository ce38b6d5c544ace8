import type { BaseUnit, Instant, Season, ServiceDate } from './item-types.ts';
import type { DemoEvent } from './site-types.ts';

/** A card with dates: one season's lines at one site. Both dates are inclusive. */
export interface DatedMenu {
  /** `<menu key>-<season>-<year of its first day>`. */
  readonly key: string;
  readonly menu: string;
  readonly site: string;
  readonly name: string;
  readonly services: readonly string[];
  readonly season: Season;
  readonly from: ServiceDate;
  readonly to: ServiceDate;
  readonly lines: readonly { readonly dish: string; readonly share: number }[];
}

/** Covers booked for a service as they stood at `takenAt`. */
export interface CoversSnapshot {
  readonly site: string;
  readonly service: string;
  readonly serviceDate: ServiceDate;
  readonly takenAt: Instant;
  /** Whole service days between the local date of `takenAt` and `serviceDate`. */
  readonly daysBefore: number;
  readonly booked: number;
}

export interface ActualCovers {
  readonly site: string;
  readonly service: string;
  readonly serviceDate: ServiceDate;
  readonly covers: number;
}

export interface DishSale {
  readonly site: string;
  readonly service: string;
  readonly serviceDate: ServiceDate;
  readonly dish: string;
  readonly portions: number;
  /** The dish ran out: true demand was higher. */
  readonly soldOutAt?: Instant;
}

export type ItemKind = 'ingredient' | 'component' | 'byProduct';

/** Stock on hand at the moment of loading (05:30 local). */
export interface OpeningLot {
  readonly site: string;
  readonly itemKind: ItemKind;
  readonly itemKey: string;
  readonly quantityBase: number;
  readonly unit: BaseUnit;
  readonly madeAt: Instant;
  readonly useBy: Instant;
  readonly supplierLot?: string;
}

export interface WasteRecord {
  readonly site: string;
  readonly itemKind: ItemKind;
  readonly itemKey: string;
  readonly quantityBase: number;
  readonly unit: BaseUnit;
  readonly at: Instant;
  readonly reason: 'out-of-date' | 'spoiled' | 'spilled' | 'over-made' | 'quality';
}

export interface OpenOrder {
  readonly site: string;
  readonly supplier: string;
  readonly placedAt: Instant;
  readonly deliveryDate: ServiceDate;
  readonly lines: readonly { readonly sku: string; readonly packs: number }[];
}

export interface DatedEvent {
  readonly site: string;
  readonly date: ServiceDate;
  readonly kind: DemoEvent['kind'];
  /** The services it touches, spelled out. */
  readonly services: readonly string[];
  readonly guests?: number;
  readonly dish?: string;
  readonly coversFactor?: number;
  readonly name: string;
}

export interface GenerateOptions {
  readonly today: ServiceDate;
  readonly seed: number;
}

export interface DemoHistory {
  readonly today: ServiceDate;
  readonly seed: number;
  readonly menus: readonly DatedMenu[];
  readonly events: readonly DatedEvent[];
  readonly snapshots: readonly CoversSnapshot[];
  readonly actuals: readonly ActualCovers[];
  readonly sales: readonly DishSale[];
  readonly lots: readonly OpeningLot[];
  readonly wastes: readonly WasteRecord[];
  readonly openOrders: readonly OpenOrder[];
  /** Those of the days before, which came and are done with. */
  readonly pastOrders: readonly OpenOrder[];
}
