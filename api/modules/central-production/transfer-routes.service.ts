import { addDays, serviceDateOf } from '../../core/calendar/index.ts';
import { tripsBetween, type TransferDays, type Trip } from '../../core/central/index.ts';
import {
  invalid,
  lostUpdate,
  maySeeSite,
  notFound,
  orRefuse,
  Refusal,
  requireRevision,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import type {
  CentralProductionWork,
  TransferRoute,
  TransferRouteInput,
} from './central-production.ports.ts';
import { isAlive, standingPlace } from './standing-place.ts';

export interface CentralProductionDependencies {
  readonly work: UnitOfWork<CentralProductionWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** A way between sites, with their names and the trips of the days ahead. */
export interface RouteAhead {
  readonly route: TransferRoute;
  readonly from: Site;
  readonly to: Site;
  readonly trips: readonly Trip[];
  /** Transfer days on which nothing goes, and why. */
  readonly dropped: readonly { readonly leaveDate: string; readonly reason: string }[];
}

/** A way as a person asks for it; without a currency that of the sending site. */
export interface RouteWish extends Omit<TransferRouteInput, 'currency'> {
  readonly currency: string | null;
}

const DAYS_AHEAD = 14;

/** The ways on which components go from site to site: days, times and limits. */
export class TransferRoutesService {
  readonly #deps: CentralProductionDependencies;

  constructor(deps: CentralProductionDependencies) {
    this.#deps = deps;
  }

  /** Those from or to a site of the asker's. */
  async list(actor: Actor): Promise<readonly RouteAhead[]> {
    const { centralProduction } = this.#deps.work.read;
    const routes = await centralProduction.routes();
    const seen = routes.filter(
      (r) => maySeeSite(actor, r.fromSiteId) || maySeeSite(actor, r.toSiteId),
    );
    return Promise.all(seen.map((route) => this.#ahead(route)));
  }

  /**
   * @throws Refusal `invalid-input` with the field: a site with itself or not there, no weekday, a trip
   * that arrives before it leaves, more at the least than at the most; `conflict` where one stands
   */
  async add(actor: Actor, wish: RouteWish): Promise<RouteAhead> {
    const route = await this.#deps.work.run(async (work) => {
      await work.centralProduction.lockRules();
      const input = await this.#judge(work, actor, wish);
      const present = await work.centralProduction.routeBetween(input.fromSiteId, input.toSiteId);
      if (present && !present.archived) {
        throw new Refusal('conflict', 'There is a way between these sites: change that one.', {
          issues: [{ pointer: '/toSiteId', message: 'There is one already.' }],
          detail: { routeId: present.id },
        });
      }
      const saved = present
        ? await work.centralProduction.updateRoute(present.id, input, present.rev)
        : await work.centralProduction.insertRoute(this.#deps.newId('rte'), input);
      if (!saved) throw new Error('The way between these sites could not be saved.');
      await this.#note(work, actor, 'create', saved);
      return saved;
    });
    return this.#ahead(route);
  }

  /** @throws Refusal as `add`; `stale-version`. The two sites stay as they are. */
  async change(actor: Actor, id: string, rev: number, wish: RouteWish): Promise<RouteAhead> {
    const route = await this.#deps.work.run(async (work) => {
      await work.centralProduction.lockRules();
      const standing = await this.#standing(work, actor, id);
      requireRevision(rev, standing);
      if (wish.fromSiteId !== standing.fromSiteId || wish.toSiteId !== standing.toSiteId) {
        const pointer = wish.fromSiteId === standing.fromSiteId ? '/toSiteId' : '/fromSiteId';
        throw invalid(pointer, 'A way keeps its two sites: set up another one for other sites.');
      }
      const input = await this.#judge(work, actor, wish);
      const saved = await work.centralProduction.updateRoute(id, input, rev);
      if (!saved) {
        const now = await work.centralProduction.findRoute(id);
        throw lostUpdate('transfer route', id, rev, now);
      }
      await this.#note(work, actor, 'update', saved);
      return saved;
    });
    return this.#ahead(route);
  }

  /** @throws Refusal `conflict` while something that is made at one site for the other goes on it */
  async remove(actor: Actor, id: string): Promise<void> {
    const now = this.#deps.clock.now();
    await this.#deps.work.run(async (work) => {
      await work.centralProduction.lockRules();
      const route = await this.#standing(work, actor, id);
      const today = now.toISOString().slice(0, 10);
      const used = (await work.centralProduction.productions()).find((production) => {
        const { makerSiteId, receiverSiteIds } = standingPlace(production);
        return (
          isAlive(production, today) &&
          makerSiteId === route.fromSiteId &&
          receiverSiteIds.includes(route.toSiteId)
        );
      });
      if (used) {
        throw new Refusal(
          'conflict',
          'Something is made at one site for the other: end that first.',
          {
            detail: { productionId: used.id },
          },
        );
      }
      if (!(await work.centralProduction.archiveRoute(id, now)))
        throw notFound('transfer route', id);
      await this.#note(work, actor, 'remove', route);
    });
  }

  async #standing(work: CentralProductionWork, actor: Actor, id: string): Promise<TransferRoute> {
    const route = await work.centralProduction.findRoute(id);
    const seen = route && maySeeSite(actor, route.fromSiteId) && maySeeSite(actor, route.toSiteId);
    if (!route || route.archived || !seen) throw notFound('transfer route', id);
    return route;
  }

  async #judge(
    work: CentralProductionWork,
    actor: Actor,
    wish: RouteWish,
  ): Promise<TransferRouteInput> {
    for (const field of ['fromSiteId', 'toSiteId'] as const) {
      const site = await work.sites.find(wish[field]);
      if (!site || site.archived || !maySeeSite(actor, site.id)) {
        throw invalid(`/${field}`, `There is no site with the id ${wish[field]}.`);
      }
    }
    if (wish.fromSiteId === wish.toSiteId) {
      throw invalid('/toSiteId', 'Goods go from one site to another.');
    }
    const { containerLimit, minimumContainers } = wish;
    if (containerLimit !== null && minimumContainers > containerLimit) {
      throw invalid('/minimumContainers', 'That is more than one trip carries.');
    }
    if (wish.massLimitG !== null && !(wish.massLimitG > 0)) {
      throw invalid('/massLimit/value', 'A trip carries something.');
    }
    const { from } = await this.#calendar(work, wish);
    return { ...wish, currency: wish.currency ?? from.currency };
  }

  async #ahead(route: TransferRoute): Promise<RouteAhead> {
    return { route, ...(await this.#calendar(this.#deps.work.read, route)) };
  }

  async #calendar(
    { sites }: Pick<CentralProductionWork, 'sites'>,
    input: Omit<TransferRouteInput, 'currency'>,
  ): Promise<Omit<RouteAhead, 'route'>> {
    const [from, to] = [await sites.find(input.fromSiteId), await sites.find(input.toSiteId)];
    if (!from || !to) throw notFound('site', from ? input.toSiteId : input.fromSiteId);
    const nowMin = Math.floor(this.#deps.clock.now().getTime() / 60_000);
    const today = orRefuse(serviceDateOf(nowMin, from.zone));
    const closed = async (site: Site) =>
      (await sites.closedDaysOf(site.id)).map(({ date }) => date);
    const calendar = orRefuse(
      tripsBetween(
        transferDays(input),
        { zone: from.zone, closedDates: await closed(from) },
        { zone: to.zone, closedDates: await closed(to) },
        today,
        addDays(today, DAYS_AHEAD),
      ),
    );
    return { from, to, ...calendar };
  }

  #note(
    { audit }: CentralProductionWork,
    actor: Actor,
    action: string,
    { id, ...route }: TransferRoute,
  ): Promise<void> {
    return audit.append({
      actor,
      action,
      subjectKind: 'transfer route',
      subjectId: id,
      siteId: route.fromSiteId,
      detail: { ...route },
    });
  }
}

/** A route's days as the core's calendar takes them. */
export function transferDays(input: Omit<TransferRouteInput, 'currency'>): TransferDays {
  return {
    ...input,
    weekdays: input.weekdays.map((day) => day as TransferDays['weekdays'][number]),
  };
}
