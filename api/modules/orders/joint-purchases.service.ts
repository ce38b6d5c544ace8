import { addDays, serviceDateOf } from '../../core/calendar/index.ts';

import { consolidate, needsInWholePieces } from '../../core/ordering/index.ts';
import type { PackProblem, TransferRoute } from '../../core/ordering/index.ts';
import {
  invalid,
  maySeeSite,
  notFound,
  orRefuse,
  Refusal,
  requireRevision,
  type Actor,
} from '../platform/index.ts';
import { loadOrderBook, type OrderBook } from './order-book.ts';
import { needsSetAside } from './carries.ts';
import { carriesOf, jointOrders } from './joint-plans.ts';
import type { GoodsCarry, JointPurchase } from './joint-purchases.ports.ts';
import { openTrips } from './open-trips.ts';
import { proposalInput } from './order-run.ts';
import type { OrdersWork } from './orders.ports.ts';
import type { OrdersDependencies, OrdersService } from './orders.service.ts';
import { offersOf, siteProblem, slotsOf, suppliersOf } from './pack-problem.ts';
import type { ProposalInput } from './proposal.ts';

/** How long each of the two ways may be looked for, a part. */
const LIMITS = { relativeGap: 0.005, timeLimitS: 15, maxNodes: 2_000 };
const SHOWN = 50;

const minuteOf = (at: Date): number => Math.floor(at.getTime() / 60_000);

/** Needs of several sites bought together, with goods carried on, where that is cheaper. */
export class JointPurchasesService {
  readonly #deps: OrdersDependencies;
  readonly #orders: OrdersService;

  constructor(deps: OrdersDependencies, orders: OrdersService) {
    this.#deps = deps;
    this.#orders = orders;
  }

  /** Those all of whose sites the actor may see, the latest first. */
  async list(actor: Actor): Promise<readonly JointPurchase[]> {
    const found = await this.#deps.work.read.jointPurchases.latest(SHOWN);
    return found.filter((purchase) => seesAll(actor, purchase));
  }

