import { serviceDateOf } from '../../core/calendar/index.ts';
import {
  remediesFor,
  remedyEffect,
  shortOn,
  tightOf,
  type RemedyEffect,
  type RemedyKind,
} from '../../core/planning/index.ts';
import { otherKitchens, type OtherKitchen } from './other-kitchens.ts';
import { invalid, maySeeSite, orRefuse, requireSite, type Actor } from '../platform/index.ts';
import type { PrepDependencies, PrepService } from './prep.service.ts';

/** A remedy with what it does, by the plan worked out with it. */
export interface WorkedOutRemedy extends RemedyEffect {
  readonly kind: RemedyKind;
  readonly equipmentKind: string | null;
  readonly dishId: string | null;
}

/** What would mend a shortage, or a run that people or equipment leave no room for. */
export interface Remedies {
  readonly itemId: string;
  readonly serviceDate: string;
  /** Short now, base units; 0 when a plan worked out now has none. */
  readonly shortNow: number;
  /** Whether a run of it due that day finds no room in time, and how late it would be. */
  readonly tightNow: boolean;
  readonly lateNowMin: number;
  /** What it was short for has begun: nothing mends it any more. */
  readonly hasBeen: boolean;
  readonly remedies: readonly WorkedOutRemedy[];
  /** In date at sites the asker may see, with nothing planned to use it. */
  readonly elsewhere: readonly { readonly siteId: string; readonly quantity: number }[];
  /** Sites that could make it, and what that does here and there. */
  readonly kitchens: readonly OtherKitchen[];
  readonly names: ReadonlyMap<
    string,
    { readonly name: string; readonly baseUnit: 'g' | 'ml' | 'each' }
  >;
}

/** Works out what would mend a shortage. Nothing is changed: it only asks 'what if'. */
export class RemediesService {
  readonly #deps: Pick<PrepDependencies, 'work' | 'planSite'>;
  readonly #prep: PrepService;

  constructor(deps: Pick<PrepDependencies, 'work' | 'planSite'>, prep: PrepService) {
    this.#deps = deps;
    this.#prep = prep;
  }

  /**
   * Plans the site as it stands, and again with each remedy that makes sense, and says what each does.
   * @throws Refusal `invalid-input` for an item the site's plan knows nothing of
   */
  async of(
    actor: Actor,
    siteId: string,
    missing: { readonly itemId: string; readonly serviceDate: string },
  ): Promise<Remedies> {
    requireSite(actor, siteId);
    const { planSite } = this.#deps;
    const { input, names } = await this.#prep.inputNow(siteId);
    if (!input.items.some(({ id }) => id === missing.itemId)) {
      throw invalid('/itemId', 'This site’s plan knows nothing of it.');
    }
    const before = orRefuse(await planSite(input));
    const short = before.shortages.find(
      (one) => one.itemId === missing.itemId && one.serviceDate === missing.serviceDate,
    );
    const dueOn = (atMin: number): boolean => {
      const date = serviceDateOf(atMin, input.zone);
      return date.ok && date.value === missing.serviceDate;
    };
    const shortNow = shortOn(before, missing);
    const tight = tightOf(before, missing.itemId, dueOn);
    const atMin = short?.atMin ?? tight[0]?.dueMin;
    const now = {
      ...missing,
      shortNow,
      tightNow: tight.length > 0,
      lateNowMin: Math.max(0, ...tight.map(({ lateMin }) => lateMin)),
      names,
    };
    if (atMin === undefined) {
      const hasBeen = await this.#hasBeen(siteId, missing, input.nowMin);
      return { ...now, hasBeen, remedies: [], elsewhere: [], kitchens: [] };
    }
    const remedies: WorkedOutRemedy[] = [];
    for (const { kind, equipmentKind, dishId, input: changed } of remediesFor(input, {
      ...missing,
      atMin,
    })) {
      const after = orRefuse(await planSite(changed));
      remedies.push({
        kind,
        equipmentKind: equipmentKind ?? null,
        dishId: dishId ?? null,
        ...remedyEffect(before, after, missing, dueOn),
      });
    }
    remedies.sort(
      (a, b) =>
        a.shortAfter - b.shortAfter ||
        a.lateAfterMin - b.lateAfterMin ||
        a.shortagesAfter - b.shortagesAfter,
    );
    const elsewhere = short ? await this.#elsewhere(actor, siteId, missing.itemId, atMin) : [];
    const others = short ? await this.#otherSites(actor, siteId) : [];
    const lack = { ...missing, atMin, quantity: shortNow };
    const kitchens = await otherKitchens({ planSite, prep: this.#prep }, others, lack, {
      input,
      before,
    });
    return { ...now, hasBeen: false, remedies, elsewhere, kitchens };
  }

  /** Whether the plan in place names it short for something that has begun meanwhile. */
  async #hasBeen(
    siteId: string,
    missing: { readonly itemId: string; readonly serviceDate: string },
    nowMin: number,
  ): Promise<boolean> {
    const plan = await this.#deps.work.read.prep.currentPlan(siteId);
    const named = plan?.summary.shortages.filter(
      (one) => one.itemId === missing.itemId && one.serviceDate === missing.serviceDate,
    );
    return named !== undefined && named.length > 0 && named.every(({ atMin }) => atMin <= nowMin);
  }

  async #otherSites(actor: Actor, siteId: string): Promise<readonly string[]> {
    const sites = await this.#deps.work.read.sites.all();
    return sites
      .filter(({ id, archived }) => id !== siteId && !archived && maySeeSite(actor, id))
      .map(({ id }) => id);
  }

  async #elsewhere(
    actor: Actor,
    siteId: string,
    itemId: string,
    atMin: number,
  ): Promise<Remedies['elsewhere']> {
    const { sites, prep } = this.#deps.work.read;
    const found: { siteId: string; quantity: number }[] = [];
    for (const site of await sites.all()) {
      if (site.id === siteId || site.archived || !maySeeSite(actor, site.id)) continue;
      const lots = await prep.lotsOf(site.id, itemId);
      const inDate = lots.filter(({ useBy }) => useBy.getTime() >= atMin * 60_000);
      const plan = await prep.currentPlan(site.id);
      const promised = new Map<string, number>();
      for (const use of plan?.summary.stockUses ?? []) {
        promised.set(use.lotId, (promised.get(use.lotId) ?? 0) + use.quantity);
      }
      const quantity = inDate.reduce(
        (sum, lot) => sum + Math.max(0, lot.quantity - (promised.get(lot.id) ?? 0)),
        0,
      );
      if (quantity > 0) found.push({ siteId: site.id, quantity });
    }
    return found.sort((a, b) => b.quantity - a.quantity);
  }
}
