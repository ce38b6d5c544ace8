import { addDays } from '../../core/calendar/index.ts';
import {
  decidePlace,
  productionOrder,
  type Place,
  type PlaceChoice,
  type PlaceProblem,
  type PlaceSite,
  type PossibleMaker,
  type SupplyFrom,
  type WorkedPlace,
} from '../../core/central/index.ts';
import type { SitePlanInput } from '../../core/planning/index.ts';
import {
  datesMeet,
  isAlive,
  makesFor,
  standingPlace,
  type CentralProduction,
  type PlaceDecision,
} from '../central-production/index.ts';
import {
  maySeeSite,
  notFound,
  orRefuse,
  Refusal,
  type Actor,
  type Clock,
  type UnitOfWork,
} from '../platform/index.ts';
import { supplyByRule, type CentralAsk } from './central-input.ts';
import type { PrepWork } from './prep.ports.ts';
import type { Planners } from './work-out-plan.ts';

export interface PlaceDependencies extends Planners {
  readonly work: UnitOfWork<PrepWork>;
  readonly clock: Clock;
}

/** A site's plan input as if a rule were not there, and what it was read for. */
export type InputWithout = (
  siteId: string,
  productionId: string,
) => Promise<{ readonly input: SitePlanInput; readonly ask: CentralAsk }>;

/** Decided so long ago, it is weighed again before a plan: once a night in the run of things. */
const HOLDS_MS = 20 * 60 * 60_000;
const DAYS = 14;

/**
 * Where components are made that a lead left to be worked out: every possible place planned through
 * at the sites concerned, with what other rules bring and ask as it stands (`core/central`,
 * `decidePlace`).
 */
export class PlaceDecisions {
  readonly #deps: PlaceDependencies;
  readonly #inputWithout: InputWithout;

  constructor(deps: PlaceDependencies, inputWithout: InputWithout) {
    this.#deps = deps;
    this.#inputWithout = inputWithout;
  }

  /**
   * Weighs the places of one rule and keeps the choice.
   * @returns the sites for which it is made somewhere else now than before
   * @throws Refusal `not-found`; `wrong-state` for a rule with a fixed maker or with no service date
   * among the days that are planned; `conflict` when the rule is changed meanwhile
   */
  async decide(actor: Actor, productionId: string): Promise<readonly string[]> {
    const rule = await this.#deps.work.read.centralProduction.findProduction(productionId);
    const sees =
      rule && [...rule.siteIds, ...rule.makerSiteIds].every((id) => maySeeSite(actor, id));
    if (!sees) throw notFound('central production', productionId);
    if (rule.mode !== 'decide') {
      throw new Refusal('wrong-state', 'The lead has fixed who makes this.');
    }
    if (!this.#isDue(rule)) {
      throw new Refusal(
        'wrong-state',
        'No service it is for is among the days that are planned yet.',
      );
    }
    const before = standingPlace(rule);
    const chosen = await this.#weigh(actor, rule);
    const moved = (siteId: string): boolean =>
      makerFor(siteId, before) !== makerFor(siteId, chosen);
    return rule.siteIds.filter(moved);
  }

  /** Weighs again what concerns a site and was not decided lately; what cannot be stays as it was. */
  async renew(actor: Actor, siteId: string): Promise<void> {
    const now = this.#deps.clock.now().getTime();
    const rules = await this.#deps.work.read.centralProduction.productions();
    for (const rule of rules) {
      const { decision, mode, siteIds, makerSiteIds } = rule;
      if (mode !== 'decide' || ![...siteIds, ...makerSiteIds].includes(siteId)) continue;
      const isFresh = decision !== null && now - Date.parse(decision.decidedAt) < HOLDS_MS;
      if (isFresh || !this.#isDue(rule)) continue;
      try {
        await this.#weigh(actor, rule);
      } catch (error) {
        // The plan that asked is worked out all the same, with the place that stands.
        if (!(error instanceof Refusal)) throw error;
      }
    }
  }

  #isDue(rule: CentralProduction): boolean {
    const fromDate = this.#deps.clock.now().toISOString().slice(0, 10);
    return datesMeet(rule, { fromDate, endsBefore: addDays(fromDate, DAYS) });
  }

