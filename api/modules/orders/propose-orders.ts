import { Decimal } from 'decimal.js';
import { serviceInstant } from '../../core/calendar/index.ts';
import { ExplanationBuilder, subgraph } from '../../core/explanation/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import { netNeeds } from '../../core/netting/index.ts';
import { cheapestPacks, deliveryOptions, unitPriceFor } from '../../core/ordering/index.ts';
import type { DeliveryOption, PackChoice } from '../../core/ordering/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { NewId } from '../platform/index.ts';
import type { IngredientNeedRow } from '../prep/index.ts';
import type { Site } from '../sites/index.ts';
import { deliveryRulesOf } from '../suppliers/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import type { Order, OrderLine } from './orders.ports.ts';

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

interface OpenBuy {
  readonly need: IngredientNeedRow;
  readonly open: number;
  readonly taken: readonly { readonly lotId: string; readonly quantity: number }[];
}

interface Offer {
  readonly supplier: Supplier;
  readonly packs: readonly Pack[];
  readonly delivery: DeliveryOption;
}

/**
 * Proposes a site's orders: each as-purchased need less stock in date (first-expiring first) and
 * deliveries due, put on the last delivery that still reaches its day from the supplier with the
 * lowest price per unit, in the cheapest whole packs.
 */
export function proposeOrders(input: ProposalInput): Proposal {
  const shortfalls: OrderShortfall[] = [];
  const buys = new Map<string, { offer: Offer; buys: OpenBuy[] }>();
  const deliveries = deliveriesOf(input);
  for (const buy of openBuys(input)) {
    const offers = offersFor(input, deliveries, buy.need);
    const best = cheapestOffer(offers);
    if (!best) {
      shortfalls.push(shortfallOf(input, deliveries, buy));
      continue;
    }
    const key = `${best.supplier.id}|${best.delivery.deliveryDate}|${buy.need.ingredientId}`;
    const group = buys.get(key) ?? { offer: best, buys: [] };
    buys.set(key, group);
    group.buys.push(buy);
  }
  const orders = new Map<string, { offer: Offer; groups: OpenBuy[][]; packs: Pack[][] }>();
  for (const { offer, buys: list } of buys.values()) {
    const key = `${offer.supplier.id}|${offer.delivery.deliveryDate}`;
    const order = orders.get(key) ?? { offer, groups: [], packs: [] };
    orders.set(key, order);
    order.groups.push(list);
    order.packs.push([...offer.packs]);
  }
  return {
    orders: [...orders.values()].map(({ offer, groups, packs }) =>
      orderOf(input, offer, groups, packs),
    ),
    shortfalls,
  };
}

