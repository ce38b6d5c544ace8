import type { ServiceDate } from '../calendar/index.ts';

/** Where a quantity comes from: a node of the explanation and how much of the need it stands for. */
export interface NeedSource {
  readonly nodeId: string;
  /** Base unit of the ingredient; left out when the node stands for the whole need. */
  readonly quantityBase?: number;
}

/**
 * What a site must have of an ingredient by a date, as purchased (trim and cooking losses put back),
 * in the ingredient's base unit (g, ml or each).
 */
export interface IngredientNeed {
  readonly ingredientId: string;
  readonly siteId: string;
  /** The goods must be usable on this date. */
  readonly needDate: ServiceDate;
  readonly quantityBase: number;
  /** The part of `quantityBase` that booked covers alone need; the rest is forecast. */
  readonly certainBase: number;
  readonly refs: readonly NeedSource[];
}

/** Quantities nearer than this fraction of a need are the same: binary arithmetic leaves crumbs. */
export const QUANTITY_TOLERANCE = 1e-9;