  async get(actor: Actor, id: string): Promise<JointPurchase> {
    return find(this.#deps.work.read, actor, id);
  }

  /** Goods that go from or to the actor's sites. */
  carries(actor: Actor, siteId: string | undefined): Promise<readonly GoodsCarry[]> {
    if (siteId !== undefined && !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    const siteIds = siteId === undefined ? actor.siteIds : [siteId];
    return this.#deps.work.read.jointPurchases.carries({ siteIds });
  }

  book(): Promise<OrderBook> {
    return loadOrderBook(this.#deps.work.read);
  }

  /**
   * Works out both ways of buying for the sites, under the same rules, and keeps the comparison.
   * Nothing is ordered by it.
   * @throws Refusal `invalid-input` for fewer than two sites with a plan in one currency, or no way
   *         with a trip in time between them
   */
  async workOut(
    actor: Actor,
    asked: { readonly siteIds?: readonly string[]; readonly days: number },
  ): Promise<JointPurchase> {
    const { work, clock, newId, solver } = this.#deps;
    const now = clock.now();
    const book = await this.book();
    const wanted = asked.siteIds ?? [...book.sites.keys()].filter((id) => maySeeSite(actor, id));
    for (const siteId of wanted) {
      if (!book.sites.has(siteId) || !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    }
    const inputs: ProposalInput[] = [];
    for (const siteId of new Set(wanted)) {
      const given = { siteId, book, now, days: asked.days, newId };
      const input = await proposalInput(work.read, given);
      if (input) inputs.push(input);
    }
    const currency = inputs[0]?.site.currency ?? '';
    const same = inputs.filter((input) => input.site.currency === currency);
    if (same.length < 2 || (asked.siteIds && same.length < inputs.length)) {
      throw invalid('/siteIds', 'It takes two sites with a plan that buy in one currency.');
    }
    const transfers = await openTrips(work.read, same, now, currency);
    if (transfers.length === 0) {
      throw invalid('/siteIds', 'No trip goes between these sites in time to carry goods on.');
    }
    const problem = jointProblem(same, transfers, asked.days);
    const found = orRefuse(await consolidate(problem, solver, LIMITS));
    const purchase: JointPurchase = {
      id: newId('jpu'),
      siteIds: same.map(({ site }) => site.id),
      currency,
      days: asked.days,
      status: 'proposed',
      choice: found.choice,
      separateCost: found.separate.cost,
      togetherCost: found.together.cost,
      saving: found.saving,
      inputs: same.map(stateOf),
      plans: {
        separate: jointOrders(found.separate),
        together: jointOrders(found.together),
        carries: carriesOf(found.together, problem, isCounted(book)),
      },
      workedOutAt: now,
      workedOutBy: actor.name,
      decidedAt: null,
      decidedBy: null,
      reason: null,
      rev: 1,
    };
    await work.run(async ({ jointPurchases }) => jointPurchases.insert(purchase));
    return purchase;
  }

  /**
   * Takes the joint purchase: what is to be carried is on record from here on, and the orders of the
   * sites are worked out with it.
   * @throws Refusal `stale-version`; `conflict` when it was decided, does not pay, or plans and orders
   *         moved on since
   */
  async accept(actor: Actor, id: string, rev: number): Promise<JointPurchase> {
    const { work, clock, newId } = this.#deps;
    const now = clock.now();
    const book = await this.book();
    const taken = await work.run(async (inside) => {
      const purchase = await find(inside, actor, id);
      requireRevision(rev, purchase);
      if (purchase.choice !== 'together') {
        throw new Refusal('conflict', 'Buying together costs no less: there is nothing to take.');
      }
      for (const siteId of [...purchase.siteIds].sort()) await inside.prep.lockSite(siteId);
      for (const before of purchase.inputs) {
        const given = { siteId: before.siteId, book, now, days: purchase.days, newId };
        const input = await proposalInput(inside, given);
        if (!input || !isSameState(stateOf(input), before)) {
          throw new Refusal(
            'conflict',
            `Plan or orders of ${book.sites.get(before.siteId)?.name ?? before.siteId} moved on since this was worked out. Work it out again.`,
            { detail: { siteId: before.siteId } },
          );
        }
      }
      await this.#decide(inside, actor, purchase, 'accepted', null);
      await inside.jointPurchases.insertCarries(
        purchase.plans.carries.map(({ tripCost: _cost, ...carry }) => ({
          ...carry,
          id: newId('gca'),
          jointPurchaseId: id,
          status: 'planned' as const,
          carried: null,
          reason: null,
          rev: 1,
        })),
      );
      return purchase;
    });
    // Who buys for others goes first: what cannot be bought for them is not promised to them.
    const buyers = new Set(taken.plans.carries.map((carry) => carry.fromSiteId));
    const siteIds = [...buyers, ...taken.siteIds.filter((siteId) => !buyers.has(siteId))];
    await this.#orders.runOrders(actor, { siteIds, days: taken.days });
    return find(work.read, actor, id);
  }

  async decline(
    actor: Actor,
    id: string,
    rev: number,
    reason: string | null,
  ): Promise<JointPurchase> {
    const { work } = this.#deps;
    await work.run(async (inside) => {
      const purchase = await find(inside, actor, id);
      requireRevision(rev, purchase);
      await this.#decide(inside, actor, purchase, 'declined', reason);
    });
    return find(work.read, actor, id);
  }

  async #decide(
    work: OrdersWork,
    actor: Actor,
    purchase: JointPurchase,
    status: 'accepted' | 'declined',
    reason: string | null,
  ): Promise<void> {
    const decidedAt = this.#deps.clock.now();
    const decision = { status, decidedAt, decidedBy: actor.name, reason };
    if (
      purchase.status !== 'proposed' ||
      !(await work.jointPurchases.decide(purchase.id, purchase.rev, decision))
    ) {
      throw new Refusal('conflict', 'This joint purchase was decided already.');
    }
    await work.audit.append({
      actor,
      action: status,
      subjectKind: 'joint purchase',
      subjectId: purchase.id,
      detail: { saving: purchase.saving, currency: purchase.currency },
    });
  }
}

/** The sites' problems as one: each keeps its needs, deliveries and contracts, and what it sets aside. */
function jointProblem(
  inputs: readonly ProposalInput[],
  transfers: readonly TransferRoute[],
  days: number,
): PackProblem {
  const [first] = inputs;
  if (!first) throw new Error('A joint purchase needs sites.');
  const nowMin = minuteOf(first.now);
  const own = inputs.map((input) => siteProblem(input).problem);
  const needs = inputs.flatMap((input, i) => [
    ...(own[i]?.needs ?? []).filter(({ siteId }) => siteId === input.site.id),
    ...needsSetAside(input, orRefuse(serviceDateOf(nowMin, input.site.zone))),
  ]);
  const suppliers = new Map(
    inputs.flatMap((input) => suppliersOf(input).map((one) => [one.id, one] as const)),
  );
  const slots = inputs.flatMap((input) => slotsOf(input, suppliersOf(input), nowMin));
  const today = orRefuse(serviceDateOf(nowMin, first.site.zone));
  return {
    currency: first.site.currency,
    horizonEnd: addDays(today, days),
    needs: needsInWholePieces(needs, isCounted(first.book)),
    offers: offersOf(first, [...suppliers.values()], slots).offers,
    suppliers: [
      ...new Map(own.flatMap((p) => p.suppliers.map((one) => [one.supplierId, one]))).values(),
    ],
    slots,
    contracts: own.flatMap((problem) => problem.contracts ?? []),
    laterUse: own.flatMap((problem) => problem.laterUse ?? []),
    transfers,
    settings: own[0]?.settings ?? {},
  };
}

const isCounted =
  ({ ingredients }: OrderBook) =>
  (ingredientId: string): boolean =>
    ingredients.get(ingredientId)?.baseUnit === 'each';

/** What a comparison rests on: the plan and the orders of a site, each with its revision. */
const stateOf = (input: ProposalInput): JointPurchase['inputs'][number] => ({
  siteId: input.site.id,
  planId: input.planId,
  orders: input.standing.map(({ id, rev }) => `${id}@${rev}`),
});

const isSameState = (
  a: JointPurchase['inputs'][number],
  b: JointPurchase['inputs'][number],
): boolean =>
  a.planId === b.planId &&
  a.orders.length === b.orders.length &&
  a.orders.every((order) => b.orders.includes(order));

const seesAll = (actor: Actor, purchase: JointPurchase): boolean =>
  purchase.siteIds.every((siteId) => maySeeSite(actor, siteId));

async function find(work: OrdersWork, actor: Actor, id: string): Promise<JointPurchase> {
  const found = await work.jointPurchases.find(id);
  if (!found || !seesAll(actor, found)) throw notFound('joint purchase', id);
  return found;
}
