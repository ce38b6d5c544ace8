import type { MilpSolver } from '../milp/index.ts';
import type { SitePlan, SitePlanInput } from '../planning/index.ts';
import { ok, type Result } from '../shared/result.ts';
import { askForTransfers, type TransfersAsked } from './ask-for-transfers.ts';
import { outsideNeeds, promises, type AskedOfMaker } from './making-needs.ts';
import { askingInput, suppliedInput } from './receiving-input.ts';
import type { SupplyFrom } from './supply.ts';
import { addWeights, weighPlan, type PlanWeight } from './weigh-plan.ts';
import { choosePlace, tryReceivers } from './where-to-make.ts';
import type { Place, PlaceChoice, WeighedPlace } from './where-to-make.ts';

/** What one site's plan weighs with a place. */
export interface SiteWeight extends PlanWeight {
  readonly siteId: string;
  /** Trips to this site, packing and age of what they carry, minutes. */
  readonly carryingMin: number;
  readonly trips: number;
}

/** A place with what it means for every site concerned. */
export interface WorkedPlace extends WeighedPlace {
  readonly sites: readonly SiteWeight[];
}

/** A site that is to be planned with every place. */
export interface PlaceSite {
  readonly siteId: string;
  readonly name: string;
  /** As if it made the component for itself alone. */
  readonly input: SitePlanInput;
}

/** A site that could make it, and what it could send to whom: one component each. */
export interface PossibleMaker {
  readonly makerSiteId: string;
  readonly supplyTo: ReadonlyMap<string, SupplyFrom>;
}

/** Where one component might be made. */
export interface PlaceProblem {
  /** Every site it is for and every site that could make it. */
  readonly sites: readonly PlaceSite[];
  readonly makers: readonly PossibleMaker[];
  /** Where it is made now; null: nobody has decided. */
  readonly standing: Place | null;
}

/** Plans a site, here or in a thread of its own. */
export type PlanASite = (input: SitePlanInput) => Promise<Result<SitePlan>>;

/**
 * Where a component is made best: every site for itself, or by one of the possible makers for some of
 * the others. Each place is planned through at every site concerned: a receiver asks as it would if
 * the place stood, the maker is planned with what is asked of it, and a receiver whose maker has no
 * room for all of it is planned again with what was promised. Hands, equipment, hours, trips and how
 * long it keeps once carried therefore count as they do in the plans themselves. The choice among the
 * places is `choosePlace`'s.
 *
 * @returns error of a plan or of the solver
 */
export async function decidePlace(
  problem: PlaceProblem,
  planASite: PlanASite,
  solver: MilpSolver,
): Promise<Result<PlaceChoice<WorkedPlace>>> {
  const through = new PlanThrough(problem, planASite, solver);
  try {
    const places = [await through.weigh(null, [])];
    for (const { makerSiteId, supplyTo } of problem.makers) {
      const receivers = [...supplyTo.keys()].filter((id) => id !== makerSiteId);
      if (receivers.length === 0) continue;
      places.push(...(await tryReceivers(receivers, (some) => through.weigh(makerSiteId, some))));
    }
    return ok(choosePlace(places, problem.standing));
  } catch (error) {
    if (error instanceof Failed) return error.result;
    throw error;
  }
}

/** Ends the search with the error of a plan. */
class Failed extends Error {
  readonly result: Result<never>;
  constructor(result: Result<never>) {
    super('A plan could not be worked out.');
    this.result = result;
  }
}

function valueOf<T>(result: Result<T>): T {
  if (result.ok) return result.value;
  throw new Failed(result);
}

/** A receiver's plan with one maker, and what it asks of it. */
interface Supplied {
  readonly weight: PlanWeight;
  readonly asked: TransfersAsked;
  readonly wanted: readonly AskedOfMaker[];
}

/** Plans sites with places, each different plan once. */
class PlanThrough {
  readonly #problem: PlaceProblem;
  readonly #planASite: PlanASite;
  readonly #solver: MilpSolver;
  readonly #alone = new Map<string, PlanWeight>();
  readonly #supplied = new Map<string, Supplied>();

  constructor(problem: PlaceProblem, planASite: PlanASite, solver: MilpSolver) {
    this.#problem = problem;
    this.#planASite = planASite;
    this.#solver = solver;
  }

