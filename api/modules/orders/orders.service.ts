import { deliveryOptions, requireNoOpenOrder } from '../../core/ordering/index.ts';
import { chain, evaluate, subgraph } from '../../core/explanation/index.ts';
import type { MilpSolver } from '../../core/milp/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  orRefuse,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import type { ExplainedFigure } from '../prep/index.ts';
import { deliveryRulesOf } from '../suppliers/index.ts';
import { findOrder, orderToChange, saveOrder } from './order-access.ts';
import { loadOrderBook, type OrderBook } from './order-book.ts';
import { toRecord } from './order-record.ts';
import { applyProposal, proposalInput } from './order-run.ts';
import { priceFor, withPacks, withValue } from './order-value.ts';
import type {
  KeptOrderRun,
  Order,
  OrderAddition,
  OrderFilter,
  OrderLine,
  OrderShortfall,
  OrdersWork,
} from './orders.ports.ts';
import { packTotals, type PackTotal } from './pack-totals.ts';
import type { Proposal, ProposalInput } from './proposal.ts';
import { proposeOrders } from './propose-orders.ts';

export type { OrderBook } from './order-book.ts';

export interface OrdersDependencies {
  readonly work: UnitOfWork<OrdersWork>;
  readonly clock: Clock;
  readonly newId: NewId;
  readonly solver: MilpSolver;
}

/** What a working-out of the orders came to. */
export interface OrderRun {
  readonly orders: readonly Order[];
  readonly shortfalls: readonly OrderShortfall[];
  readonly additions: readonly OrderAddition[];
  readonly warnings: readonly string[];
}

/** The last run of a site, and whether the plan it was made from still stands. */
export interface LastOrderRun {
  readonly run: KeptOrderRun;
  readonly ofCurrentPlan: boolean;
}

/** How often a site's orders are worked out again when its plan or orders change meanwhile. */
const TRIES = 3;

/** A site's orders worked out, and what from. */
interface WorkedOut {
  readonly input: ProposalInput;
  readonly proposal: Proposal;
}

