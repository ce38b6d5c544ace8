import {
  invalid,
  notFound,
  requireSite,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type {
  WasteExpectation,
  WasteExpectationInput,
  WasteWork,
} from './waste-expectations.ports.ts';

export interface WasteDependencies {
  readonly work: UnitOfWork<WasteWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** What a site expects to throw away, as stated; recorded waste stands beside it in the cost. */
export class WasteExpectationsService {
  readonly #deps: WasteDependencies;

  constructor(deps: WasteDependencies) {
    this.#deps = deps;
  }

  async ofSite(actor: Actor, siteId: string): Promise<readonly WasteExpectation[]> {
    requireSite(actor, siteId);
    return this.#deps.work.read.waste.statedAt(siteId);
  }

  /** Past costs stay: a figure holds from its date on. @throws Refusal `conflict` for one of that date */
  async state(
    actor: Actor,
    siteId: string,
    input: WasteExpectationInput,
  ): Promise<WasteExpectation> {
    requireSite(actor, siteId);
    return this.#deps.work.run(async ({ waste, sites, audit }) => {
      if (!(await sites.find(siteId))) throw notFound('site', siteId);
      if (input.itemId !== null && !(await waste.hasItem(input.itemId))) {
        throw invalid('/itemId', `There is no ingredient or component ${input.itemId}.`);
      }
      const made: WasteExpectation = {
        ...input,
        id: this.#deps.newId('wex'),
        siteId,
        enteredBy: actor.name,
        enteredAt: this.#deps.clock.now(),
      };
      await waste.insert(made);
      await audit.append({
        actor,
        action: 'create',
        subjectKind: 'waste-expectation',
        subjectId: made.id,
        siteId,
        detail: { ...input },
      });
      return made;
    });
  }
}
