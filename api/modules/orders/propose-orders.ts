import { serviceDateOf } from '../../core/calendar/index.ts';
import { ExplanationBuilder } from '../../core/explanation/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { MilpSolver } from '../../core/milp/index.ts';
import { choosePacks, lateAdditions } from '../../core/ordering/index.ts';
import type { PackPlan, PlannedOrder } from '../../core/ordering/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import { orRefuse } from '../platform/index.ts';
import { isOpenToPlan, ordersDue } from './buy-needs.ts';
import { lineOf, type OrderGraph } from './order-lines.ts';
import { toRecord } from './order-record.ts';
import { withValue } from './order-value.ts';
import type { Order, OrderAddition } from './orders.ports.ts';
import { packOfOffer, siteProblem } from './pack-problem.ts';
import { shortfallsOf } from './shortfalls.ts';
import type { Proposal, ProposalInput, ProposedOrder } from './proposal.ts';

/** How long the choice of one part of a site's orders may be looked for. */
const LIMITS = { relativeGap: 0.005, timeLimitS: 10, maxNodes: 2_000 };

/**
 * Proposes a site's orders at the least cost over packs, suppliers and deliveries together (see
 * core/ordering choosePacks), and says what cannot be bought in time.
 */
export async function proposeOrders(input: ProposalInput, solver: MilpSolver): Promise<Proposal> {
  const { problem, needs, warnings } = siteProblem(input);
  const plan = orRefuse(await choosePacks(problem, solver, LIMITS));
  const nowMin = Math.floor(input.now.getTime() / 60_000);
  const today = orRefuse(serviceDateOf(nowMin, input.site.zone));
  const sent = ordersDue(input, today);
  const records = sent.map((order) => ({
    ...toRecord(order, input.deliveries),
    state: order.status === 'approved' ? ('sent' as const) : order.status,
  }));
  const additions = lateAdditions(records, plan).map((late): OrderAddition => ({
    orderId: late.orderId,
    orderNumber: sent.find((order) => order.id === late.orderId)?.number ?? null,
    siteId: late.siteId,
    ingredientId: late.ingredientId,
    added: late.added.map(({ offerId, ...rest }) => ({ ...rest, packId: packOfOffer(offerId) })),
    shortQuantity: late.shortfalls.reduce((sum, short) => sum + short.quantityBase, 0),
  }));
  return {
    plan,
    orders: plan.orders.map((planned) => orderOf(input, planned, { plan, needs, additions })),
    shortfalls: shortfallsOf(input, plan.shortfalls, needs, today),
    additions,
    warnings,
  };
}

/** The order of one delivery with the graph that explains its lines. */
function orderOf(
  input: ProposalInput,
  planned: PlannedOrder,
  given: {
    readonly plan: PackPlan;
    readonly needs: Parameters<typeof lineOf>[3];
    readonly additions: readonly OrderAddition[];
  },
): ProposedOrder {
  const { plan, needs, additions } = given;
  const graph: OrderGraph = {
    builder: new ExplanationBuilder({ quantile: planQuantile }),
    copied: new Map(),
  };
  const supplier = input.book.suppliers.get(planned.supplierId);
  const dates = planned.lines.flatMap((line) => line.uses.map((use) => use.needDate)).sort();
  const waste = planned.lines.reduce((sum, line) => sum + Number(line.expectedWasteCost), 0);
  const order: Order = {
    id: input.newId('ord'),
    number: null,
    supplierId: planned.supplierId,
    siteId: input.site.id,
    deliveryDate: planned.deliveryDate,
    cutoffAt: new Date(planned.cutoffMin * 60_000),
    status: 'proposed',
    currency: plan.currency,
    total: planned.goodsCost,
    deliveryCharge: planned.deliveryCharge,
    planId: input.planId,
    choice: {
      method: plan.method,
      gap: plan.gap,
      coversFrom: dates[0] ?? null,
      coversTo: dates.at(-1) ?? null,
      expectedWasteCost: waste.toFixed(4),
      toReachMinimum: planned.toReachMinimum ?? null,
    },
    lastRefresh: null,
    history: [{ state: 'proposed', by: 'the plan', at: input.now.toISOString(), note: null }],
    approvedBy: null,
    approvedAt: null,
    sentAt: null,
    supplierRef: null,
    notes: notesOf(input, planned, additions),
    rev: 1,
    lines: planned.lines.map((line) => lineOf(input, line, planned, needs, graph)),
  };
  return { planned, order: withValue(order, supplier), graph: graphOf(graph) };
}

/** The plan's own nodes as they stand there, then what the order adds. */
function graphOf({ builder, copied }: OrderGraph): ExplanationGraph {
  const own = builder.graph().nodes.filter((node) => !copied.has(node.id));
  return { nodes: [...copied.values(), ...own] };
}

function notesOf(
  input: ProposalInput,
  planned: PlannedOrder,
  additions: readonly OrderAddition[],
): string[] {
  const notes: string[] = [];
  const { currency } = input.site;
  const filled = planned.toReachMinimum;
  if (filled) {
    const waste = Number(filled.expectedWasteCost);
    const lost = waste > 0 ? `, of which ${waste.toFixed(2)} ${currency} will not be used` : '';
    notes.push(
      `${Number(filled.cost).toFixed(2)} ${currency} of packs only reach the minimum order${lost}.`,
    );
  }
  const names = new Map<string, string[]>();
  for (const addition of additions) {
    const here = addition.added.some(
      (a) => a.supplierId === planned.supplierId && a.deliveryDate === planned.deliveryDate,
    );
    if (!here) continue;
    const to = String(addition.orderNumber ?? addition.orderId);
    const name = input.book.ingredients.get(addition.ingredientId)?.name ?? addition.ingredientId;
    names.set(to, [...(names.get(to) ?? []), name]);
  }
  for (const [number, list] of names) {
    notes.push(`Addition to order ${number}, which is with the supplier: ${list.join(', ')}.`);
  }
  return notes;
}

export { isOpenToPlan };
