import {
  invalid,
  maySeeSite,
  notFound,
  Refusal,
  type Actor,
  type Clock,
  type NewId,
  type Page,
  type PageRequest,
  type RefusalIssue,
  type UnitOfWork,
} from '../platform/index.ts';
import type { MealService, SitesRepository } from '../sites/index.ts';
import {
  coversContext,
  judgeAhead,
  judgeOutcome,
  judgeSale,
  judgeSnapshot,
  type CoversContext,
} from './covers-rules.ts';
import { dateRange, saysTheSame, snapshotKey } from './compare-covers.ts';
import { drawStock } from './draw-stock.ts';
import type {
  CoversEvent,
  CoversFollower,
  CoversSnapshot,
  CoversWork,
  DishSale,
  EventInput,
  OutcomeInput,
  SaleInput,
  ServiceOutcome,
  Sitting,
  SnapshotFilter,
  SnapshotInput,
  StatedCovers,
} from './covers.ports.ts';

export interface CoversDependencies {
  readonly work: UnitOfWork<CoversWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** A saved value with what is odd about it. */
export interface Noted<T> {
  readonly value: T;
  readonly warnings: readonly RefusalIssue[];
}

/** Everything known about one sitting. */
export interface SittingCovers {
  readonly service: MealService;
  readonly snapshots: readonly CoversSnapshot[];
  readonly outcome: ServiceOutcome | null;
  readonly sales: readonly DishSale[];
  readonly events: readonly CoversEvent[];
}

/** @returns what the rules look at for one site; @throws Refusal `not-found` */
export async function loadContext(
  sites: SitesRepository,
  siteId: string,
  now: Date,
): Promise<CoversContext> {
  const site = await sites.find(siteId);
  if (!site) throw notFound('site', siteId);
  const services = await sites.servicesOf(siteId, true);
  return coversContext(site, services, await sites.closedDaysOf(siteId), now);
}

function refuse(problems: readonly RefusalIssue[]): void {
  const [first] = problems;
  if (first) throw new Refusal('invalid-input', first.message, { issues: problems });
}

/** Bookings as they come in, what came of services, what was sold, and what is known ahead. */
export class CoversService {
  readonly #deps: CoversDependencies;
  readonly #follower: CoversFollower;

  constructor(deps: CoversDependencies, follower: CoversFollower) {
    this.#deps = deps;
    this.#follower = follower;
  }

