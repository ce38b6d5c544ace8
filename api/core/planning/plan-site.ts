import { serviceDateOf, zoneNamed } from '../calendar/index.ts';
import type { EpochMin } from '../calendar/index.ts';
import { barWithoutInputs } from './bar-chances.ts';
import type { BarredChances, BarredStretch } from './bar-chances.ts';
import { waitForComponents } from './wait-for-components.ts';
import { ExplanationBuilder } from '../explanation/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok, unwrap } from '../shared/result.ts';
import type { MadeChoices } from './component-runs.ts';
import { planComponent } from './plan-component.ts';
import { explainCovers, explainCoversLevel, planQuantile } from './demand.ts';
import { isBetter, levelSolution, shortOf } from './plan-solution.ts';
import { ingredientNeeds } from './ingredient-needs.ts';
import { itemOrder, VersionsByDate } from './item-order.ts';
import { OpenNeeds } from './open-needs.ts';
import { addOutsideNeeds } from './outside-needs.ts';
import type { DishOnOffer, PlannedService, SitePlanInput } from './plan-input.ts';
import type { PlannedCovers, PlannedPortions, Shortage, SitePlan } from './plan-output.ts';
import { addPlateNeeds, explainDishPortions } from './par-needs.ts';
import { PlanDraft } from './plan-draft.ts';
import { topUpToPar } from './top-up-to-par.ts';

/** The range told beside the expected covers. */
const COVERS_BAND = [0.1, 0.9] as const;

/** A chain of components waits at most as many rounds as it has levels; recipes have fewer. */
const MOST_ROUNDS = 8;

/**
 * Works out the plan of one site: covers → portions → components, level by level, each netted
 * against stock in date and rounded to whole batches on days and times that the hours allow, because
 * rounding at one level changes the need below it → dated as-purchased needs of ingredients.
 *
 * A run is not planned before its own components can be there: where one cannot, the plan is worked
 * out again with a later earliest start for that run, until nothing moves. Every run is placed on the
 * people and equipment of the site as soon as it is chosen (`choosePlacedRuns`), users before what
 * they use, so that each level is asked for what it must give at the true times.
 *
 * Nothing is silently short: what cannot be ready is listed with its reason. Every figure has a
 * node in `explanation`; evaluate it with `planQuantile` as the quantile function.
 *
 * @returns the plan; errors: `recipe-cycle` where versions of different dates contain each other,
 *          `missing-component` for a dish or line that names an unknown item, and what the parts
 *          refuse (`out-of-range` with a path)
 *
 * Source: level-by-level requirements planning in order of low-level codes (Vazsonyi 1954 for the
 * explosion); each step names its own source.
 */
export function planSite(input: SitePlanInput): Result<SitePlan> {
  const prepared = prepare(input);
  if (!prepared.ok) return prepared;
  const chosen = levelByLevel(prepared.value);
  if (!chosen.ok) return chosen;
  return writtenPlan(chosen.value);
}

/** A site's plan input, checked. */
export interface Prepared {
  readonly input: SitePlanInput;
  readonly items: ReadonlyMap<string, Item>;
  readonly order: readonly string[];
  /** Runs to keep to, by component. */
  readonly wishes?: PlanDraft['wishes'];
  /** Chances not to be taken, by component. */
  readonly barred?: BarredChances;
  /** What has been chosen in earlier passes over the same site. */
  readonly made: MadeChoices;
}

/** Checks the input of a plan. Errors as `planSite`. */
export function prepare(input: SitePlanInput): Result<Prepared> {
  const items = new Map(input.items.map((item) => [item.id, item]));
  const missing = unknownItem(input, items);
  if (missing) return err(missing);
  const zone = zoneNamed(input.zone);
  if (!zone.ok) return zone;
  const order = itemOrder(input.items, input.versions);
  return order.ok ? ok({ input, items, order: order.value, made: new Map() }) : order;
}

/** Orders in which components get at people and equipment. */
const MOST_ORDERS = 4;

/** A plan as it was worked out, not yet written down. */
export interface Drafted {
  readonly draft: PlanDraft;
  readonly covers: readonly PlannedCovers[];
  readonly portions: readonly PlannedPortions[];
}

/** Most times runs whose components cannot be there are moved to other chances. */
const MOST_BARRED = 4;

/**
 * Level by level. Where a run was put on a day on which a component of it cannot be there, again
 * without that chance, as long as runs move; the plan that leaves least short, at least cost, stands.
 */
