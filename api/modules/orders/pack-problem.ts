import { addDays, serviceDateOf } from '../../core/calendar/index.ts';
import { pricesInForce } from '../../core/cost/index.ts';
import { availableStretches, checkPackOffer, deliveryOptions } from '../../core/ordering/index.ts';
import type {
  DeliverySlot,
  IngredientNeed,
  PackOffer,
  PackProblem,
  Stretch,
  SupplierTerms,
} from '../../core/ordering/index.ts';
import { massOf } from '../central-production/index.ts';
import { measuresOf } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';
import { deliveryRulesOf, type Pack, type Supplier } from '../suppliers/index.ts';
import { carriedNeeds } from './carries.ts';
import { keepsDays, packAvailability } from '../supply-terms/index.ts';
import { buyNeeds, isOpenToPlan, laterUse } from './buy-needs.ts';

import type { BuyNeed, ProposalInput } from './proposal.ts';

/** Filling an order up to its minimum may cost this part of the minimum; our own setting, no source. */
const BELOW_MINIMUM_FRACTION = 0.15;
/** Look this far past the days ordered for, so that the next delivery can be named. */
const NEXT_DELIVERY_DAYS = 7;

/** The choice to be made for one site, and what its needs are made up of. */
export interface SiteProblem {
  readonly problem: PackProblem;
  /** By need row. */
  readonly needs: ReadonlyMap<string, BuyNeed>;
  readonly warnings: readonly string[];
}

/**
 * Turns a site's plan into the choice of packs: as-purchased needs dated from the plan's batches,
 * with safety by shelf life, less stock in date and deliveries due; packs on sale at their prices on
 * each delivery date; deliveries that can still be ordered.
 */
export function siteProblem(input: ProposalInput): SiteProblem {
  const nowMin = Math.floor(input.now.getTime() / 60_000);
  const today = orRefuse(serviceDateOf(nowMin, input.site.zone));
  const lastDate = addDays(today, input.days);
  const suppliers = suppliersOf(input);
  const slots = slotsOf(input, suppliers, nowMin);
  const { offers, warnings } = offersOf(input, suppliers, slots);
  const horizon = { today, lastDate, offers };
  const needs = buyNeeds(input, horizon);
  const forOthers = carriedNeeds(input, today);
  return {
    warnings,
    needs: new Map([...needs, ...forOthers.buyNeeds].map((need) => [need.row.id, need])),
    problem: {
      currency: input.site.currency,
      horizonEnd: lastDate,
      needs: [
        ...forOthers.needs,
        ...needs.flatMap(({ row, open, safety }): IngredientNeed[] => {
          if (open <= 0) return [];
          const covered = row.quantity + safety - open;
          return [
            {
              ingredientId: row.ingredientId,
              siteId: input.site.id,
              needDate: row.needDate,
              quantityBase: open,
              certainBase: Math.min(open, Math.max(0, row.certainQuantity - covered)),
              refs: [{ nodeId: row.id }],
            },
          ];
        }),
      ],
      transfers: forOthers.transfers,
      offers,
      suppliers: suppliers.map(termsOf),
      slots,
      contracts: input.contracts,
      laterUse: laterUse(input, horizon),
      settings: { belowMinimumFraction: BELOW_MINIMUM_FRACTION },
    },
  };
}

/** What a supplier asks of each order, as core/ordering takes it. */
export function termsOf(supplier: Supplier): SupplierTerms {
  return {
    supplierId: supplier.id,
    minOrderValue: supplier.minimumOrder,
    minOrderPacks: supplier.minimumPacks,
    deliveryCharge: supplier.deliveryCharge,
    ...(supplier.freeDeliveryFrom === null ? {} : { freeDeliveryFrom: supplier.freeDeliveryFrom }),
  };
}

/** Who delivers to the site and is paid in its currency. */
export const suppliersOf = ({ book, site }: ProposalInput): readonly Supplier[] =>
  [...book.suppliers.values()].filter(
    (supplier) =>
      !supplier.archived &&
      supplier.siteIds.includes(site.id) &&
      supplier.currency === site.currency,
  );

/**
 * Deliveries that can still be ordered; none on a day on which nobody is there to take it in, and
 * none for which an order is with the supplier.
 */
