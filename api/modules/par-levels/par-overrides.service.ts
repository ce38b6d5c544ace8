import { addDays } from '../../core/calendar/index.ts';
import { explode } from '../../core/explosion/index.ts';
import type { BaseUnit } from '../../core/quantity/index.ts';
import { siteDate } from '../forecasts/index.ts';
import { invalid, maySeeSite, notFound, type Actor } from '../platform/index.ts';
import { parAnswer } from './par-answer.ts';
import { readParBasis, readParTables } from './par-basis.ts';
import type { Par, ParOverride, ParsWork } from './par-levels.ports.ts';
import type { ParsDependencies } from './par-levels.service.ts';
import { apportion, holdsOn } from './plan-pars.ts';

const MOST_DAYS_AHEAD = 27;

/** An override with what was sold, once that is known. Quantities in the par's own unit. */
export interface ScoredParOverride {
  readonly override: ParOverride;
  readonly baseUnit: BaseUnit;
  readonly score: {
    readonly sold: number;
    /** It ran out: guests asked for at least so much. */
    readonly soldOut: boolean;
    /** Quantity less what was sold: above 0 too much. */
    readonly overrideError: number;
    readonly parError: number | null;
    readonly closer: 'override' | 'par' | 'equal' | null;
  } | null;
}

/** Quantities that people put in place of a par for a date, and how they fared. */
export class ParOverridesService {
  readonly #deps: ParsDependencies;

  constructor(deps: ParsDependencies) {
    this.#deps = deps;
  }

  /** Puts a quantity in place of the par on one date. Said again it changes nothing. */
  async put(
    actor: Actor,
    parId: string,
    input: Pick<ParOverride, 'serviceDate' | 'quantity' | 'reason'>,
  ): Promise<ParOverride> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      const par = await this.#own(work, actor, parId);
      await work.pars.lockSite(par.siteId);
      const basis = await readParBasis(work, par.siteId, now, this.#deps.newId);
      const { today } = basis;
      const { serviceDate, quantity } = input;
      if (serviceDate < today) throw invalid('/serviceDate', 'That day is over.');
      if (serviceDate > addDays(today, MOST_DAYS_AHEAD)) {
        throw invalid('/serviceDate', `Say it at most ${MOST_DAYS_AHEAD} days ahead.`);
      }
      if (!basis.fromToday.some((s) => s.serviceDate === serviceDate)) {
        throw invalid('/serviceDate', 'No service is held on that day.');
      }
      const isDish = basis.kitchen.graph.items.get(par.recipeId)?.kind === 'dish';
      if (isDish && !Number.isInteger(quantity)) {
        throw invalid('/quantity/value', 'A dish is kept in whole portions.');
      }
      const [standing] = await this.#standing(work, par, serviceDate);
      if (standing?.quantity === quantity && standing.reason === input.reason) return standing;
      if (standing) await work.pars.removeOverride(standing.id, now, actor.name);
      const made: ParOverride = {
        id: this.#deps.newId('over'),
        parId,
        siteId: par.siteId,
        ...input,
        parQuantity: holdsOn(par, serviceDate) ? quantityOn(basis, par, serviceDate) : null,
        enteredBy: actor.name,
        enteredAt: now,
      };
      await work.pars.insertOverride(made);
      await work.audit.append({
        actor,
        action: 'override',
        subjectKind: 'par-level',
        subjectId: parId,
        siteId: par.siteId,
        detail: { ...input, parQuantity: made.parQuantity, before: standing?.quantity ?? null },
      });
      return made;
    });
  }

  /** Takes an override back: the par stands again. */
  async remove(actor: Actor, parId: string, serviceDate: string): Promise<void> {
    const now = this.#deps.clock.now();
    await this.#deps.work.run(async (work) => {
      const par = await this.#own(work, actor, parId);
      await work.pars.lockSite(par.siteId);
      const site = await work.sites.find(par.siteId);
      const [standing] = await this.#standing(work, par, serviceDate);
      if (!standing || !site || serviceDate < siteDate(now, site.zone)) {
        throw notFound('override of this par and date', serviceDate);
      }
      await work.pars.removeOverride(standing.id, now, actor.name);
      await work.audit.append({
        actor,
        action: 'remove-override',
        subjectKind: 'par-level',
        subjectId: parId,
        siteId: par.siteId,
        detail: { serviceDate, quantity: standing.quantity },
      });
    });
  }

  /** The overrides of a par between two dates, with what was sold on those gone by. */
  async list(
    actor: Actor,
    parId: string,
    from: string,
    to: string,
  ): Promise<readonly ScoredParOverride[]> {
    if (to < from) throw invalid('/querystring/to', 'The last date is before the first.');
    const work = this.#deps.work.read;
    const par = await this.#own(work, actor, parId);
    const tables = await readParTables(work, par.siteId, this.#deps.clock.now());
    const sales = await work.forecasts.salesOf(par.siteId, from, to);
    const item = tables.kitchen.graph.items.get(par.recipeId);
    const overrides = await work.pars.overridesOf(par.siteId, from, to);
    return overrides
      .filter((override) => override.parId === parId)
      .map((override) => {
        const own = sales.filter((sale) => sale.serviceDate === override.serviceDate);
        let [sold, soldOut, known] = [0, false, false];
        for (const sale of own) {
          const perPortion = amountIn(tables.kitchen, sale.dishId, par.recipeId);
          if (perPortion === 0) continue;
          known = true;
          sold += sale.portions * perPortion;
          soldOut ||= sale.soldOut;
        }
        return {
          override,
          baseUnit: item?.baseUnit ?? 'each',
          score:
            known && override.serviceDate < tables.today ? scoreOf(override, sold, soldOut) : null,
        };
      });
  }

  async #own(work: ParsWork, actor: Actor, id: string): Promise<Par> {
    const par = await work.pars.find(id);
    if (!par || !maySeeSite(actor, par.siteId)) throw notFound('par', id);
    return par;
  }

  async #standing(work: ParsWork, par: Par, date: string): Promise<readonly ParOverride[]> {
    const found = await work.pars.overridesOf(par.siteId, date, date);
    return found.filter((override) => override.parId === par.id);
  }
}