export function levelByLevel(prepared: Prepared): Result<Drafted> {
  const ordered = inOrders(prepared);
  if (!ordered.ok) return ordered;
  const { order } = ordered.value;
  let latest: Drafted = ordered.value.drafted;
  let best = latest;
  let barred = prepared.barred ?? new Map<string, readonly BarredStretch[]>();
  for (let round = 0; round < MOST_BARRED; round += 1) {
    const more = barWithoutInputs(latest.draft, prepared.input.open, barred);
    if (more === null) break;
    barred = more;
    const next = inRounds({ ...prepared, order, barred });
    if (!next.ok) return next;
    latest = next.value;
    if (isBetter(latest.draft, best.draft) && !hidesWhy(latest.draft, best.draft, barred)) {
      best = latest;
    }
  }
  return ok(best);
}

/**
 * Whether a component that was kept from its chances goes short itself, so that it would be named
 * instead of the one that cannot be there.
 */
function hidesWhy(next: PlanDraft, standing: PlanDraft, barred: BarredChances): boolean {
  const short = (draft: PlanDraft): number => shortOf(draft, (itemId) => barred.has(itemId));
  return short(next) > short(standing) + 1e-6;
}

/**
 * When people or equipment leave something short, again with what was short (and what uses it) first
 * in line for them, as long as that helps.
 */
function inOrders(
  prepared: Prepared,
): Result<{ readonly drafted: Drafted; readonly order: Prepared['order'] }> {
  const first = inRounds(prepared);
  if (!first.ok) return first;
  let best = { drafted: first.value, order: prepared.order };
  const urgent = new Set<string>();
  for (let round = 1; round < MOST_ORDERS; round += 1) {
    const known = urgent.size;
    for (const itemId of crowdedOut(best.drafted)) urgent.add(itemId);
    if (urgent.size === known) break;
    const order = itemOrder(prepared.input.items, prepared.input.versions, urgent);
    if (!order.ok) return order;
    const next = inRounds({ ...prepared, order: order.value });
    if (!next.ok) return next;
    if (isBetter(next.value.draft, best.drafted.draft)) {
      best = { drafted: next.value, order: order.value };
    }
  }
  return ok(best);
}

/** What is short or late for lack of people or equipment, and whatever it goes into. */
function crowdedOut({ draft }: Drafted): ReadonlySet<string> {
  const late = draft.tight.filter(({ kind }) => kind !== 'earlier-day');
  const short = draft.shortages.filter(
    ({ reason }) => reason === 'no-hands' || reason === 'equipment-full',
  );
  const out = new Set([...late, ...short].map(({ itemId }) => itemId));
  // Users come first in any order, so they must be let through as well.
  for (let size = -1; size < out.size;) {
    size = out.size;
    for (const { itemId, recipe } of draft.input.versions) {
      if (recipe.lines.some((line) => out.has(line.itemId))) out.add(itemId);
    }
  }
  return out;
}

function inRounds(prepared: Prepared): Result<Drafted> {
  let notBefore: ReadonlyMap<string, EpochMin> = new Map();
  for (let round = 0; ; round += 1) {
    const planned = planOnce(prepared, notBefore);
    if (!planned.ok || round === MOST_ROUNDS) return planned;
    const later = waitForComponents(planned.value.draft, notBefore);
    if (later === null) return planned;
    notBefore = later;
  }
}

/** One pass down the levels with the earliest starts found so far. */
function planOnce(prepared: Prepared, notBefore: ReadonlyMap<string, EpochMin>): Result<Drafted> {
  const { input, items, order } = prepared;
  const builder = new ExplanationBuilder({ quantile: planQuantile });
  const versions = new VersionsByDate(input.versions);
  const needs = new OpenNeeds();
  const nameOf = (itemId: string): string => items.get(itemId)?.name ?? itemId;
  const { wishes, made, barred } = prepared;
  const draft = new PlanDraft({
    input,
    builder,
    versions,
    needs,
    nameOf,
    items,
    notBefore,
    made,
    ...(wishes ? { wishes } : {}),
    ...(barred ? { barred } : {}),
  });

  const covers: PlannedCovers[] = [];
  const portions: PlannedPortions[] = [];
  for (const service of input.services) {
    const node = explainCovers(builder, service);
    const [lowNode, highNode] = COVERS_BAND.map((level) =>
      explainCoversLevel(builder, service, level),
    ) as [string, string];
    covers.push({
      serviceSlotId: service.id,
      mean: builder.value(node),
      node,
      low: builder.value(lowNode),
      lowNode,
      high: builder.value(highNode),
      highNode,
    });
    portions.push(...dishNeeds(service, node, draft));
  }
  addOutsideNeeds(draft);

  for (const itemId of order) {
    const item = items.get(itemId);
    if (item?.kind !== 'component') continue;
    topUpToPar(itemId, draft);
    const planned = planComponent(item, draft);
    if (!planned.ok) return planned;
  }

  return ok({ draft, covers, portions });
}

