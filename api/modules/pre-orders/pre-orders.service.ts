import { linesOn, newestSnapshot } from '../forecasts/index.ts';
import { judgeSitting, loadContext, siteDateOf } from '../covers/index.ts';
import {
  invalid,
  notFound,
  Refusal,
  requireRevision,
  requireSite,
  type Actor,
  type Clock,
  type NewId,
  type RefusalIssue,
  type UnitOfWork,
} from '../platform/index.ts';
import type { PreOrder, PreOrderInput, PreOrdersWork } from './pre-orders.ports.ts';

/** More portions a guest than this is a slip of the finger. */
const MOST_PORTIONS_A_COVER = 4;

export interface PreOrdersDependencies {
  readonly work: UnitOfWork<PreOrdersWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** A pre-order with the names of its dishes, and what is odd about it. */
export interface NamedPreOrder {
  readonly order: PreOrder;
  readonly dishNames: ReadonlyMap<string, string>;
  readonly warnings: readonly RefusalIssue[];
}

/** Parties that have ordered beforehand or eat a set menu: certain portions, counted exactly. */
export class PreOrdersService {
  readonly #deps: PreOrdersDependencies;

  constructor(deps: PreOrdersDependencies) {
    this.#deps = deps;
  }

  /** The standing ones of a site, between two service dates, both included. */
  async list(
    actor: Actor,
    siteId: string,
    from: string,
    to: string,
  ): Promise<readonly NamedPreOrder[]> {
    requireSite(actor, siteId);
    const { preOrders } = this.#deps.work.read;
    const found = await preOrders.ofSite(siteId, from, to);
    const ids = found.flatMap((order) => order.lines.map((line) => line.dishId));
    const dishNames = await preOrders.dishNames([...new Set(ids)]);
    return found.map((order) => ({ order, dishNames, warnings: [] }));
  }

  /**
   * Keeps what a party ordered for a sitting to come.
   * @throws Refusal `invalid-input` with a pointer: the service is not held then or is over, more
   * guests than the room has seats, what is no dish, a dish twice, more portions than plausible
   */
  async add(actor: Actor, siteId: string, input: PreOrderInput): Promise<NamedPreOrder> {
    requireSite(actor, siteId);
    const order: PreOrder = {
      ...input,
      id: this.#deps.newId('pre'),
      siteId,
      enteredBy: actor.name,
      createdAt: this.#deps.clock.now(),
      removedAt: null,
      rev: 1,
    };
    return this.#deps.work.run(async (work) => {
      const judged = await this.#judge(work, order);
      await work.preOrders.insert(order);
      await this.#note(work, actor, 'create', order);
      return { order, ...judged };
    });
  }

  /** Changes what a party will have. @throws Refusal as `add`; `conflict` on a stale revision */
  async change(
    actor: Actor,
    id: string,
    rev: number,
    input: PreOrderInput,
  ): Promise<NamedPreOrder> {
    return this.#deps.work.run(async (work) => {
      const standing = await this.#standing(work, actor, id);
      const judged = await this.#judge(work, { ...standing, ...input });
      const order = await work.preOrders.update(id, input, rev);
      if (!order) {
        requireRevision(rev, await this.#standing(work, actor, id));
        throw new Error(`The pre-order ${id} could not be saved.`);
      }
      await this.#note(work, actor, 'update', order);
      return { order, ...judged };
    });
  }

  /** Takes a pre-order back; it stays on record as removed. */
  async remove(actor: Actor, id: string): Promise<void> {
    await this.#deps.work.run(async (work) => {
      const order = await this.#standing(work, actor, id);
      if (!(await work.preOrders.remove(id, this.#deps.clock.now()))) {
        throw notFound('pre-order', id);
      }
      await this.#note(work, actor, 'remove', order);
    });
  }

  async #standing(work: PreOrdersWork, actor: Actor, id: string): Promise<PreOrder> {
    const order = await work.preOrders.find(id);
    if (!order || order.removedAt !== null) throw notFound('pre-order', id);
    requireSite(actor, order.siteId);
    return order;
  }

  async #judge(
    work: PreOrdersWork,
    order: PreOrder,
  ): Promise<Pick<NamedPreOrder, 'dishNames' | 'warnings'>> {
    const now = this.#deps.clock.now();
    const context = await loadContext(work.sites, order.siteId, now);
    const { service, problems, warnings } = judgeSitting(context, order);
    const [problem] = problems;
    if (problem) throw new Refusal('invalid-input', problem.message, { issues: problems });
    if (order.serviceDate < siteDateOf(now, context.site.zone)) {
      throw invalid('/serviceDate', 'This service is over.');
    }
    const { preOrders, covers, menus } = work;
    const [serviceDate] = [order.serviceDate];
    const others = (await preOrders.ofSite(order.siteId, serviceDate, serviceDate)).filter(
      (other) => other.serviceId === order.serviceId && other.id !== order.id,
    );
    const guests = others.reduce((sum, other) => sum + other.covers, order.covers);
    if (guests > service.seats) {
      throw invalid(
        '/covers',
        `${guests} guests with pre-orders is more than the ${service.seats} seats of ${service.name}.`,
      );
    }
    const dishNames = await preOrders.dishNames(order.lines.map((line) => line.dishId));
    checkLines(order, dishNames);
    const snapshots = await covers.snapshotsOf([order.serviceId], serviceDate, serviceDate);
    const booked = newestSnapshot({ snapshots }, order.serviceId, serviceDate, now)?.booked ?? 0;
    const odd = [...warnings];
    if (guests > booked) {
      odd.push({
        pointer: '/covers',
        message: `${guests} guests have ordered, and ${booked} are booked.`,
      });
    }
    const lines = await menus.activeLines(order.siteId, serviceDate, serviceDate);
    const onMenu = new Set(linesOn(lines, order.serviceId, serviceDate).map((line) => line.dishId));
    for (const [i, { dishId }] of order.lines.entries()) {
      if (onMenu.has(dishId)) continue;
      odd.push({
        pointer: `/lines/${i}/dishId`,
        message: `${dishNames.get(dishId) ?? dishId} is not on the menu then: it is made for ${order.party} only.`,
      });
    }
    return { dishNames, warnings: odd };
  }

  #note(
    { audit }: PreOrdersWork,
    actor: Actor,
    action: string,
    { id, siteId, serviceId, serviceDate, covers, lines }: PreOrder,
  ): Promise<void> {
    return audit.append({
      actor,
      action,
      subjectKind: 'pre-order',
      subjectId: id,
      siteId,
      detail: { serviceId, serviceDate, covers, lines },
    });
  }
}

function checkLines(
  { lines, covers }: PreOrderInput,
  dishNames: ReadonlyMap<string, string>,
): void {
  const seen = new Set<string>();
  let portions = 0;
  for (const [i, line] of lines.entries()) {
    if (!dishNames.has(line.dishId)) {
      throw invalid(`/lines/${i}/dishId`, `There is no dish with the id ${line.dishId}.`);
    }
    if (seen.has(line.dishId)) throw invalid(`/lines/${i}/dishId`, 'This dish is named twice.');
    seen.add(line.dishId);
    portions += line.portions;
    if (portions > MOST_PORTIONS_A_COVER * covers) {
      throw invalid(
        `/lines/${i}/portions`,
        `${portions} portions for ${covers} guests is more than ${MOST_PORTIONS_A_COVER} each.`,
      );
    }
  }
}
