import { ExplanationBuilder } from '../../core/explanation/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import { cheapestPacks, deliveryOptions, unitPriceFor } from '../../core/ordering/index.ts';
import type { DeliveryOption } from '../../core/ordering/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import { serviceInstant } from '../../core/calendar/index.ts';
import { Decimal } from '../../core/money/index.ts';
import { orRefuse } from '../platform/index.ts';
import { deliveryRulesOf } from '../suppliers/index.ts';
import { CRUMB, keepsDays, needMinute, openBuys } from './open-buys.ts';
import { linesOf } from './order-lines.ts';
import { choiceOf, withValue } from './order-value.ts';
import type { Order } from './orders.ports.ts';
import type {
  Offer,
  OpenBuy,
  OrderShortfall,
  Proposal,
  ProposalInput,
  Purchase,
} from './proposal.ts';

/**
 * Proposes a site's orders. Each as-purchased need, less stock in date (first-expiring first) and
 * deliveries due, goes on the last delivery that still reaches its day. Needs that the same
 * deliveries can reach are bought together from the supplier whose whole packs cost least for
 * them; what is left of an earlier delivery's packs, while it keeps, serves before more is bought.
 */
export function proposeOrders(input: ProposalInput): Proposal {
  const shortfalls: OrderShortfall[] = [];
  const deliveries = deliveriesOf(input);
  const orders = new Map<string, Purchase[]>();
  for (const [ingredientId, buys] of openBuys(input)) {
    const groups = groupsOf(input, deliveries, buys, shortfalls);
    for (const purchase of purchasesOf(input, ingredientId, groups)) {
      const { supplier, delivery } = purchase.offer;
      const key = `${supplier.id}|${delivery.deliveryDate}`;
      orders.set(key, [...(orders.get(key) ?? []), purchase]);
    }
  }
  return {
    orders: [...orders.values()].flatMap((purchases) => orderOf(input, purchases)),
    shortfalls,
  };
}

interface DeliveryGroup {
  readonly offer: Offer;
  readonly buys: readonly OpenBuy[];
}

/** Puts the needs of an ingredient on deliveries, earliest delivery first. */
function groupsOf(
  input: ProposalInput,
  deliveries: ReadonlyMap<string, readonly DeliveryOption[]>,
  buys: readonly OpenBuy[],
  shortfalls: OrderShortfall[],
): readonly DeliveryGroup[] {
  const together = new Map<string, { offers: readonly Offer[]; buys: OpenBuy[] }>();
  for (const buy of buys) {
    const offers = offersFor(input, deliveries, buy.need);
    if (offers.length === 0) {
      shortfalls.push(shortfallOf(input, deliveries, buy));
      continue;
    }
    const key = offers.map((o) => `${o.supplier.id}|${o.delivery.deliveryDate}`).join(' ');
    const group = together.get(key) ?? { offers, buys: [] };
    together.set(key, group);
    group.buys.push(buy);
  }
  const groups = new Map<string, DeliveryGroup>();
  for (const { offers, buys: list } of together.values()) {
    const offer = cheapestOffer(offers, openOf(list));
    if (!offer) continue;
    const key = `${offer.supplier.id}|${offer.delivery.deliveryDate}`;
    groups.set(key, { offer, buys: [...(groups.get(key)?.buys ?? []), ...list] });
  }
  return [...groups.values()].sort((a, b) =>
    a.offer.delivery.usableFromDate.localeCompare(b.offer.delivery.usableFromDate),
  );
}

const openOf = (buys: readonly OpenBuy[]): number => buys.reduce((sum, buy) => sum + buy.open, 0);

/** The offer whose whole packs cost least for the need; of two the first. */
function cheapestOffer(offers: readonly Offer[], need: number): Offer | null {
  let best: { offer: Offer; cost: Decimal } | null = null;
  for (const offer of offers) {
    const chosen = cheapestPacks(need, choicesOf(offer));
    if (!chosen) continue;
    const cost = new Decimal(chosen.cost);
    if (best === null || cost.lt(best.cost)) best = { offer, cost };
  }
  return best?.offer ?? null;
}

const choicesOf = (offer: Offer) =>
  offer.packs.map((pack) => choiceOf(pack, offer.delivery.deliveryDate));

interface LeftOver {
  readonly lotId: string;
  readonly label: string;
  readonly fromMin: number;
  readonly useByMin: number;
  quantity: number;
}

/** Chooses the packs of each delivery in turn, using up what earlier packs leave. */
function purchasesOf(
  input: ProposalInput,
  ingredientId: string,
  groups: readonly DeliveryGroup[],
): readonly Purchase[] {
  const name = input.ingredients.get(ingredientId)?.name ?? ingredientId;
  const leftOver: LeftOver[] = [];
  return groups.flatMap(({ offer, buys }) => {
    const open = buys.map((buy) => lessLeftOver(buy, leftOver)).filter((buy) => buy.open > CRUMB);
    const chosen = open.length === 0 ? null : cheapestPacks(openOf(open), choicesOf(offer));
    if (!chosen) return [];
    const { deliveryDate } = offer.delivery;
    const fromMin = orRefuse(serviceInstant(deliveryDate, '00:00', input.site.zone));
    // Of mixed packs the one that keeps shortest sets the date of what is left.
    const days = chosen.packs.map(({ id }) =>
      keepsDays(
        input,
        offer.packs.find((pack) => pack.id === id),
        ingredientId,
      ),
    );
    leftOver.push({
      lotId: `${offer.supplier.id}|${deliveryDate}`,
      label: `${name} left of the packs from ${offer.supplier.name} on ${deliveryDate}`,
      fromMin,
      useByMin: fromMin + Math.min(...days) * 1440,
      quantity: chosen.quantityBase - openOf(open),
    });
    return [{ offer, ingredientId, buys: open, chosen }];
  });
}

