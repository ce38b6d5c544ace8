import {
  remediesFor,
  remedyEffect,
  shortOn,
  type RemedyEffect,
  type RemedyKind,
} from '../../core/planning/index.ts';
import { invalid, maySeeSite, orRefuse, requireSite, type Actor } from '../platform/index.ts';
import type { PrepDependencies, PrepService } from './prep.service.ts';

/** A remedy with what it does, by the plan worked out with it. */
export interface WorkedOutRemedy extends RemedyEffect {
  readonly kind: RemedyKind;
  readonly equipmentKind: string | null;
}

/** What would mend a shortage. */
export interface Remedies {
  readonly itemId: string;
  readonly serviceDate: string;
  /** Short now, base units; 0 when a plan worked out now has none. */
  readonly shortNow: number;
  readonly remedies: readonly WorkedOutRemedy[];
  /** In date at sites the asker may see, with nothing planned to use it. */
  readonly elsewhere: readonly { readonly siteId: string; readonly quantity: number }[];
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
    const shortNow = shortOn(before, missing);
    const remedies: WorkedOutRemedy[] = [];
    if (short) {
      for (const { kind, equipmentKind, input: changed } of remediesFor(input, {
        ...missing,
        atMin: short.atMin,
      })) {
        const after = orRefuse(await planSite(changed));
        remedies.push({
          kind,
          equipmentKind: equipmentKind ?? null,
          ...remedyEffect(before, after, missing),
        });
      }
    }
    remedies.sort((a, b) => a.shortAfter - b.shortAfter || a.shortagesAfter - b.shortagesAfter);
    const elsewhere = short
      ? await this.#elsewhere(actor, siteId, missing.itemId, short.atMin)
      : [];
    return { ...missing, shortNow, remedies, elsewhere, names };
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
