import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { PackPlan, PlannedOrder, SupplyContract } from '../../core/ordering/index.ts';
import type { NewId } from '../platform/index.ts';
import type { IngredientNeedRow } from '../prep/index.ts';
import type { Site } from '../sites/index.ts';
import type { OrderBook } from './order-book.ts';
import type { Delivery, IngredientLot, Order } from './orders.ports.ts';

// What goes into the proposal of a site's orders, and what passes between its steps.

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

export interface ProposalInput {
  readonly site: Site;
  readonly planId: string;
  readonly needs: readonly IngredientNeedRow[];
  readonly planGraph: ExplanationGraph;
  readonly book: OrderBook;
  readonly contracts: readonly SupplyContract[];
  readonly lots: readonly IngredientLot[];
  /** Orders of the site that are not over: with the supplier, or still to be changed. */
  readonly standing: readonly Order[];
  readonly deliveries: readonly Delivery[];
  readonly now: Date;
  readonly days: number;
  readonly newId: NewId;
}

/** A need of the plan in the terms of core/ordering, with what makes it up. */
export interface BuyNeed {
  readonly row: IngredientNeedRow;
  /** Added for demand above the plan's level, base units. */
  readonly safety: number;
  readonly safetyLevel: number;
  readonly taken: readonly { readonly lotId: string; readonly quantity: number }[];
  /** Still to be bought: the plan's need and the safety less what is taken. */
  readonly open: number;
}

/** The order of one delivery as proposed, with the graph that explains its lines. */
export interface ProposedOrder {
  readonly planned: PlannedOrder;
  readonly order: Order;
  readonly graph: ExplanationGraph;
}

export interface Proposal {
  readonly plan: PackPlan | null;
  readonly orders: readonly ProposedOrder[];
  readonly shortfalls: readonly OrderShortfall[];
  readonly additions: readonly OrderAddition[];
  /** Packs left out because their prices or sizes make no sense. */
  readonly warnings: readonly string[];
}
