import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { PrepRepository } from '../prep/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { SuppliersRepository } from '../suppliers/index.ts';

export interface OrderLine {
  readonly id: string;
  readonly packId: string;
  readonly ingredientId: string;
  readonly proposedPacks: number;
  readonly packs: number;
  readonly changedByHand: boolean;
  /** Decimal text, the order's currency, net of tax. */
  readonly unitPrice: string;
  /** Base units as purchased that this line is for, stock and deliveries due taken off. */
  readonly needQuantity: number;
  readonly certainQuantity: number;
  readonly surplusQuantity: number;
  readonly explanationNode: string | null;
  readonly receivedPacks: number;
  readonly note: string | null;
}

export interface Order {
  readonly id: string;
  readonly number: number | null;
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: string;
  readonly cutoffAt: Date;
  readonly status: 'proposed' | 'approved' | 'sent' | 'received' | 'cancelled';
  readonly currency: string;
  readonly total: string;
  readonly planId: string | null;
  readonly approvedAt: Date | null;
  readonly notes: readonly string[];
  readonly rev: number;
  readonly lines: readonly OrderLine[];
}

export interface OrderFilter {
  readonly siteIds: 'all' | readonly string[];
  readonly siteId?: string;
  readonly supplierId?: string;
  readonly deliveryDate?: string;
  /** First and last delivery date, both included. */
  readonly from?: string;
  readonly to?: string;
  readonly status?: string;
}

export interface OrdersRepository {
  page(request: PageRequest, filter: OrderFilter): Promise<Page<Order>>;
  matching(filter: OrderFilter): Promise<readonly Order[]>;
  find(id: string): Promise<Order | null>;
  insert(order: Order): Promise<void>;
  deleteProposed(siteId: string): Promise<void>;
  /**
   * Saves total, notes and lines of a proposed order.
   * @returns false when `order.rev` is not current any more
   */
  saveProposed(order: Order): Promise<boolean>;
  /** @returns false when the revision is not current any more */
  cancel(id: string, rev: number, notes: readonly string[]): Promise<boolean>;
  /** Gives the next number of the supplier, without gaps, in this transaction. */
  approve(id: string, rev: number, supplierId: string, by: string, at: Date): Promise<boolean>;
  saveExplanation(id: string, orderId: string, graph: ExplanationGraph): Promise<void>;
  explanation(orderId: string): Promise<ExplanationGraph | null>;
  /** Ingredient stock of a site with something left and not held. */
  ingredientLots(
    siteId: string,
  ): Promise<readonly { id: string; itemId: string; quantity: number; useBy: Date }[]>;
}

export interface OrdersWork {
  readonly orders: OrdersRepository;
  readonly suppliers: SuppliersRepository;
  readonly ingredients: IngredientsRepository;
  readonly sites: SitesRepository;
  readonly prep: PrepRepository;
  readonly audit: AuditTrail;
}