function lessLeftOver(buy: OpenBuy, leftOver: readonly LeftOver[]): OpenBuy {
  const at = needMinute(buy.need);
  let open = buy.open;
  const taken = [...buy.taken];
  for (const lot of [...leftOver].sort((a, b) => a.useByMin - b.useByMin)) {
    const quantity = Math.min(open, lot.quantity);
    if (lot.fromMin > at || lot.useByMin < at || quantity <= CRUMB) continue;
    lot.quantity -= quantity;
    open -= quantity;
    taken.push({ lotId: lot.lotId, quantity, label: lot.label });
  }
  return { ...buy, open, taken };
}

function deliveriesOf(input: ProposalInput): ReadonlyMap<string, readonly DeliveryOption[]> {
  const nowMin = Math.floor(input.now.getTime() / 60_000);
  return new Map(
    input.suppliers
      .filter(
        (supplier) =>
          !supplier.archived &&
          supplier.siteIds.includes(input.site.id) &&
          supplier.currency === input.site.currency,
      )
      .map((supplier) => [
        supplier.id,
        orRefuse(deliveryOptions(deliveryRulesOf(supplier), nowMin, input.days + 7)),
      ]),
  );
}

function offersFor(
  input: ProposalInput,
  deliveries: ReadonlyMap<string, readonly DeliveryOption[]>,
  need: OpenBuy['need'],
): readonly Offer[] {
  return input.suppliers.flatMap((supplier) => {
    const delivery = deliveries
      .get(supplier.id)
      ?.findLast((option) => option.usableFromDate <= need.needDate);
    if (!delivery) return [];
    const packs = input.packs.filter(
      (pack) =>
        pack.supplierId === supplier.id &&
        pack.ingredientId === need.ingredientId &&
        !pack.outOfStock &&
        unitPriceFor(choiceOf(pack, delivery.deliveryDate), Math.max(1, pack.minPacks)) !== null,
    );
    return packs.length === 0 ? [] : [{ supplier, packs, delivery }];
  });
}

function shortfallOf(
  input: ProposalInput,
  deliveries: ReadonlyMap<string, readonly DeliveryOption[]>,
  { need, open }: OpenBuy,
): OrderShortfall {
  const name = input.ingredients.get(need.ingredientId)?.name ?? need.ingredientId;
  const sellers = input.packs.filter(
    (pack) => pack.ingredientId === need.ingredientId && deliveries.has(pack.supplierId),
  );
  const next = sellers
    .flatMap((pack) => deliveries.get(pack.supplierId)?.[0]?.usableFromDate ?? [])
    .sort()[0];
  const common = {
    siteId: input.site.id,
    ingredientId: need.ingredientId,
    quantity: open,
    needDate: need.needDate,
  };
  return sellers.length === 0
    ? {
        ...common,
        reason: 'no-pack',
        message: `Nobody who delivers to ${input.site.name} sells ${name}.`,
      }
    : {
        ...common,
        reason: 'past-cutoff',
        message: `${name} for ${need.needDate} can no longer be delivered in time; the next delivery can be used from ${next ?? 'no date in sight'}.`,
      };
}

/** The order of one delivery with the graph that explains it; none where nothing is to be bought. */
function orderOf(
  input: ProposalInput,
  purchases: readonly Purchase[],
): { order: Order; graph: ExplanationGraph }[] {
  const [first] = purchases;
  if (!first) return [];
  const { supplier, delivery } = first.offer;
  const builder = new ExplanationBuilder({ quantile: planQuantile });
  const copied = new Map<string, ExplanationGraph['nodes'][number]>();
  const lines = purchases.flatMap((purchase) => linesOf(input, purchase, builder, copied));
  const standing = input.due.filter(
    (order) => order.supplierId === supplier.id && order.deliveryDate === delivery.deliveryDate,
  );
  const order: Order = {
    id: input.newId('ord'),
    number: null,
    supplierId: supplier.id,
    siteId: input.site.id,
    deliveryDate: delivery.deliveryDate,
    cutoffAt: new Date(delivery.cutoffMin * 60_000),
    status: 'proposed',
    currency: supplier.currency,
    total: '0',
    planId: input.planId,
    approvedAt: null,
    notes: standing.map(
      (earlier) =>
        `Addition to order ${earlier.number ?? earlier.id} for the same delivery, which is ${earlier.status} already.`,
    ),
    rev: 1,
    lines,
  };
  const graph = {
    nodes: [...copied.values(), ...builder.graph().nodes.filter((n) => !copied.has(n.id))],
  };
  return [{ order: withValue(order, supplier), graph }];
}
