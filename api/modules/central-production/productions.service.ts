import { serviceDateOf } from '../../core/calendar/index.ts';
import { explainPlace } from '../../core/central/index.ts';
import { chain, evaluate, type ExplanationGraph } from '../../core/explanation/index.ts';
import {
  invalid,
  lostUpdate,
  maySeeSite,
  notFound,
  orRefuse,
  requireRevision,
  type Actor,
} from '../platform/index.ts';
import type { StockItem } from '../stock/index.ts';
import type {
  CentralProduction,
  CentralProductionWork,
  ProductionInput,
} from './central-production.ports.ts';
import { judgeProduction } from './judge-production.ts';
import { standingPlace } from './standing-place.ts';
import type { CentralProductionDependencies } from './transfer-routes.service.ts';

/** A rule with the names of what it is about, and where the component is made by it now. */
export interface NamedProduction {
  readonly production: CentralProduction;
  readonly item: StockItem;
  readonly siteNames: ReadonlyMap<string, string>;
  readonly place: ReturnType<typeof standingPlace>;
}

/**
 * Who makes a component for whom: what the lead fixes, or leaves to be worked out. Plans follow from
 * the next one on; what has left is never changed.
 */
export class ProductionsService {
  readonly #deps: CentralProductionDependencies;

  constructor(deps: CentralProductionDependencies) {
    this.#deps = deps;
  }

  /** Those that concern a site of the asker's, the latest first. */
  async list(actor: Actor): Promise<readonly NamedProduction[]> {
    const all = await this.#deps.work.read.centralProduction.productions();
    return this.#named(all.filter((one) => concerns(actor, one)));
  }

  async get(actor: Actor, id: string): Promise<NamedProduction> {
    return this.#one(await this.#find(this.#deps.work.read, actor, id));
  }

