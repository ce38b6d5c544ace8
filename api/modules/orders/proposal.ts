import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { PackPlan, PlannedOrder, SupplyContract } from '../../core/ordering/index.ts';
import type { NewId } from '../platform/index.ts';
import type { IngredientNeedRow } from '../prep/index.ts';
import type { Site } from '../sites/index.ts';
import type { GoodsCarry } from './joint-purchases.ports.ts';
import type { OrderBook } from './order-book.ts';
import type {
  Delivery,
  IngredientLot,
  Order,
  OrderAddition,
  OrderShortfall,
} from './orders.ports.ts';

// What goes into the proposal of a site's orders, and what passes between its steps.

export interface ProposalInput {
  readonly site: Site;
  readonly planId: string;
  readonly needs: readonly IngredientNeedRow[];
  readonly planGraph: ExplanationGraph;
  readonly book: OrderBook;
  /** Contracts of the site, those of a category one for each ingredient of it. */
  readonly contracts: readonly (SupplyContract & { readonly id: string })[];
  /** Dates on which the site's kitchen does not work: nobody takes goods in. */
  readonly closedDates: readonly string[];
  readonly lots: readonly IngredientLot[];
  /** Orders of the site that are not over: with the supplier, or still to be changed. */
  readonly standing: readonly Order[];
  /** Goods planned to be carried from or to the site. */
  readonly carries: readonly GoodsCarry[];
  /** Orders of the site that may hold goods for carries that have not left, arrived ones too. */
  readonly holdingOrders: readonly Order[];
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
