import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type {
  OrderState,
  ReceiptLine,
  ReceivingFinding,
  RefreshDifference,
} from '../../core/ordering/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { PrepRepository } from '../prep/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { StockRepository } from '../stock/index.ts';
import type { JointPurchasesRepository, WaysRead } from './joint-purchases.ports.ts';
import type { SuppliersRepository } from '../suppliers/index.ts';
import type { SupplyTermsRepository } from '../supply-terms/index.ts';

/** What one dated need takes of a line, base units. */
export interface LineNeed {
  readonly siteId: string;
  readonly needDate: string;
  readonly quantity: number;
  readonly certain: number;
}

export interface OrderLine {
  readonly id: string;
  readonly packId: string;
  readonly ingredientId: string;
  /** Content of a pack when the line was made, base unit of the ingredient. */
  readonly packQuantity: number;
  readonly proposedPacks: number;
  readonly packs: number;
  readonly changedByHand: boolean;
  readonly changedBy: string | null;
  readonly changedAt: Date | null;
  readonly changeReason: string | null;
  readonly confirmedPacks: number | null;
  /** Decimal text, the order's currency, net of tax. */
  readonly unitPrice: string;
  /** Base units as purchased that this line is for, stock and deliveries due taken off. */
  readonly needQuantity: number;
  readonly certainQuantity: number;
  readonly surplusQuantity: number;
  readonly wasteQuantity: number;
  readonly surplusFate: string | null;
  readonly packsForMinimum: number;
  readonly uses: readonly LineNeed[];
  /** The contract that bound the site to the supplier when the line was proposed. */
  readonly contractId: string | null;
  readonly explanationNode: string | null;
  readonly receivedPacks: number;
  readonly refusedPacks: number;
  readonly note: string | null;
}

/** How the packs of an order were chosen, and what the choice says about the supplier's minimum. */
export interface OrderChoice {
  readonly method: string;
  readonly gap: number | null;
  /** First and last date whose needs the order serves. */
  readonly coversFrom: string | null;
  readonly coversTo: string | null;
  readonly expectedWasteCost: string;
  readonly toReachMinimum: { readonly cost: string; readonly expectedWasteCost: string } | null;
}

export interface OrderHistoryStep {
  readonly state: OrderState;
  readonly by: string;
  readonly at: string;
  readonly note: string | null;
}

/** What the last working-out changed, and when. */
export interface OrderRefresh {
  readonly at: string;
  readonly differences: readonly RefreshDifference[];
}

export interface Order {
  readonly id: string;
  readonly number: number | null;
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: string;
  readonly cutoffAt: Date;
  readonly status: OrderState;
  readonly currency: string;
  /** Goods, decimal text; the delivery charge comes on top. */
  readonly total: string;
  readonly deliveryCharge: string;
  readonly planId: string | null;
  readonly choice: OrderChoice | null;
  readonly lastRefresh: OrderRefresh | null;
  readonly history: readonly OrderHistoryStep[];
  readonly approvedBy: string | null;
  readonly approvedAt: Date | null;
  readonly sentAt: Date | null;
  /** The supplier's own number for the order, once confirmed. */
  readonly supplierRef: string | null;
  readonly notes: readonly string[];
  readonly rev: number;
  readonly lines: readonly OrderLine[];
}

/** What came to the door. */
export interface Delivery {
  readonly id: string;
  readonly orderId: string;
  readonly siteId: string;
  readonly date: string;
  readonly receivedAt: Date;
  readonly actorId: string;
  readonly actorName: string;
  readonly lines: readonly ReceiptLine[];
  readonly findings: readonly ReceivingFinding[];
  readonly final: boolean;
  readonly note: string | null;
}

/** A supplier's invoice for an order with what the check found. Amounts are decimal texts. */
export interface OrderInvoice {
  readonly id: string;
  readonly orderId: string;
  readonly number: string;
  readonly date: string;
  readonly currency: string;
  readonly lines: readonly { lineId: string; packs: number; pricePerPack: string }[];
  readonly deliveryCharge: string;
  readonly findings: readonly {
    lineId: string | null;
    kind: string;
    packs: number;
    creditDue: string;
  }[];
  readonly creditDue: string;
  readonly enteredAt: Date;
  readonly actorName: string;
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
  readonly statuses?: readonly string[];
}

/** An ingredient lot as the orders count on it. */
export interface IngredientLot {
  readonly id: string;
  readonly itemId: string;
  readonly quantity: number;
  readonly useBy: Date;
}

