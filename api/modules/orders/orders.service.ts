import { chain, evaluate, subgraph } from '../../core/explanation/index.ts';
import { planQuantile } from '../../core/planning/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  orRefuse,
  Refusal,
  requireRevision,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import type { ExplainedFigure } from '../prep/index.ts';
import type { Site } from '../sites/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import { keepHandChanges } from './hand-changes.ts';
import { withPacks, withValue } from './order-value.ts';
import type { Order, OrderFilter, OrdersWork } from './orders.ports.ts';
import { packTotals, type PackTotal } from './pack-totals.ts';
import { proposeOrders } from './propose-orders.ts';
import type { OrderShortfall } from './proposal.ts';

export interface OrdersDependencies {
  readonly work: UnitOfWork<OrdersWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** Names beside the ids of orders. */
export interface OrderBook {
  readonly sites: ReadonlyMap<string, Site>;
  readonly suppliers: ReadonlyMap<string, Supplier>;
  readonly packs: ReadonlyMap<string, Pack>;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
}

const byId = <T extends { readonly id: string }>(rows: readonly T[]): ReadonlyMap<string, T> =>
  new Map(rows.map((row) => [row.id, row]));

/** Proposes orders from the current plans, lets people change and approve them, and explains them. */
export class OrdersService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  /** Works out the proposed orders of the sites anew. Pack counts changed by hand are kept. */
  async runOrders(
    actor: Actor,
    request: { readonly siteIds?: readonly string[]; readonly days: number },
  ): Promise<{
    readonly orders: readonly Order[];
    readonly shortfalls: readonly OrderShortfall[];
  }> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      const book = await this.#load(work);
      const wanted =
        request.siteIds ?? [...book.sites.keys()].filter((id) => maySeeSite(actor, id));
      const shortfalls: OrderShortfall[] = [];
      for (const siteId of wanted) {
        const site = book.sites.get(siteId);
        if (!site || !maySeeSite(actor, siteId)) throw notFound('site', siteId);
        await work.prep.lockSite(siteId);
        const plan = await work.prep.currentPlan(siteId);
        const planGraph = plan && (await work.prep.explanation(plan.id));
        if (!plan || !planGraph) continue;
        const standing = await work.orders.matching({ siteIds: [siteId] });
        const proposal = proposeOrders({
          site,
          planId: plan.id,
          needs: await work.prep.needsOfPlan(plan.id),
          planGraph,
          ingredients: book.ingredients,
          suppliers: [...book.suppliers.values()],
          packs: [...book.packs.values()],
          lots: await work.orders.ingredientLots(siteId),
          due: standing.filter((order) => order.status === 'approved' || order.status === 'sent'),
          now,
          days: request.days,
          newId: this.#deps.newId,
        });
        await work.orders.deleteProposed(siteId);
        const proposed = proposal.orders.map(({ order }) => order);
        for (const order of keepHandChanges(proposed, standing, book, now)) {
          await work.orders.insert(order);
        }
        for (const { order, graph } of proposal.orders) {
          await work.orders.saveExplanation(this.#deps.newId('exp'), order.id, graph);
        }
        shortfalls.push(...proposal.shortfalls);
      }
      const orders = await work.orders.matching({ siteIds: wanted, status: 'proposed' });
      return { orders, shortfalls };
    });
  }

  /** Names for showing orders. */
  book(): Promise<OrderBook> {
    return this.#load(this.#deps.work.read);
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
    const order = await this.#deps.work.read.orders.find(id);
    if (!order || !maySeeSite(actor, order.siteId)) throw notFound('order', id);
    return order;
  }

  async setPacks(
    actor: Actor,
    id: string,
    rev: number,
    lineId: string,
    packs: number,
  ): Promise<Order> {
    await this.get(actor, id);
    return this.#deps.work.run(async (work) => {
      const { orders } = work;
      const order = await orders.find(id);
      if (!order) throw notFound('order', id);
      requireRevision(rev, order);
      requireProposed(order);
      if (!order.lines.some((line) => line.id === lineId)) throw notFound('order line', lineId);
      const { packs: packBook, suppliers } = await this.#load(work);
      const changed = withPacks(order, lineId, packs, packBook);
      if (!(await orders.saveProposed(withValue(changed, suppliers.get(order.supplierId))))) {
        throw savedElsewhere();
      }
      return (await orders.find(id)) ?? order;
    });
  }

  async approve(actor: Actor, id: string, rev: number): Promise<Order> {
    await this.get(actor, id);
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async ({ orders, audit }) => {
      const order = await orders.find(id);
      if (!order) throw notFound('order', id);
      requireRevision(rev, order);
      requireProposed(order);
      if (order.cutoffAt < now) {
        throw new Refusal(
          'conflict',
          'The cutoff of this delivery has passed. Work the orders out again.',
        );
      }
      if (!(await orders.approve(id, rev, order.supplierId, actor.name, now))) {
        throw savedElsewhere();
      }
      await audit.append({
        actor,
        action: 'approve',
        subjectKind: 'order',
        subjectId: id,
        siteId: order.siteId,
        detail: { total: order.total, currency: order.currency },
      });
      return (await orders.find(id)) ?? order;
    });
  }

  /** Takes an order back, with the reason. A number once given stays with it. */
  async cancel(actor: Actor, id: string, rev: number, reason: string): Promise<Order> {
    await this.get(actor, id);
    return this.#deps.work.run(async ({ orders, audit }) => {
      const order = await orders.find(id);
      if (!order) throw notFound('order', id);
      requireRevision(rev, order);
      if (order.status === 'received' || order.status === 'cancelled') {
        throw new Refusal('conflict', `This order is ${order.status} already.`);
      }
      const notes = [...order.notes, `Cancelled by ${actor.name}: ${reason}`];
      if (!(await orders.cancel(id, rev, notes))) throw savedElsewhere();
      await audit.append({
        actor,
        action: 'cancel',
        subjectKind: 'order',
        subjectId: id,
        siteId: order.siteId,
        detail: { reason, was: order.status },
      });
      return (await orders.find(id)) ?? order;
    });
  }

  /** What the actor's sites order together, by pack, over the delivery dates; cancelled ones left out. */
  async totals(
    actor: Actor,
    dates: { readonly from: string; readonly to: string },
  ): Promise<readonly PackTotal[]> {
    if (dates.to < dates.from) {
      throw invalid('/to', 'The last delivery date is before the first.');
    }
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

  async #load(work: OrdersWork): Promise<OrderBook> {
    return {
      sites: byId(await work.sites.all()),
      suppliers: byId(await work.suppliers.all()),
      packs: byId(await work.suppliers.packsWithPrices()),
      ingredients: byId(await work.ingredients.all()),
    };
  }
}

const savedElsewhere = (): Refusal =>
  new Refusal('stale-version', 'Somebody else saved this order just now. Look again.');

function requireProposed(order: Order): void {
  if (order.status !== 'proposed') {
    throw new Refusal('conflict', `This order is ${order.status} already and cannot be changed.`);
  }
}
