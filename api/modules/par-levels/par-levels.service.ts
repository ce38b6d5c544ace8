import { addDays } from '../../core/calendar/index.ts';
import type { BaseUnit } from '../../core/quantity/index.ts';
import { explained, siteDate } from '../forecasts/index.ts';
import {
  invalid,
  lostUpdate,
  maySeeSite,
  notFound,
  Refusal,
  requireSite,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import { explainPar } from './explain-par.ts';
import { parAnswer, type ParAnswer } from './par-answer.ts';
import { readParBasis, type ParBasis } from './par-basis.ts';
import type { Par, ParInput, ParOverride, ParsWork } from './par-levels.ports.ts';

export interface ParsDependencies {
  readonly work: UnitOfWork<ParsWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** A par with what it is of and what it comes to now. */
export interface ParView {
  readonly par: Par;
  readonly name: string;
  readonly kind: 'dish' | 'component';
  readonly baseUnit: BaseUnit;
  readonly currency: string;
  /** A text where nothing can be said just now. */
  readonly answer: ParAnswer | string;
  /** Overrides from today on. */
  readonly overrides: readonly ParOverride[];
}

const MOST_DAYS = 28;

/** How much of its dishes and components a site keeps, and what that leads to. */
export class ParLevelsService {
  readonly #deps: ParsDependencies;

  constructor(deps: ParsDependencies) {
    this.#deps = deps;
  }

  /** The pars in use of a site (or all of them), with what each comes to now. */
  async list(siteId: string, archived: boolean): Promise<readonly ParView[]> {
    return this.#deps.work.run(async (work) => {
      const pars = await work.pars.ofSite(siteId, archived);
      return this.#views(work, siteId, pars);
    });
  }

  async one(actor: Actor, id: string): Promise<ParView> {
    return this.#deps.work.run(async (work) => this.#view(work, await this.#own(work, actor, id)));
  }

  /** The base unit a recipe is kept in: {each} of a dish. @throws Refusal `invalid-input` */
  async baseUnitOf(recipeId: string): Promise<BaseUnit> {
    const recipe = await this.#deps.work.read.recipes.find(recipeId);
    if (!recipe) throw invalid('/recipeId', 'There is no such dish or component in use.');
    return recipe.baseUnit;
  }

  /** The chain behind what a par comes to. @throws Refusal `missing-data` where nothing can be said */
  async explain(actor: Actor, id: string) {
    const { par, answer, name, baseUnit } = await this.one(actor, id);
    if (typeof answer === 'string') throw new Refusal('missing-data', answer);
    const { nodeId, graph } = explainPar(par, answer, name, baseUnit);
    return explained(graph, nodeId);
  }

  /** Sets a par. @throws Refusal `conflict` where one holds on some of its dates already */
  async create(actor: Actor, siteId: string, input: ParInput): Promise<ParView> {
    requireSite(actor, siteId);
    return this.#deps.work.run(async (work) => {
      await work.pars.lockSite(siteId);
      await this.#check(work, siteId, input, null);
      const made = await work.pars.insert({
        id: this.#deps.newId('par'),
        siteId,
        ...input,
        enteredBy: actor.name,
      });
      await this.#note(work, actor, 'create', made);
      return this.#view(work, made);
    });
  }

  async update(actor: Actor, id: string, rev: number, input: ParInput): Promise<ParView> {
    return this.#deps.work.run(async (work) => {
      const before = await this.#own(work, actor, id);
      if (before.recipeId !== input.recipeId) {
        throw invalid('/recipeId', 'A par stays with its dish or component; set another for this.');
      }
      await work.pars.lockSite(before.siteId);
      await this.#check(work, before.siteId, input, id);
      const saved = await work.pars.update(id, input, actor.name, rev);
      if (!saved) throw lostUpdate('par', id, rev, await work.pars.find(id));
      await this.#note(work, actor, 'update', saved);
      return this.#view(work, saved);
    });
  }

  async setArchived(actor: Actor, id: string, rev: number, archived: boolean): Promise<ParView> {
    return this.#deps.work.run(async (work) => {
      const before = await this.#own(work, actor, id);
      await work.pars.lockSite(before.siteId);
      if (!archived) await this.#check(work, before.siteId, before, id);
      const saved = await work.pars.setArchived(id, archived, rev, this.#deps.clock.now());
      if (!saved) throw lostUpdate('par', id, rev, await work.pars.find(id));
      await this.#note(work, actor, archived ? 'archive' : 'restore', saved);
      return this.#view(work, saved);
    });
  }

  async #own(work: ParsWork, actor: Actor, id: string): Promise<Par> {
    const par = await work.pars.find(id);
    if (!par || !maySeeSite(actor, par.siteId)) throw notFound('par', id);
    return par;
  }

  async #view(work: ParsWork, par: Par): Promise<ParView> {
    const [view] = await this.#views(work, par.siteId, [par]);
    if (!view) throw notFound('par', par.id);
    return view;
  }

  async #views(work: ParsWork, siteId: string, pars: readonly Par[]): Promise<readonly ParView[]> {
    const now = this.#deps.clock.now();
    const site = await work.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    if (pars.length === 0) return [];
    const basis = await readParBasis(work, siteId, now, this.#deps.newId);
    const today = siteDate(now, site.zone);
    const overrides = await work.pars.overridesOf(siteId, today, addDays(today, 400));
    return pars.map((par) => parView(basis, par, overrides));
  }

  async #check(
    work: ParsWork,
    siteId: string,
    input: ParInput,
    ownId: string | null,
  ): Promise<void> {
    const recipe = await work.recipes.find(input.recipeId);
    if (!recipe || recipe.archived) {
      throw invalid('/recipeId', 'There is no such dish or component in use.');
    }
    const { rule, validFrom, validTo } = input;
    if (rule.kind === 'fixed' && recipe.kind === 'dish' && !Number.isInteger(rule.quantity)) {
      throw invalid('/fixed/value', 'A dish is kept in whole portions.');
    }
    if (validFrom !== null && validTo !== null && validTo < validFrom) {
      throw invalid('/validTo', 'The last date is before the first.');
    }
    if (input.reviewDays + input.leadDays > MOST_DAYS) {
      throw invalid('/leadDays', `Review and lead time come to at most ${MOST_DAYS} days.`);
    }
    const clash = (await work.pars.ofSite(siteId, false)).find(
      (par) => par.id !== ownId && par.recipeId === input.recipeId && overlap(par, input),
    );
    if (clash) {
      const message = `${recipe.name} has a par for some of these dates already.`;
      throw new Refusal('conflict', message, {
        issues: [{ pointer: '/recipeId', message }],
        detail: { parId: clash.id },
      });
    }
  }

  #note(work: ParsWork, actor: Actor, action: string, par: Par): Promise<void> {
    return work.audit.append({
      actor,
      action,
      subjectKind: 'par-level',
      subjectId: par.id,
      siteId: par.siteId,
      detail: { recipeId: par.recipeId, rule: par.rule, reason: par.reason },
    });
  }
}

type Dates = Pick<Par, 'validFrom' | 'validTo'>;

/** Whether two stretches of dates share a day; an open end reaches for ever. */
function overlap(a: Dates, b: Dates): boolean {
  const startsInTime = (one: Dates, other: Dates) =>
    one.validFrom === null || other.validTo === null || one.validFrom <= other.validTo;
  return startsInTime(a, b) && startsInTime(b, a);
}

export function parView(basis: ParBasis, par: Par, overrides: readonly ParOverride[]): ParView {
  const item = basis.kitchen.graph.items.get(par.recipeId);
  return {
    par,
    name: item?.name ?? par.recipeId,
    kind: item?.kind === 'dish' ? 'dish' : 'component',
    baseUnit: item?.baseUnit ?? 'each',
    currency: basis.site.currency,
    answer: parAnswer(basis, par),
    overrides: overrides.filter((o) => o.parId === par.id),
  };
}