/** Something that cannot be bought in time, or at all. */
export interface OrderShortfall {
  readonly siteId: string;
  readonly ingredientId: string;
  readonly quantity: number;
  readonly certain: number;
  readonly needDate: string;
  readonly reason:
    'no-pack' | 'past-cutoff' | 'no-delivery' | 'out-of-date' | 'not-enough' | 'not-available';
  /** The first date on which the next delivery can be used. */
  readonly nextFrom: string | null;
  readonly message: string;
  /** True when nothing of that day's need is there, on the shelf or due. */
  readonly whole: boolean;
  /** Dishes that the need goes into, as they were named then. */
  readonly dishes: readonly { readonly id: string; readonly name: string }[];
}

/** An ingredient a sent order was to cover, bought with a later delivery because needs grew. */
export interface OrderAddition {
  readonly orderId: string;
  readonly orderNumber: number | null;
  readonly siteId: string;
  readonly ingredientId: string;
  readonly added: readonly {
    supplierId: string;
    deliveryDate: string;
    packId: string;
    packs: number;
  }[];
  /** Base units missing until then. */
  readonly shortQuantity: number;
}

/** What the last working-out of a site's orders could not buy, and what it left out. */
export interface KeptOrderRun {
  readonly siteId: string;
  readonly planId: string;
  readonly days: number;
  readonly workedOutAt: Date;
  readonly workedOutBy: string;
  readonly shortfalls: readonly OrderShortfall[];
  readonly additions: readonly OrderAddition[];
  readonly warnings: readonly string[];
}

export interface OrdersRepository {
  page(request: PageRequest, filter: OrderFilter): Promise<Page<Order>>;
  matching(filter: OrderFilter): Promise<readonly Order[]>;
  find(id: string): Promise<Order | null>;
  /** @throws Refusal `conflict` when another order for the delivery is open */
  insert(order: Order): Promise<void>;
  /**
   * Saves everything of an order and its lines over revision `rev`.
   * @returns false, with nothing changed, when that is not current any more
   */
  save(order: Order, rev: number): Promise<boolean>;
  /** Takes away a proposal that never had a number. */
  remove(id: string): Promise<void>;
  /** The next number of the supplier: no gaps, no repeats, held until the transaction ends. */
  nextNumber(supplierId: string): Promise<number>;
  saveExplanation(id: string, orderId: string, graph: ExplanationGraph): Promise<void>;
  explanation(orderId: string): Promise<ExplanationGraph | null>;
  /** Puts the run in the place of the site's last one. */
  saveRun(run: KeptOrderRun): Promise<void>;
  /** The last run of each site, by site. */
  lastRuns(siteIds: 'all' | readonly string[]): Promise<readonly KeptOrderRun[]>;
  /** Ingredient stock of a site with something left and not held. */
  ingredientLots(siteId: string): Promise<readonly IngredientLot[]>;

  insertDelivery(delivery: Delivery): Promise<void>;
  deliveriesOf(orderIds: readonly string[]): Promise<readonly Delivery[]>;
  insertInvoice(invoice: OrderInvoice): Promise<void>;
  invoicesOf(orderId: string): Promise<readonly OrderInvoice[]>;

  /** The name of the group, for the buyer's side of an order. */
  groupName(): Promise<string | null>;
}

/** The most somebody may approve in one order: decimal text and currency. */
export interface ApprovalLimit {
  readonly id: string;
  /** A user's or token's id, or `role:` and the role. */
  readonly subject: string;
  readonly currency: string;
  readonly amount: string;
}

export interface ApprovalLimitsRepository {
  all(): Promise<readonly ApprovalLimit[]>;
  of(subjects: readonly string[]): Promise<readonly ApprovalLimit[]>;
  put(limit: ApprovalLimit): Promise<void>;
  remove(id: string): Promise<boolean>;
}

export interface OrdersWork {
  readonly jointPurchases: JointPurchasesRepository;
  readonly centralProduction: WaysRead;
  readonly orders: OrdersRepository;
  readonly approvalLimits: ApprovalLimitsRepository;
  readonly suppliers: SuppliersRepository;
  readonly supplyTerms: Pick<SupplyTermsRepository, 'gaps' | 'contracts'>;
  readonly ingredients: IngredientsRepository;
  readonly sites: SitesRepository;
  readonly prep: PrepRepository;
  readonly stock: StockRepository;
  readonly audit: AuditTrail;
}