export function slotsOf(
  input: ProposalInput,
  suppliers: readonly Supplier[],
  nowMin: number,
): DeliverySlot[] {
  const taken = new Set(
    input.standing
      .filter((order) => !isOpenToPlan(order, input.now))
      .map((order) => `${order.supplierId}|${order.deliveryDate}`),
  );
  return suppliers.flatMap((supplier) => {
    const days = input.days + NEXT_DELIVERY_DAYS;
    const options = orRefuse(deliveryOptions(deliveryRulesOf(supplier), nowMin, days));
    return options
      .filter(({ deliveryDate }) => !input.closedDates.includes(deliveryDate))
      .filter((option) => !taken.has(`${supplier.id}|${option.deliveryDate}`))
      .map((option) => ({ ...option, supplierId: supplier.id, siteId: input.site.id }));
  });
}

/** The pack an offer is of: a pack whose price changes on the way has an offer a price. */
export const packOfOffer = (offerId: string): string => offerId.split('~')[0] ?? offerId;

/** Packs on sale as offers, one for each price in force over the deliveries. */
export function offersOf(
  input: Pick<ProposalInput, 'book'>,
  suppliers: readonly Supplier[],
  slots: readonly DeliverySlot[],
): { readonly offers: readonly PackOffer[]; readonly warnings: readonly string[] } {
  const dates = slots.map((slot) => slot.deliveryDate).sort();
  const [first, last] = [dates[0], dates.at(-1)];
  const offers: PackOffer[] = [];
  const warnings: string[] = [];
  if (first === undefined || last === undefined) return { offers, warnings };
  const known = new Map(suppliers.map((supplier) => [supplier.id, supplier]));
  for (const pack of input.book.packs.values()) {
    const supplier = known.get(pack.supplierId);
    if (!supplier) continue;
    for (const offer of packOffers(input, pack, { supplier, first, last })) {
      const checked = checkPackOffer(offer, supplier.currency);
      if (checked.ok) offers.push(offer);
      else warnings.push(`${pack.name} (${supplier.name}) is left out: ${checked.error.message}`);
    }
  }
  return { offers, warnings };
}

function packOffers(
  input: Pick<ProposalInput, 'book'>,
  pack: Pack,
  given: { readonly supplier: Supplier; readonly first: string; readonly last: string },
): PackOffer[] {
  const { supplier, first, last } = given;
  const ingredient = input.book.ingredients.get(pack.ingredientId);
  if (!ingredient || ingredient.notBought) return [];
  const availability = packAvailability(pack, ingredient, input.book.gaps);
  const massPerBaseG = massOf(1, { measures: measuresOf(ingredient) });
  const stretches = orRefuse(availableStretches(availability, first, last));
  return stretches
    .flatMap((stretch) => atOnePrice(pack, stretch))
    .flatMap(({ fromDate, toDate }, i): PackOffer[] => {
      const [base, ...breaks] = pricesInForce(pack.prices, fromDate);
      if (!base) return [];
      return [
        {
          id: i === 0 ? pack.id : `${pack.id}~${fromDate}`,
          supplierId: supplier.id,
          ingredientId: pack.ingredientId,
          quantityBase: pack.quantityBase,
          price: base.amount,
          currency: pack.currency,
          ...(breaks.length === 0
            ? {}
            : { priceBreaks: breaks.map((b) => ({ minPacks: b.minPacks, price: b.amount })) }),
          minPacks: Math.max(pack.minPacks, base.minPacks),
          ...(pack.maxPacks === null ? {} : { maxPacks: pack.maxPacks }),
          shelfLifeDays: keepsDays(pack, ingredient),
          ...(massPerBaseG === null ? {} : { massPerBaseG }),
          fromDate,
          toDate,
          isDefault: pack.isDefault,
        },
      ];
    });
}

/** The stretch cut where a new price begins. */
function atOnePrice(pack: Pack, { fromDate, toDate }: Stretch): Stretch[] {
  const changes = pack.prices.map((p) => p.validFrom).filter((d) => d > fromDate && d <= toDate);
  const starts = [...new Set([fromDate, ...changes])].sort();
  return starts.map((start, i) => {
    const next = starts[i + 1];
    return { fromDate: start, toDate: next === undefined ? toDate : addDays(next, -1) };
  });
}