/** Needs within the days asked for, less stock and what is due, by ingredient. */
function openBuys(input: ProposalInput): readonly OpenBuy[] {
  const { needs, lots, due, site } = input;
  const last = new Date(input.now.getTime() + input.days * 86_400_000).toISOString().slice(0, 10);
  const result: OpenBuy[] = [];
  for (const id of new Set(needs.map((need) => need.ingredientId))) {
    if (input.ingredients.get(id)?.notBought === true) continue;
    const own = needs.filter((need) => need.ingredientId === id && need.needDate <= last);
    const supply = [
      ...lots
        .filter((lot) => lot.itemId === id)
        .map((lot) => ({
          id: lot.id,
          quantity: lot.quantity,
          availableFromMin: 0,
          useByMin: Math.floor(lot.useBy.getTime() / 60_000),
        })),
      ...due.flatMap((order) =>
        order.lines
          .filter((line) => line.ingredientId === id)
          .map((line) => {
            const pack = input.packs.find((p) => p.id === line.packId);
            const from = orRefuse(serviceInstant(order.deliveryDate, '00:00', site.zone));
            const keeps = pack?.shelfLifeDays ?? input.ingredients.get(id)?.shelfLifeDays ?? 3;
            return {
              id: line.id,
              quantity: line.packs * (pack?.quantityBase ?? 0),
              availableFromMin: from,
              useByMin: from + keeps * 1440,
            };
          }),
      ),
    ];
    const minute = (need: IngredientNeedRow): number => Math.floor(need.at.getTime() / 60_000);
    const netted = orRefuse(
      netNeeds({
        needs: own.map((need) => ({
          id: need.id,
          atMin: minute(need),
          untilMin: minute(need),
          quantity: need.quantity,
        })),
        lots: supply,
      }),
    );
    const open = new Map(netted.net.map((net) => [net.id, net.quantity]));
    for (const need of own) {
      const quantity = open.get(need.id) ?? 0;
      if (quantity <= 1e-9) continue;
      result.push({
        need,
        open: quantity,
        taken: netted.allocations.filter((a) => a.needId === need.id),
      });
    }
  }
  return result.sort((a, b) => (a.need.needDate < b.need.needDate ? -1 : 1));
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

function choiceOf(pack: Pack, onDate: string): PackChoice {
  const inForce = pack.prices.filter((price) => price.validFrom <= onDate);
  const newest = inForce.reduce(
    (last, price) => (price.validFrom > last ? price.validFrom : last),
    '',
  );
  return {
    id: pack.id,
    quantityBase: pack.quantityBase,
    minPacks: Math.max(1, pack.minPacks),
    prices: inForce
      .filter((price) => price.validFrom === newest)
      .map(({ minPacks, amount }) => ({ minPacks, amount })),
  };
}

function offersFor(
  input: ProposalInput,
  deliveries: ReadonlyMap<string, readonly DeliveryOption[]>,
  need: IngredientNeedRow,
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

function cheapestOffer(offers: readonly Offer[]): Offer | null {
  const perUnit = (offer: Offer): number =>
    Math.min(
      ...offer.packs.map((pack) => {
        const price = unitPriceFor(
          choiceOf(pack, offer.delivery.deliveryDate),
          Math.max(1, pack.minPacks),
        );
        return price === null ? Infinity : Number(price) / pack.quantityBase;
      }),
    );
  return offers.reduce<Offer | null>(
    (best, offer) => (best === null || perUnit(offer) < perUnit(best) ? offer : best),
    null,
  );
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

function orderOf(
  input: ProposalInput,
  offer: Offer,
  groups: readonly OpenBuy[][],
  packsOf: readonly Pack[][],
): { order: Order; graph: ExplanationGraph } {
  const builder = new ExplanationBuilder({ quantile: planQuantile });
  const copied = new Map<string, ExplanationGraph['nodes'][number]>();
  const lines = groups.flatMap((group, i) =>
    linesOf(input, offer, group, packsOf[i] ?? [], builder, copied),
  );
  const total = lines.reduce(
    (sum, line) => sum.plus(new Decimal(line.unitPrice).times(line.packs)),
    new Decimal(0),
  );
  const minimum = new Decimal(offer.supplier.minimumOrder);
  const notes = total.lt(minimum)
    ? [
        `${minimum.minus(total).toFixed(2)} ${offer.supplier.currency} below the minimum order of ${minimum.toFixed(2)}: nothing was added to reach it.`,
      ]
    : [];
  const order: Order = {
    id: input.newId('ord'),
    number: null,
    supplierId: offer.supplier.id,
    siteId: input.site.id,
    deliveryDate: offer.delivery.deliveryDate,
    cutoffAt: new Date(offer.delivery.cutoffMin * 60_000),
    status: 'proposed',
    currency: offer.supplier.currency,
    total: total.toFixed(4),
    planId: input.planId,
    notes,
    rev: 1,
    lines,
  };
  return {
    order,
    graph: {
      nodes: [...copied.values(), ...builder.graph().nodes.filter((n) => !copied.has(n.id))],
    },
  };
}

function linesOf(
  input: ProposalInput,
  offer: Offer,
  group: readonly OpenBuy[],
  packs: readonly Pack[],
  builder: ExplanationBuilder,
  copied: Map<string, ExplanationGraph['nodes'][number]>,
): OrderLine[] {
  const [first] = group;
  if (!first) return [];
  const ingredient = input.ingredients.get(first.need.ingredientId);
  const name = ingredient?.name ?? first.need.ingredientId;
  const unit = ingredient?.baseUnit ?? 'g';
  const openNodes = group.map((buy) => {
    for (const node of orRefuse(subgraph(input.planGraph, buy.need.node)).nodes) {
      if (copied.has(node.id)) continue;
      copied.set(node.id, node);
      const { value, formula, ...rest } = node;
      if (formula === 'given') builder.given({ ...rest, value });
      else builder.add({ ...rest, formula });
    }
    const taken = buy.taken.map(({ lotId, quantity }) => ({
      nodeId: builder.given({
        label: `${name} in stock or due`,
        value: quantity,
        unit,
        source: { kind: 'stock or delivery', id: lotId, note: buy.need.id },
      }),
      factor: -1,
    }));
    return builder.add({
      id: `buy:${buy.need.id}`,
      label: `${name} to buy for ${buy.need.needDate}`,
      unit,
      formula: 'not-below-zero',
      inputs: [{ nodeId: buy.need.node }, ...taken],
    });
  });
  const needNode = builder.add({
    id: `buy:${first.need.ingredientId}:${offer.delivery.deliveryDate}`,
    label: `${name} for the delivery of ${offer.delivery.deliveryDate}`,
    unit,
    formula: 'weighted-sum',
    inputs: openNodes.map((nodeId) => ({ nodeId })),
  });
  const need = builder.value(needNode);
  const certain = group.reduce(
    (sum, buy) =>
      sum + buy.open * (buy.need.quantity > 0 ? buy.need.certainQuantity / buy.need.quantity : 0),
    0,
  );
  const chosen = cheapestPacks(
    need,
    packs.map((pack) => choiceOf(pack, offer.delivery.deliveryDate)),
  );
  if (!chosen) return [];
  return chosen.packs.map((choice) => {
    const pack = packs.find((p) => p.id === choice.id);
    const size = pack?.quantityBase ?? 0;
    const alone = chosen.packs.length === 1;
    const rounded = Math.ceil(need / size - 1e-9) === choice.packs;
    const packsNode =
      alone && rounded
        ? builder.add({
            id: `packs:${choice.id}`,
            label: `${pack?.name ?? choice.id}, whole packs`,
            unit: 'packs',
            formula: 'round-up-to-multiple',
            inputs: [{ nodeId: needNode, factor: 1 / size }],
            parameters: { multiple: 1 },
            source: { kind: 'pack', id: choice.id, note: `${size} ${unit} a pack` },
          })
        : builder.add({
            id: `packs:${choice.id}`,
            label: `${pack?.name ?? choice.id}, packs that make the need cheapest`,
            unit: 'packs',
            formula: 'weighted-sum',
            inputs: [
              {
                nodeId: builder.given({
                  label: `${pack?.name ?? choice.id}, chosen at least cost`,
                  value: choice.packs,
                  unit: 'packs',
                  source: { kind: 'pack', id: choice.id, note: `least cost ${chosen.cost}` },
                }),
              },
              { nodeId: needNode, factor: 0, role: 'need' },
            ],
          });
    return {
      id: input.newId('ol'),
      packId: choice.id,
      ingredientId: first.need.ingredientId,
      proposedPacks: choice.packs,
      packs: choice.packs,
      changedByHand: false,
      unitPrice: choice.unitPrice,
      needQuantity: need,
      certainQuantity: certain,
      surplusQuantity: Math.max(0, chosen.quantityBase - need),
      explanationNode: packsNode,
      receivedPacks: 0,
      note: null,
    };
  });
}