  async #weigh(actor: Actor, rule: CentralProduction): Promise<Place> {
    const { planSite, solver } = this.#deps;
    const { problem, leftOut } = await this.#problem(rule);
    const choice = orRefuse(await decidePlace(problem, (input) => planSite(input), solver));
    await this.#keep(actor, rule, choice, leftOut);
    return choice.chosen;
  }

  async #problem(rule: CentralProduction): Promise<{
    readonly problem: PlaceProblem;
    readonly leftOut: PlaceDecision['leftOut'];
  }> {
    const { read } = this.#deps.work;
    const all = await read.sites.all();
    const names = new Map(all.filter(({ archived }) => !archived).map((s) => [s.id, s.name]));
    const ids = [...new Set([...rule.siteIds, ...rule.makerSiteIds])].filter((id) => names.has(id));
    const sites: PlaceSite[] = [];
    const asks = new Map<string, CentralAsk>();
    for (const siteId of ids) {
      const { input, ask } = await this.#inputWithout(siteId, rule.id);
      sites.push({ siteId, name: names.get(siteId) ?? siteId, input });
      asks.set(siteId, ask);
    }
    const others = (await read.centralProduction.productions()).filter(({ id }) => id !== rule.id);
    const makers: PossibleMaker[] = [];
    const leftOut: { makerSiteId: string; reason: string }[] = [];
    for (const makerSiteId of rule.makerSiteIds) {
      const supplyTo = new Map<string, SupplyFrom>();
      let reason = 'There is no way for goods from here to any of the sites.';
      for (const siteId of rule.siteIds.filter((id) => id !== makerSiteId)) {
        const ask = asks.get(siteId);
        const supply = ask && (await supplyByRule(read, ask, rule, makerSiteId));
        if (!supply) continue;
        if (closesCircle(others, ids, makerSiteId, [siteId])) {
          reason = 'It gets something itself from the sites it would make this for.';
        } else if (supply.trips.length === 0) {
          reason = 'No trip from here is left in the days that are planned.';
        } else if (supply.components.every(({ versions }) => versions.length === 0)) {
          reason = 'There is no published recipe for it.';
        } else supplyTo.set(siteId, supply);
      }
      if (supplyTo.size > 0) makers.push({ makerSiteId, supplyTo });
      else leftOut.push({ makerSiteId, reason });
    }
    const standing = rule.decision === null ? null : standingPlace(rule);
    return { problem: { sites, makers, standing }, leftOut };
  }

  /** @throws Refusal `conflict` when the rule, or who makes what for whom, was changed meanwhile */
  async #keep(
    actor: Actor,
    rule: CentralProduction,
    { chosen, why, places }: PlaceChoice<WorkedPlace>,
    leftOut: PlaceDecision['leftOut'],
  ): Promise<void> {
    const now = this.#deps.clock.now();
    const decision: PlaceDecision = {
      makerSiteId: chosen.makerSiteId,
      receiverSiteIds: chosen.receiverSiteIds,
      decidedAt: now.toISOString(),
      decidedBy: actor.name,
      why,
      places,
      leftOut,
    };
    await this.#deps.work.run(async (work) => {
      const { centralProduction, audit } = work;
      await centralProduction.lockRules();
      const today = now.toISOString().slice(0, 10);
      const others = (await centralProduction.productions()).filter(
        (one) => one.id !== rule.id && isAlive(one, today),
      );
      const { makerSiteId, receiverSiteIds } = chosen;
      const ids = (await work.sites.all()).map(({ id }) => id);
      const clash = makerSiteId !== null && closesCircle(others, ids, makerSiteId, receiverSiteIds);
      const kept =
        !clash && (await centralProduction.updateProduction(rule.id, { decision }, rule.rev));
      if (!kept) {
        throw new Refusal(
          'conflict',
          'Who makes what was changed while this was worked out. Look and try again.',
        );
      }
      await audit.append({
        actor,
        action: 'decide place',
        subjectKind: 'central production',
        subjectId: rule.id,
        detail: { makerSiteId, receiverSiteIds, why, totalMin: chosen.totalMin },
      });
    });
  }
}

/** Who makes for a site: null, the site itself. */
function makerFor(siteId: string, place: Place | null): string | null {
  return place?.receiverSiteIds.includes(siteId) ? place.makerSiteId : null;
}

/** @returns whether sites would make for each other in a circle */
function closesCircle(
  others: readonly CentralProduction[],
  siteIds: readonly string[],
  makerSiteId: string,
  receivers: readonly string[],
): boolean {
  const pairs = [
    ...makesFor(others),
    ...receivers.map((receiverSiteId) => ({ makerSiteId, receiverSiteId })),
  ];
  const ids = new Set([...siteIds, ...pairs.flatMap((p) => [p.makerSiteId, p.receiverSiteId])]);
  return !productionOrder([...ids], pairs).ok;
}
