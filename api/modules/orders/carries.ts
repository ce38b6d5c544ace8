import { addDays, daysBetween } from '../../core/calendar/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { IngredientNeed, IngredientStock, TransferRoute } from '../../core/ordering/index.ts';
import type { GoodsCarry } from './joint-purchases.ports.ts';
import type { Order } from './orders.ports.ts';
import type { BuyNeed, ProposalInput } from './proposal.ts';

/** A carry that nobody wrote down counts as coming until so many days after it could be used. */
const DAYS_LATE = 2;
/** Crumbs of binary arithmetic are no goods. */
const CRUMB = 1e-6;

const nodeOf = (carry: GoodsCarry, needDate: string): string => `carry:${carry.id}:${needDate}`;

/** Orders that may hold goods for other sites: those sent, and those that came already. */
const HOLDING: readonly Order['status'][] = [
  'sent',
  'confirmed',
  'part-delivered',
  'received',
  'closed',
];

/** What orders that cannot be changed any more hold for a use of a carry, base units. */
function heldFor(carry: GoodsCarry, needDate: string, orders: readonly Order[]): number {
  return orders
    .filter((order) => HOLDING.includes(order.status) && order.siteId === carry.fromSiteId)
    .flatMap((order) => order.lines)
    .filter((line) => line.ingredientId === carry.ingredientId)
    .flatMap((line) => line.uses)
    .filter((use) => use.siteId === carry.toSiteId && use.needDate === needDate)
    .reduce((sum, use) => sum + use.quantity, 0);
}

/** The carries of the site that still are to leave it. */
export const carriesOut = ({ carries, site }: ProposalInput, today: string) =>
  carries.filter((carry) => carry.fromSiteId === site.id && carry.tripDate >= today);

/** Goods that other sites carry here, as stock to come. */
export function goodsCarriedHere(
  { carries, site }: ProposalInput,
  today: string,
): IngredientStock[] {
  return carries
    .filter((carry) => carry.toSiteId === site.id && carry.usableFrom >= addDays(today, -DAYS_LATE))
    .map((carry) => ({
      id: carry.id,
      siteId: site.id,
      ingredientId: carry.ingredientId,
      quantityBase: carry.quantity,
      usableFromDate: carry.usableFrom,
      ...(carry.useBy === null ? {} : { useByDate: carry.useBy }),
    }));
}

/**
 * The stock of a site less what is set aside in it for others: goods bought for a carry that has not
 * left. What keeps longest is set aside first, because it must last at the other end.
 */
export function lessSetAside(
  stock: readonly IngredientStock[],
  input: ProposalInput,
  today: string,
): IngredientStock[] {
  const left = [...stock].sort((a, b) =>
    (b.useByDate ?? '9999-12-31').localeCompare(a.useByDate ?? '9999-12-31'),
  );
  for (const carry of carriesOut(input, today)) {
    let wanted = carry.uses.reduce(
      (sum, use) => sum + Math.min(use.quantity, heldFor(carry, use.needDate, input.holdingOrders)),
      0,
    );
    for (const [i, lot] of left.entries()) {
      if (wanted <= CRUMB) break;
      if (lot.ingredientId !== carry.ingredientId) continue;
      const taken = Math.min(wanted, lot.quantityBase);
      wanted -= taken;
      left[i] = { ...lot, quantityBase: lot.quantityBase - taken };
    }
  }
  return left.filter((lot) => lot.quantityBase > CRUMB);
}

/** What a site still has to buy for others: their needs, and the trips that take the goods there. */
export interface CarriedNeeds {
  readonly needs: readonly IngredientNeed[];
  readonly buyNeeds: readonly BuyNeed[];
  readonly transfers: readonly TransferRoute[];
}

/**
 * The needs of other sites that this one buys for. Goods leave with a trip the day after they came
 * at the earliest, so that they are checked and cold before they go on.
 */
export function carriedNeeds(input: ProposalInput, today: string): CarriedNeeds {
  const needs: IngredientNeed[] = [];
  const buyNeeds: BuyNeed[] = [];
  const trips = new Map<string, TransferRoute>();
  for (const carry of carriesOut(input, today)) {
    for (const use of carry.uses) {
      const open = use.quantity - heldFor(carry, use.needDate, input.holdingOrders);
      if (open <= CRUMB) continue;
      const nodeId = nodeOf(carry, use.needDate);
      const certain = Math.min(open, use.certain);
      needs.push({
        ingredientId: carry.ingredientId,
        siteId: carry.toSiteId,
        needDate: use.needDate,
        quantityBase: open,
        certainBase: certain,
        refs: [{ nodeId }],
      });
      buyNeeds.push({
        row: {
          id: nodeId,
          planId: input.planId,
          siteId: carry.toSiteId,
          ingredientId: carry.ingredientId,
          needDate: use.needDate,
          at: new Date(`${use.needDate}T12:00:00Z`),
          quantity: open,
          certainQuantity: certain,
          node: nodeId,
          drivenBy: null,
        },
        safety: 0,
        safetyLevel: 0,
        taken: [],
        open,
      });
      const { fromSiteId, toSiteId, tripDate, usableFrom } = carry;
      trips.set(`${toSiteId}|${tripDate}|${usableFrom}`, {
        fromSiteId,
        toSiteId,
        tripDates: [addDays(tripDate, -1)],
        costPerTrip: '0',
        handlingDays: daysBetween(tripDate, usableFrom) + 1,
      });
    }
  }
  return { needs, buyNeeds, transfers: [...trips.values()] };
}

/**
 * What a site still has to buy for carries that stand, as needs of its own on the last day before
 * each trip: whichever way the rest is bought, these goods go as they were decided.
 */
export function needsSetAside(input: ProposalInput, today: string): IngredientNeed[] {
  return carriesOut(input, today).flatMap((carry) =>
    carry.uses.flatMap((use): IngredientNeed[] => {
      const open = use.quantity - heldFor(carry, use.needDate, input.holdingOrders);
      if (open <= CRUMB) return [];
      return [
        {
          ingredientId: carry.ingredientId,
          siteId: input.site.id,
          needDate: addDays(carry.tripDate, -1),
          quantityBase: open,
          certainBase: Math.min(open, use.certain),
          refs: [{ nodeId: nodeOf(carry, use.needDate) }],
        },
      ];
    }),
  );
}

/** The plan's graph with a leaf for each need of another site that is bought here. */
export function withCarriedNodes(
  graph: ExplanationGraph,
  carries: readonly GoodsCarry[],
  nameOf: (siteId: string) => string,
  given: {
    readonly siteId: string;
    readonly holdingOrders: readonly Order[];
    readonly unitOf: (ingredientId: string) => string;
  },
): ExplanationGraph {
  const leaves = carries
    .filter((carry) => carry.fromSiteId === given.siteId)
    .flatMap((carry) =>
      carry.uses.flatMap((use): ExplanationGraph['nodes'][number][] => {
        const open = use.quantity - heldFor(carry, use.needDate, given.holdingOrders);
        if (open <= CRUMB) return [];
        return [
          {
            id: nodeOf(carry, use.needDate),
            label: `For ${nameOf(carry.toSiteId)} on ${use.needDate}, with the trip of ${carry.tripDate}`,
            value: open,
            unit: given.unitOf(carry.ingredientId),
            formula: 'given',
            inputs: [],
            source: { kind: 'carry', id: carry.id },
          },
        ];
      }),
    );
  return { nodes: [...graph.nodes, ...leaves] };
}