/** What of a par falls to one date: its part by the portions expected. */
function quantityOn(
  basis: Awaited<ReturnType<typeof readParBasis>>,
  par: Par,
  serviceDate: string,
): number | null {
  const answer = parAnswer(basis, par);
  if (typeof answer === 'string') return null;
  const { window, portionSize } = answer.demand;
  const meanOf = (date: string) =>
    window
      .filter((d) => d.sitting.serviceDate === date)
      .reduce((a, d) => a + d.distribution.mean, 0);
  const dates = [...new Set(window.map((d) => d.sitting.serviceDate))];
  const at = dates.indexOf(serviceDate);
  const parts = apportion(Math.round(answer.level.quantity), dates.map(meanOf));
  // Past the time of the par: as much as a mean day of it.
  const portions = at >= 0 ? (parts[at] ?? 0) : answer.level.quantity / Math.max(1, dates.length);
  return portions * portionSize;
}

function amountIn(
  kitchen: Awaited<ReturnType<typeof readParTables>>['kitchen'],
  dishId: string,
  itemId: string,
): number {
  if (dishId === itemId) return 1;
  if (!kitchen.graph.recipes.has(dishId)) return 0;
  const needs = explode(kitchen.graph, [{ itemId: dishId, quantity: 1 }]);
  return needs.ok ? (needs.value.get(itemId) ?? 0) : 0;
}

function scoreOf(
  override: ParOverride,
  sold: number,
  soldOut: boolean,
): NonNullable<ScoredParOverride['score']> {
  const overrideError = override.quantity - sold;
  const parError = override.parQuantity === null ? null : override.parQuantity - sold;
  const closer =
    parError === null
      ? null
      : Math.abs(overrideError) === Math.abs(parError)
        ? 'equal'
        : Math.abs(overrideError) < Math.abs(parError)
          ? 'override'
          : 'par';
  return { sold, soldOut, overrideError, parError, closer };
}