/** Writes a plan down, with what it needs of each ingredient. Errors as `ingredientNeeds`. */
export function writtenPlan({ draft, covers, portions }: Drafted): Result<SitePlan> {
  const { input, builder, needs, nameOf } = draft;
  const bought = ingredientNeeds({
    ingredients: input.items.filter((item) => item.kind === 'ingredient'),
    needs,
    pieceParts: input.pieceParts,
    lots: input.lots,
    dateOf: (atMin) => unwrap(serviceDateOf(atMin, input.zone)),
    builder,
    nameOf,
  });
  if (!bought.ok) return bought;
  return ok({
    covers,
    portions,
    tasks: [...draft.tasks].sort((a, b) => a.startMin - b.startMin || compare(a.id, b.id)),
    ingredientNeeds: bought.value,
    shortages: [...draft.shortages].sort((a, b) => a.atMin - b.atMin),
    stockUses: [...draft.stockUses].sort((a, b) => a.useByMin - b.useByMin),
    leftUnused: draft.leftUnused,
    tight: draft.tight,
    neededFromElsewhere: draft.neededFromElsewhere,
    solution: levelSolution(draft),
    explanation: builder.graph(),
  });
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Portions of each dish at a service, and what a plate draws of each component and ingredient. */
function dishNeeds(
  service: PlannedService,
  coversNode: string,
  draft: PlanDraft,
): readonly PlannedPortions[] {
  const { builder, nameOf } = draft;
  return service.dishes.map((dish) => {
    const node = explainDishPortions(builder, service, dish, nameOf(dish.dishId), coversNode);
    const count = builder.value(node);
    const version = draft.versions.on(dish.dishId, service.serviceDate);
    if (version === undefined) {
      if (count > 0) draft.shortages.push(noRecipe(service, dish.dishId, count, node, draft));
    } else if (count > 0) {
      addPlateNeeds(draft, service, dish, coversNode, {
        version,
        madeNode: node,
        made: count,
        batchesNode: node,
        batches: count,
        atMin: service.startMin,
        untilMin: service.endMin,
        serviceDate: service.serviceDate,
        certainFraction: Math.min(1, certainPortions(service, dish) / count),
        user: {
          kind: 'service',
          id: service.id,
          label: `${nameOf(dish.dishId)}, ${service.name}`,
        },
      });
    }
    return { serviceSlotId: service.id, dishId: dish.dishId, portions: count, node };
  });
}

/** Portions promised, and those that guests already booked are expected to choose. */
function certainPortions(service: PlannedService, dish: DishOnOffer): number {
  const choosing = Math.max(0, service.distribution.mean - (dish.preOrderedCovers ?? 0));
  return (dish.preOrdered ?? 0) + service.certainFraction * choosing * dish.share;
}

function noRecipe(
  service: PlannedService,
  dishId: string,
  portions: number,
  node: string,
  draft: PlanDraft,
): Shortage {
  return {
    itemId: dishId,
    quantity: portions,
    serviceDate: service.serviceDate,
    atMin: service.startMin,
    neededBy: service.name,
    reason: 'no-recipe-for-date',
    message: `${draft.nameOf(dishId)} is on the menu but has no published recipe on ${service.serviceDate}.`,
    node,
  };
}

function unknownItem(input: SitePlanInput, items: ReadonlyMap<string, Item>) {
  for (const [s, service] of input.services.entries()) {
    for (const [d, dish] of service.dishes.entries()) {
      if (items.has(dish.dishId)) continue;
      return coreError('missing-component', `${service.name} offers a dish that is not known.`, {
        path: ['services', s, 'dishes', d, 'dishId'],
        detail: { dishId: dish.dishId },
      });
    }
  }
  for (const [v, version] of input.versions.entries()) {
    for (const [l, line] of version.recipe.lines.entries()) {
      if (items.has(line.itemId)) continue;
      return coreError('missing-component', 'A recipe line names something that is not known.', {
        path: ['versions', v, 'recipe', 'lines', l, 'itemId'],
        detail: { itemId: line.itemId, versionId: version.versionId },
      });
    }
  }
  return undefined;
}