  /**
   * Keeps booking snapshots, all of them or none.
   * @throws Refusal `conflict` when one of the same service, date and instant is there already;
   * `invalid-input` with a pointer for each row that is wrong
   */
  async addSnapshots(
    siteId: string,
    inputs: readonly SnapshotInput[],
  ): Promise<Noted<readonly CoversSnapshot[]>> {
    const context = await this.#context(siteId);
    const problems: RefusalIssue[] = [];
    const warnings: RefusalIssue[] = [];
    for (const [i, input] of inputs.entries()) {
      const judged = judgeSnapshot(context, input);
      const at = (issue: RefusalIssue) => ({
        ...issue,
        pointer: `/snapshots/${i}${issue.pointer}`,
      });
      problems.push(...judged.problems.map(at));
      warnings.push(...judged.warnings.map(at));
    }
    refuse(problems);
    const snapshots = inputs.map((input) => ({ id: this.#deps.newId('snap'), siteId, ...input }));
    await this.#deps.work.run(async ({ covers }) => {
      const [from, to] = dateRange(inputs);
      const serviceIds = [...new Set(inputs.map((input) => input.serviceId))];
      const seen = new Set((await covers.snapshotsOf(serviceIds, from, to)).map(snapshotKey));
      const twice: RefusalIssue[] = [];
      for (const [i, input] of inputs.entries()) {
        const key = snapshotKey(input);
        if (seen.has(key)) {
          twice.push({
            pointer: `/snapshots/${i}`,
            message: 'There is a snapshot of this service, date and instant already.',
          });
        }
        seen.add(key);
      }
      const [first] = twice;
      if (first) throw new Refusal('conflict', first.message, { issues: twice });
      await covers.insertSnapshots(snapshots);
    });
    await this.#follower.sittingsChanged(inputs);
    return { value: snapshots, warnings };
  }

  /**
   * Keeps one snapshot from a booking system, which may send it again: the same figure changes
   * nothing, another figure for the same instant is refused.
   */
  async putSnapshot(
    actor: Actor,
    input: SnapshotInput,
  ): Promise<Noted<CoversSnapshot> & { readonly isNew: boolean }> {
    const { siteId } = await this.#serviceOf(actor, input.serviceId);
    const judged = judgeSnapshot(await this.#context(siteId), input);
    refuse(judged.problems);
    const snapshot = { id: this.#deps.newId('snap'), siteId, ...input };
    const kept = await this.#deps.work.run(async ({ covers }) => {
      if (await covers.insertSnapshotIfNew(snapshot)) {
        return { value: snapshot, warnings: judged.warnings, isNew: true };
      }
      const standing = await covers.findSnapshot(input, input.takenAt);
      if (!standing || !saysTheSame(standing, input)) {
        const pointer = standing?.booked === input.booked ? '/cancelled' : '/booked';
        const said = pointer === '/booked' ? standing?.booked : standing?.cancelled;
        throw new Refusal('conflict', 'Another figure stands for this instant already.', {
          issues: [{ pointer, message: `It says ${said ?? 'nothing'}.` }],
          detail: { booked: standing?.booked ?? null, cancelled: standing?.cancelled ?? null },
        });
      }
      return { value: standing, warnings: judged.warnings, isNew: false };
    });
    if (kept.isNew) await this.#follower.sittingsChanged([input]);
    return kept;
  }

  async listSnapshots(
    siteId: string,
    filter: SnapshotFilter,
    request: PageRequest,
  ): Promise<Page<CoversSnapshot>> {
    await this.#context(siteId);
    return this.#deps.work.read.covers.snapshotPage(siteId, filter, request);
  }

  /** The booking curve of a sitting, what came of it and what was sold. */
  async sitting(actor: Actor, { serviceId, serviceDate }: Sitting): Promise<SittingCovers> {
    const service = await this.#serviceOf(actor, serviceId);
    const { covers } = this.#deps.work.read;
    const [outcome] = await covers.outcomesOf([serviceId], serviceDate, serviceDate);
    const events = await covers.eventsOf(service.siteId, serviceDate, serviceDate);
    return {
      service,
      snapshots: await covers.snapshotsOf([serviceId], serviceDate, serviceDate),
      outcome: outcome ?? null,
      sales: await covers.salesOf([serviceId], serviceDate, serviceDate),
      events: events.filter((event) => event.serviceId === serviceId),
    };
  }

  /** Says what came of a sitting; a later word replaces an earlier one. */
  async putOutcome(actor: Actor, input: OutcomeInput): Promise<Noted<ServiceOutcome>> {
    const { siteId } = await this.#serviceOf(actor, input.serviceId);
    const { serviceId, serviceDate } = input;
    const booked = await this.#deps.work.read.covers.snapshotsOf(
      [serviceId],
      serviceDate,
      serviceDate,
    );
    const judged = judgeOutcome(await this.#context(siteId), input, booked.at(-1));
    refuse(judged.problems);
    const kept = await this.#deps.work.run(async ({ covers, audit }) => {
      await covers.putOutcomes([{ id: this.#deps.newId('out'), siteId, ...input }]);
      const [saved] = await covers.outcomesOf([serviceId], serviceDate, serviceDate);
      if (!saved) throw notFound('outcome', serviceId);
      await audit.append({
        actor,
        action: 'record-outcome',
        subjectKind: 'service',
        subjectId: serviceId,
        siteId,
        detail: {
          serviceDate,
          covers: input.covers,
          walkIns: input.walkIns,
          noShows: input.noShows,
          cancelled: input.cancelled,
          closed: input.closed,
        },
      });
      return { value: saved, warnings: judged.warnings };
    });
    await this.#follower.sittingsChanged([input]);
    return kept;
  }

  /**
   * Says how many portions of a dish were sold at a sitting; a later word replaces an earlier one. What
   * they were plated from goes out of stock.
   */
  async putSale(actor: Actor, input: SaleInput): Promise<Noted<DishSale>> {
    const { siteId } = await this.#serviceOf(actor, input.serviceId);
    const { covers } = this.#deps.work.read;
    const dishIds = new Set((await covers.dishes()).map((dish) => dish.id));
    if (!dishIds.has(input.dishId)) throw notFound('dish', input.dishId);
    const context = await this.#context(siteId);
    const judged = judgeSale(context, input, dishIds);
    refuse(judged.problems);
    await this.#requireOnMenu(siteId, input);
    return this.#deps.work.run(async (inside) => {
      await inside.covers.putSales([{ id: this.#deps.newId('sale'), siteId, ...input }]);
      const { serviceId, serviceDate } = input;
      const sales = await inside.covers.salesOf([serviceId], serviceDate, serviceDate);
      const saved = sales.find((sale) => sale.dishId === input.dishId);
      if (!saved) throw notFound('sale', input.dishId);
      const missing = await drawStock(inside, this.#deps, actor, context, [saved]);
      return { value: saved, warnings: [...judged.warnings, ...missing] };
    });
  }

  /** A dish sells only while a menu of the site offers it; a site without menus is not judged. */
  async #requireOnMenu(siteId: string, sale: SaleInput): Promise<void> {
    const { menus } = this.#deps.work.read;
    const offered = await menus.activeLines(siteId, sale.serviceDate, sale.serviceDate);
    const onIt = offered.some(
      (line) =>
        line.dishId === sale.dishId &&
        (line.serviceId === null || line.serviceId === sale.serviceId),
    );
    if (onIt) return;
    const ever = await menus.activeLines(siteId, '0001-01-01', '9999-12-31');
    if (ever.length === 0) return;
    throw invalid(
      '/serviceDate',
      `The dish is on no menu of this service on ${sale.serviceDate}. Put it on the menu for that date first.`,
    );
  }

  /** Events of a site between two dates, inclusive. */
  async listEvents(
    siteId: string,
    fromDate: string,
    toDate: string,
  ): Promise<readonly CoversEvent[]> {
    if (toDate < fromDate) throw invalid('/query/to', 'The last date is before the first.');
    await this.#context(siteId);
    return this.#deps.work.read.covers.eventsOf(siteId, fromDate, toDate);
  }

  /** Says something known about a sitting ahead. */
  async addEvent(actor: Actor, siteId: string, input: EventInput): Promise<Noted<CoversEvent>> {
    checkEvent(input);
    const judged = judgeAhead(await this.#context(siteId), input, input.covers);
    refuse(judged.problems);
    const now = this.#deps.clock.now();
    const event = { id: this.#deps.newId('evt'), siteId, enteredBy: actor.name, ...input };
    await this.#deps.work.run(async ({ covers, audit }) => {
      const standing = await covers.eventsOf(siteId, input.serviceDate, input.serviceDate);
      if (standing.some((e) => e.serviceId === input.serviceId && e.kind === input.kind)) {
        const message = 'This is said of the service already; take that back first.';
        throw new Refusal('conflict', message, { issues: [{ pointer: '/kind', message }] });
      }
      await covers.insertEvents([event], now);
      await audit.append({
        actor,
        action: 'create',
        subjectKind: 'covers-event',
        subjectId: event.id,
        siteId,
        detail: { ...input },
      });
    });
    await this.#follower.sittingsChanged([input]);
    return { value: event, warnings: judged.warnings };
  }

  /** Takes an event back; it stays on record as removed. */
  async removeEvent(actor: Actor, id: string): Promise<void> {
    const event = await this.#deps.work.read.covers.findEvent(id);
    if (!event || !maySeeSite(actor, event.siteId)) throw notFound('event', id);
    await this.#deps.work.run(async ({ covers, audit }) => {
      if (!(await covers.removeEvent(id, this.#deps.clock.now()))) throw notFound('event', id);
      await audit.append({
        actor,
        action: 'remove',
        subjectKind: 'covers-event',
        subjectId: id,
        siteId: event.siteId,
      });
    });
    await this.#follower.sittingsChanged([event]);
  }

  async stated(actor: Actor, serviceId: string): Promise<readonly StatedCovers[]> {
    await this.#serviceOf(actor, serviceId);
    const rows = await this.#deps.work.read.covers.statedOf([serviceId]);
    return rows.map(({ weekday, covers }) => ({ weekday, covers }));
  }

  /** States the usual covers of a service by weekday, in place of what was stated. */
  async putStated(
    actor: Actor,
    serviceId: string,
    stated: readonly StatedCovers[],
  ): Promise<readonly StatedCovers[]> {
    const service = await this.#serviceOf(actor, serviceId);
    const seen = new Set<number>();
    for (const [i, { weekday, covers }] of stated.entries()) {
      if (seen.has(weekday)) {
        throw invalid(`/weekdays/${i}/weekday`, 'This weekday is stated already.');
      }
      seen.add(weekday);
      if (!service.weekdays.includes(weekday)) {
        throw invalid(`/weekdays/${i}/weekday`, `${service.name} is not held on this weekday.`);
      }
      if (covers > service.seats * 3) {
        throw invalid(`/weekdays/${i}/covers`, `That is more than ${service.name} can serve.`);
      }
    }
    await this.#deps.work.run(async ({ covers, audit }) => {
      await covers.putStated(serviceId, stated);
      await audit.append({
        actor,
        action: 'state-covers',
        subjectKind: 'service',
        subjectId: serviceId,
        siteId: service.siteId,
        detail: { stated: [...stated] },
      });
    });
    await this.#follower.statedChanged(serviceId);
    return this.stated(actor, serviceId);
  }

  async #serviceOf(actor: Actor, serviceId: string): Promise<MealService> {
    const service = await this.#deps.work.read.sites.findService(serviceId);
    if (!service || !maySeeSite(actor, service.siteId)) throw notFound('service', serviceId);
    return service;
  }

  #context(siteId: string): Promise<CoversContext> {
    return loadContext(this.#deps.work.read.sites, siteId, this.#deps.clock.now());
  }
}

/** @throws Refusal `invalid-input` when figure and kind do not go together */
function checkEvent({ kind, factor, covers }: EventInput): void {
  const needsFactor = kind === 'factor';
  const needsCovers = kind === 'covers' || kind === 'private_hire';
  if (needsFactor !== (factor !== null)) {
    throw invalid('/factor', needsFactor ? 'Say how many times the usual.' : 'No factor here.');
  }
  if (needsCovers !== (covers !== null)) {
    throw invalid('/covers', needsCovers ? 'Say how many covers.' : 'No covers here.');
  }
}