/** Proposes orders from the current plans, lets people change them, and explains them. */
export class OrdersService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  /**
   * Works out the proposed orders of the sites anew. Pack counts changed by hand are kept. The choice
   * is made outside a transaction and put in place only if plan and orders still stand as they were;
   * each site's orders land together.
   */
  async runOrders(
    actor: Actor,
    request: { readonly siteIds?: readonly string[]; readonly days: number },
  ): Promise<OrderRun> {
    const book = await this.book();
    const wanted = request.siteIds ?? [...book.sites.keys()].filter((id) => maySeeSite(actor, id));
    for (const siteId of wanted) {
      if (!book.sites.has(siteId) || !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    }
    // All are worked out before the first is put in place: what cannot be worked out at one site
    // refuses the run and changes nothing at another.
    const worked = new Map<string, WorkedOut | null>();
    for (const siteId of wanted)
      worked.set(siteId, await this.#workOut(siteId, request.days, book));
    const shortfalls: OrderShortfall[] = [];
    const additions: OrderAddition[] = [];
    const warnings = new Set<string>();
    for (const siteId of wanted) {
      // What another site turned out not to be able to buy for this one, this one buys itself.
      const first = shortfalls.some((short) => short.siteId === siteId)
        ? undefined
        : worked.get(siteId);
      const proposal = await this.#runSite(actor, siteId, request.days, book, first);
      shortfalls.push(...(proposal?.shortfalls ?? []));
      additions.push(...(proposal?.additions ?? []));
      for (const warning of proposal?.warnings ?? []) warnings.add(warning);
    }
    const orders = await this.#deps.work.read.orders.matching({
      siteIds: wanted,
      status: 'proposed',
    });
    return { orders, shortfalls, additions, warnings: [...warnings] };
  }

  /** @returns null where the site has no plan to buy for */
  async #workOut(siteId: string, days: number, book: OrderBook): Promise<WorkedOut | null> {
    const { work, clock, newId, solver } = this.#deps;
    const input = await proposalInput(work.read, { siteId, book, now: clock.now(), days, newId });
    return input && { input, proposal: await proposeOrders(input, solver) };
  }

  /** @param first - worked out already; it is tried first, and worked out anew where it does not stand */
  async #runSite(
    actor: Actor,
    siteId: string,
    days: number,
    book: OrderBook,
    first?: WorkedOut | null,
  ): Promise<Proposal | null> {
    for (let tries = 0; tries < TRIES; tries += 1) {
      const made =
        tries === 0 && first !== undefined ? first : await this.#workOut(siteId, days, book);
      if (!made) return null;
      const { input, proposal } = made;
      if (
        await this.#deps.work.run((inside) => applyProposal(inside, input, proposal, actor.name))
      ) {
        return proposal;
      }
    }
    throw new Refusal(
      'conflict',
      'The plan or the orders of this site keep changing at this moment. Try again in a minute.',
      { detail: { siteId } },
    );
  }

  /** What the last working-out of each of the actor's sites came to; one site where named. */
  async lastRuns(actor: Actor, siteId?: string): Promise<readonly LastOrderRun[]> {
    const { orders, prep } = this.#deps.work.read;
    if (siteId !== undefined && !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    const runs = await orders.lastRuns(siteId === undefined ? actor.siteIds : [siteId]);
    return Promise.all(
      runs.map(async (run) => ({
        run,
        ofCurrentPlan: (await prep.currentPlan(run.siteId))?.id === run.planId,
      })),
    );
  }

  /** Names for showing orders. */
  book(): Promise<OrderBook> {
    return loadOrderBook(this.#deps.work.read);
  }

  /** The name of the group that buys, where somebody gave one. */
  groupName(): Promise<string | null> {
    return this.#deps.work.read.orders.groupName();
  }

  list(
    actor: Actor,
    request: PageRequest,
    filter: Omit<OrderFilter, 'siteIds'>,
  ): Promise<Page<Order>> {
    return this.#deps.work.read.orders.page(request, { ...filter, siteIds: actor.siteIds });
  }

  matching(actor: Actor, filter: Omit<OrderFilter, 'siteIds'>): Promise<readonly Order[]> {
    return this.#deps.work.read.orders.matching({ ...filter, siteIds: actor.siteIds });
  }

  async get(actor: Actor, id: string): Promise<Order> {
    return findOrder(this.#deps.work.read, actor, id);
  }

  /**
   * An order by hand, for what no plan asks for.
   * @throws Refusal for a date without delivery or past its cutoff, or when an order is open already
   */
  async create(
    actor: Actor,
    input: { readonly siteId: string; readonly supplierId: string; readonly deliveryDate: string },
  ): Promise<Order> {
    const { work, clock, newId } = this.#deps;
    const now = clock.now();
    const book = await this.book();
    const site = book.sites.get(input.siteId);
    if (!site || !maySeeSite(actor, input.siteId)) throw notFound('site', input.siteId);
    const supplier = book.suppliers.get(input.supplierId);
    if (!supplier || supplier.archived || !supplier.siteIds.includes(site.id)) {
      throw invalid('/supplierId', `No supplier of that id delivers to ${site.name}.`);
    }
    const nowMin = Math.floor(now.getTime() / 60_000);
    const options = orRefuse(deliveryOptions(deliveryRulesOf(supplier), nowMin, 120));
    const option = options.find((o) => o.deliveryDate === input.deliveryDate);
    if (!option) {
      throw invalid(
        '/deliveryDate',
        `${supplier.name} brings nothing on ${input.deliveryDate} that can still be ordered; the next delivery is on ${options[0]?.deliveryDate ?? 'no day in sight'}.`,
      );
    }
    const order: Order = {
      id: newId('ord'),
      number: null,
      supplierId: supplier.id,
      siteId: site.id,
      deliveryDate: option.deliveryDate,
      cutoffAt: new Date(option.cutoffMin * 60_000),
      status: 'proposed',
      currency: supplier.currency,
      total: '0',
      deliveryCharge: supplier.deliveryCharge,
      planId: null,
      choice: null,
      lastRefresh: null,
      history: [{ state: 'proposed', by: actor.name, at: now.toISOString(), note: null }],
      approvedBy: null,
      approvedAt: null,
      sentAt: null,
      supplierRef: null,
      notes: [],
      rev: 1,
      lines: [],
    };
    await work.run(async ({ orders }) => {
      const filter = { siteIds: [site.id], supplierId: supplier.id };
      const standing = await orders.matching({ ...filter, deliveryDate: option.deliveryDate });
      orRefuse(
        requireNoOpenOrder(
          standing.map((other) => toRecord(other)),
          order,
        ),
      );
      await orders.insert(order);
    });
    return order;
  }

  /** Another number of packs on a line, by hand. An approved order must be approved again. */
  async setPacks(
    actor: Actor,
    id: string,
    rev: number,
    lineId: string,
    packs: number,
    reason: string | null = null,
  ): Promise<Order> {
    return this.#change(actor, id, rev, (order, book, change) => {
      const line = order.lines.find((l) => l.id === lineId);
      if (!line) throw notFound('order line', lineId);
      const pack = book.packs.get(line.packId);
      checkPacks(packs, pack);
      return withPacks(order, lineId, packs, book.packs, { ...change, reason });
    });
  }

  /** A line by hand of something else the supplier sells. */
  async addLine(
    actor: Actor,
    id: string,
    rev: number,
    input: { readonly packId: string; readonly packs: number; readonly reason: string | null },
  ): Promise<Order> {
    return this.#change(actor, id, rev, (order, book, change) => {
      const pack = book.packs.get(input.packId);
      if (!pack || pack.supplierId !== order.supplierId) {
        throw invalid('/packId', 'This supplier sells no such pack.');
      }
      if (order.lines.some((line) => line.packId === pack.id)) {
        throw invalid('/packId', 'This pack is on the order already; change its number.');
      }
      const unitPrice = priceFor(pack, order.deliveryDate, input.packs);
      if (unitPrice === null) throw invalid('/packId', 'The price of this pack is not known.');
      checkPacks(input.packs, pack);
      const line: OrderLine = {
        id: this.#deps.newId('ol'),
        packId: pack.id,
        ingredientId: pack.ingredientId,
        packQuantity: pack.quantityBase,
        proposedPacks: 0,
        packs: input.packs,
        changedByHand: true,
        changedBy: change.by,
        changedAt: change.at,
        changeReason: input.reason,
        confirmedPacks: null,
        unitPrice,
        needQuantity: 0,
        certainQuantity: 0,
        surplusQuantity: input.packs * pack.quantityBase,
        wasteQuantity: 0,
        surplusFate: 'not-known',
        packsForMinimum: 0,
        uses: [],
        contractId: null,
        explanationNode: null,
        receivedPacks: 0,
        refusedPacks: 0,
        note: null,
      };
      return { ...order, lines: [...order.lines, line] };
    });
  }

  async #change(
    actor: Actor,
    id: string,
    rev: number,
    change: (order: Order, book: OrderBook, by: { by: string; at: Date; reason: null }) => Order,
  ): Promise<Order> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      const { order } = await orderToChange(work, actor, id, rev);
      if (order.status !== 'proposed' && order.status !== 'approved') {
        throw new Refusal(
          'conflict',
          `This order is ${order.status} already and cannot be changed.`,
        );
      }
      const book = await loadOrderBook(work);
      const changed = change(order, book, { by: actor.name, at: now, reason: null });
      const again = order.status === 'approved';
      const open: Order = again
        ? {
            ...changed,
            status: 'proposed',
            approvedBy: null,
            approvedAt: null,
            history: [
              ...order.history,
              {
                state: 'proposed',
                by: actor.name,
                at: now.toISOString(),
                note: 'changed, to be approved again',
              },
            ],
          }
        : changed;
      return saveOrder(work, withValue(open, book.suppliers.get(order.supplierId)), order.rev);
    });
  }

  /** What the actor's sites order together, by pack, over the delivery dates; cancelled ones left out. */
  async totals(
    actor: Actor,
    dates: { readonly from: string; readonly to: string },
  ): Promise<readonly PackTotal[]> {
    requireOrder(dates);
    return packTotals(await this.matching(actor, dates));
  }

  async explainLine(actor: Actor, id: string, lineId: string): Promise<ExplainedFigure> {
    const order = await this.get(actor, id);
    const nodeId = order.lines.find((line) => line.id === lineId)?.explanationNode;
    const graph = await this.#deps.work.read.orders.explanation(id);
    if (!nodeId || !graph) throw notFound('explanation of the line', lineId);
    return {
      nodeId,
      value: orRefuse(evaluate(graph, nodeId, { quantile: planQuantile })),
      graph: orRefuse(subgraph(graph, nodeId)),
      lines: orRefuse(chain(graph, nodeId)),
    };
  }
}

/** @throws Refusal when the last date is before the first */
export function requireOrder({ from, to }: { readonly from: string; readonly to: string }): void {
  if (to < from) throw invalid('/to', 'The last delivery date is before the first.');
}

function checkPacks(
  packs: number,
  pack: { readonly minPacks: number; readonly maxPacks: number | null } | undefined,
): void {
  if (!pack || packs === 0) return;
  if (packs < pack.minPacks) {
    throw invalid('/packs', `The supplier sells at least ${pack.minPacks} of this pack at once.`);
  }
  if (pack.maxPacks !== null && packs > pack.maxPacks) {
    throw invalid('/packs', `The supplier can give at most ${pack.maxPacks} of this pack.`);
  }
}