  async weigh(makerSiteId: string | null, receivers: readonly string[]): Promise<WorkedPlace> {
    const sites: SiteWeight[] = [];
    const carried = makerSiteId === null ? null : await this.#carried(makerSiteId, receivers);
    for (const { siteId } of this.#problem.sites) {
      const with_ = carried?.get(siteId);
      sites.push(
        with_ ?? { siteId, ...(await this.#weighAlone(siteId)), carryingMin: 0, trips: 0 },
      );
    }
    const { workMin, planMin, shortBatches } = addWeights(sites);
    const carryingMin = sites.reduce((sum, site) => sum + site.carryingMin, 0);
    return {
      makerSiteId,
      receiverSiteIds: receivers,
      workMin,
      planMin,
      carryingMin,
      totalMin: workMin + planMin + carryingMin,
      trips: sites.reduce((sum, site) => sum + site.trips, 0),
      shortBatches,
      sites,
    };
  }

  /** The maker and its receivers, planned with one another. */
  async #carried(
    makerSiteId: string,
    receivers: readonly string[],
  ): Promise<ReadonlyMap<string, SiteWeight>> {
    const weights = new Map<string, SiteWeight>();
    const wishes = new Map<string, Supplied>();
    for (const id of receivers) wishes.set(id, await this.#weighSupplied(makerSiteId, id));
    const wanted = [...wishes.values()].flatMap((one) => one.wanted);
    const { input } = this.#site(makerSiteId);
    const making: SitePlanInput = {
      ...input,
      outsideNeeds: [...(input.outsideNeeds ?? []), ...outsideNeeds(wanted, input.zone)],
    };
    const plan = valueOf(await this.#planASite(making));
    weights.set(makerSiteId, {
      siteId: makerSiteId,
      ...weighMaker(plan, making, wanted),
      carryingMin: 0,
      trips: 0,
    });
    const given = promises(plan, wanted);
    for (const [siteId, wish] of wishes) {
      const isShort = wish.wanted.some(({ id, quantity }) => (given.get(id) ?? 0) < quantity);
      const { weight, asked } = isShort
        ? await this.#planSupplied(makerSiteId, siteId, given)
        : wish;
      weights.set(siteId, { siteId, ...weight, carryingMin: asked.costMin, trips: asked.trips });
    }
    return weights;
  }

  async #weighAlone(siteId: string): Promise<PlanWeight> {
    const known = this.#alone.get(siteId);
    if (known) return known;
    const { input } = this.#site(siteId);
    const weight = weighPlan(valueOf(await this.#planASite(input)), input);
    this.#alone.set(siteId, weight);
    return weight;
  }

  async #weighSupplied(makerSiteId: string, siteId: string): Promise<Supplied> {
    const key = `${makerSiteId}|${siteId}`;
    const known = this.#supplied.get(key);
    if (known) return known;
    const supplied = await this.#planSupplied(makerSiteId, siteId, null);
    this.#supplied.set(key, supplied);
    return supplied;
  }

  /** @param given at most so much of what was wanted comes; null: as much as is asked for */
  async #planSupplied(
    makerSiteId: string,
    siteId: string,
    given: ReadonlyMap<string, number> | null,
  ): Promise<Supplied> {
    const { input, name } = this.#site(siteId);
    const from = this.#problem.makers
      .find((one) => one.makerSiteId === makerSiteId)
      ?.supplyTo.get(siteId);
    if (!from) throw new Error(`${makerSiteId} has no way to ${siteId}.`);
    const limited = given === null ? from : limitedBy(from, siteId, given);
    const supply = { nowMin: input.nowMin, from: [limited] };
    const asking = valueOf(await this.#planASite(askingInput(input, supply)));
    const asked = valueOf(await askForTransfers(asking, supply, input.zone, this.#solver));
    const with_ = suppliedInput(input, supply, asked);
    const plan = valueOf(await this.#planASite(with_));
    const wanted = asked.transfers.map((one): AskedOfMaker => {
      const component = from.components.find(({ itemId }) => itemId === one.itemId);
      return {
        id: wantedId(siteId, one.versionId, one.tripId),
        itemId: one.itemId,
        receiverName: name,
        leaveMin: one.leaveMin,
        lotUntilMin: one.lotUntilMin,
        serviceDate: one.serviceDate,
        quantity: one.quantity,
        containerQuantity: component?.containerQuantity ?? one.quantity,
        certainFraction: one.certainFraction,
      };
    });
    return { weight: weighPlan(plan, with_), asked, wanted };
  }

  #site(siteId: string): PlaceSite {
    const site = this.#problem.sites.find((one) => one.siteId === siteId);
    if (!site) throw new Error(`The site ${siteId} is concerned and not there.`);
    return site;
  }
}

const wantedId = (siteId: string, versionId: string, tripId: string): string =>
  `${siteId}:${versionId}:${tripId}`;

/** What a maker cannot send is short where it is eaten, or made there: it is not counted twice. */
function weighMaker(
  plan: SitePlan,
  input: SitePlanInput,
  wanted: readonly AskedOfMaker[],
): PlanWeight {
  const outside = new Set(wanted.map(({ id }) => `outside:transfer:${id}`));
  const own = plan.shortages.filter(({ node }) => !outside.has(node));
  return weighPlan({ ...plan, shortages: own }, input);
}

/** The same supply, with no more on each trip than the maker has room for. */
function limitedBy(
  from: SupplyFrom,
  siteId: string,
  given: ReadonlyMap<string, number>,
): SupplyFrom {
  return {
    ...from,
    components: from.components.map((component) => ({
      ...component,
      promised: Object.fromEntries(
        component.versions.map(({ versionId }) => [
          versionId,
          Object.fromEntries(
            from.trips.map(({ id }) => [id, given.get(wantedId(siteId, versionId, id)) ?? 0]),
          ),
        ]),
      ),
    })),
  };
}