  /** @throws Refusal as `judgeProduction`; `invalid-input` for a first date that is past */
  async add(actor: Actor, input: ProductionInput): Promise<NamedProduction> {
    const now = this.#deps.clock.now();
    const made = await this.#deps.work.run(async (work) => {
      await work.centralProduction.lockRules();
      const today = await this.#today(work, input);
      if (input.fromDate < today) {
        throw invalid('/fromDate', 'Past dates stay as they were; begin today or later.');
      }
      const { containerQuantity } = await judgeProduction(work, actor, input, null, today);
      const production: CentralProduction = {
        ...input,
        id: this.#deps.newId('cpr'),
        containerQuantity,
        decision: null,
        enteredBy: actor.name,
        enteredAt: now,
        rev: 1,
      };
      await work.centralProduction.insertProduction(production);
      await this.#note(work, actor, 'create', production, { ...input });
      return production;
    });
    return this.#one(made);
  }

  /**
   * Changes a rule from now on; its component stays, and its first date where that is past. To end it,
   * set the date before which it ends.
   * @throws Refusal as `add`; `stale-version`
   */
  async change(
    actor: Actor,
    id: string,
    rev: number,
    input: ProductionInput,
  ): Promise<NamedProduction> {
    const saved = await this.#deps.work.run(async (work) => {
      await work.centralProduction.lockRules();
      const standing = await this.#find(work, actor, id);
      requireRevision(rev, standing);
      const today = await this.#today(work, input);
      checkDates(standing, input, today);
      const { containerQuantity } = await judgeProduction(work, actor, input, id, today);
      const sameQuestion =
        standing.mode === input.mode &&
        sameIds(standing.siteIds, input.siteIds) &&
        sameIds(standing.makerSiteIds, input.makerSiteIds);
      const change = {
        ...input,
        containerQuantity,
        decision: sameQuestion ? standing.decision : null,
      };
      const changed = await work.centralProduction.updateProduction(id, change, rev);
      if (!changed) {
        const now = await work.centralProduction.findProduction(id);
        throw lostUpdate('central production', id, rev, now);
      }
      await this.#note(work, actor, 'update', changed, { ...input });
      return changed;
    });
    return this.#one(saved);
  }

  /**
   * Why a place costs what it does.
   * @param place which of the decision's places, best first
   * @throws Refusal `not-found` where nothing was decided or there is no such place
   */
  async explainPlace(
    actor: Actor,
    id: string,
    place: number,
  ): Promise<{
    readonly nodeId: string;
    readonly value: number;
    readonly graph: ExplanationGraph;
    readonly lines: readonly string[];
  }> {
    const { production, siteNames } = await this.get(actor, id);
    const worked = production.decision?.places[place];
    if (!worked) throw notFound('place worked out', String(place));
    const { node, graph } = explainPlace(worked, (siteId) => siteNames.get(siteId) ?? siteId);
    return {
      nodeId: node,
      value: orRefuse(evaluate(graph, node)),
      graph,
      lines: orRefuse(chain(graph, node)),
    };
  }

  async #find(
    { centralProduction }: Pick<CentralProductionWork, 'centralProduction'>,
    actor: Actor,
    id: string,
  ): Promise<CentralProduction> {
    const production = await centralProduction.findProduction(id);
    if (!production || !concerns(actor, production)) throw notFound('central production', id);
    return production;
  }

  /** The date it is where the component would be made. */
  async #today({ sites }: CentralProductionWork, input: ProductionInput): Promise<string> {
    const now = this.#deps.clock.now();
    const maker = await sites.find(input.makerSiteIds[0] ?? '');
    if (!maker) return now.toISOString().slice(0, 10);
    return orRefuse(serviceDateOf(Math.floor(now.getTime() / 60_000), maker.zone));
  }

  async #one(production: CentralProduction): Promise<NamedProduction> {
    const [named] = await this.#named([production]);
    if (!named) throw notFound('component', production.componentId);
    return named;
  }

  async #named(productions: readonly CentralProduction[]): Promise<readonly NamedProduction[]> {
    if (productions.length === 0) return [];
    const { stock, sites } = this.#deps.work.read;
    const items = await stock.items(
      productions.map(({ componentId }) => ({ itemKind: 'component', itemId: componentId })),
    );
    const siteNames = new Map((await sites.all()).map(({ id, name }) => [id, name]));
    return productions.flatMap((production) => {
      const item = items.find(({ itemId }) => itemId === production.componentId);
      return item ? [{ production, item, siteNames, place: standingPlace(production) }] : [];
    });
  }

  #note(
    { audit }: CentralProductionWork,
    actor: Actor,
    action: string,
    { id }: CentralProduction,
    detail: Readonly<Record<string, unknown>>,
  ): Promise<void> {
    return audit.append({
      actor,
      action,
      subjectKind: 'central production',
      subjectId: id,
      detail,
    });
  }
}

/** @returns whether a site of the actor's makes or gets it */
export function concerns(
  actor: Actor,
  { siteIds, makerSiteIds }: Pick<CentralProduction, 'siteIds' | 'makerSiteIds'>,
): boolean {
  return [...siteIds, ...makerSiteIds].some((id) => maySeeSite(actor, id));
}

function checkDates(standing: CentralProduction, input: ProductionInput, today: string): void {
  if (input.componentId !== standing.componentId) {
    throw invalid('/componentId', 'A rule keeps its component: end it and enter another.');
  }
  if (
    input.fromDate !== standing.fromDate &&
    (standing.fromDate < today || input.fromDate < today)
  ) {
    throw invalid('/fromDate', 'Past dates stay as they were.');
  }
  const { endsBefore } = input;
  if (endsBefore !== standing.endsBefore && endsBefore !== null && endsBefore < today) {
    throw invalid('/endsBefore', 'Past dates stay as they were; end it today or later.');
  }
}

const sameIds = (a: readonly string[], b: readonly string[]): boolean =>
  a.length === b.length && a.every((id) => b.includes(id));
