import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { ChosenPacks, DeliveryOption } from '../../core/ordering/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import type { NewId } from '../platform/index.ts';
import type { IngredientNeedRow } from '../prep/index.ts';
import type { Site } from '../sites/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import type { Order } from './orders.ports.ts';

// What goes into the proposal of a site's orders, and what passes between its steps.

/** Something that cannot be bought in time, or at all. */
export interface OrderShortfall {
  readonly siteId: string;
  readonly ingredientId: string;
  readonly quantity: number;
  readonly needDate: string;
  readonly reason: 'no-pack' | 'past-cutoff';
  readonly message: string;
}

export interface ProposalInput {
  readonly site: Site;
  readonly planId: string;
  readonly needs: readonly IngredientNeedRow[];
  readonly planGraph: ExplanationGraph;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
  readonly suppliers: readonly Supplier[];
  readonly packs: readonly Pack[];
  readonly lots: readonly { id: string; itemId: string; quantity: number; useBy: Date }[];
  /** Orders of the site that are with the supplier already: deliveries due. */
  readonly due: readonly Order[];
  readonly now: Date;
  readonly days: number;
  readonly newId: NewId;
}

export interface Proposal {
  readonly orders: readonly { readonly order: Order; readonly graph: ExplanationGraph }[];
  readonly shortfalls: readonly OrderShortfall[];
}

/** A supplier that can still bring an ingredient in time, with its packs on sale for that delivery. */
export interface Offer {
  readonly supplier: Supplier;
  readonly packs: readonly Pack[];
  readonly delivery: DeliveryOption;
}

/** What one delivery brings of one ingredient. */
export interface Purchase {
  readonly offer: Offer;
  readonly ingredientId: string;
  readonly buys: readonly OpenBuy[];
  readonly chosen: ChosenPacks;
}

/** What covers part of a need without buying. */
export interface Taken {
  readonly lotId: string;
  readonly quantity: number;
  readonly label: string;
}

/** A need of the plan and what is still to be bought of it, in base units. */
export interface OpenBuy {
  readonly need: IngredientNeedRow;
  readonly open: number;
  readonly taken: readonly Taken[];
}
