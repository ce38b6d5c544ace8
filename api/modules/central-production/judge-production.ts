import { productionOrder, type MakesFor } from '../../core/central/index.ts';
import { toBaseAmount } from '../../core/quantity/index.ts';
import { invalid, maySeeSite, orRefuse, Refusal, type Actor } from '../platform/index.ts';
import type { StockItem } from '../stock/index.ts';
import type {
  CentralProduction,
  CentralProductionWork,
  ProductionInput,
  TransferRoute,
} from './central-production.ports.ts';
import { datesMeet, isAlive, standingPlace } from './standing-place.ts';

/** A rule that is sound by itself and beside the others, with its container in the base unit. */
export interface JudgedProduction {
  readonly item: StockItem;
  readonly containerQuantity: number;
}

/**
 * Checks a rule as it would stand. One that leaves it to be worked out who makes it is checked for circles
 * when that is decided.
 * @throws Refusal `invalid-input` with the field: no such component or site, no maker or several where
 * one is fixed, no way to a receiver, a container that no trip can carry, dates the wrong way round;
 * `conflict` where another rule holds for a site and date in common, or a site would make what it gets;
 * `infeasible` where sites would make for each other in a circle
 */
export async function judgeProduction(
  work: CentralProductionWork,
  actor: Actor,
  input: ProductionInput,
  ownId: string | null,
  today: string,
): Promise<JudgedProduction> {
  if (input.endsBefore !== null && input.endsBefore <= input.fromDate) {
    throw invalid('/endsBefore', 'It would end before it begins.');
  }
  const item = await componentOf(work, input.componentId);
  await checkSites(work, actor, input);
  await refuseOwnIngredients(work, input, today);
  const containerQuantity = containerOf(input, item);
  const others = (await work.centralProduction.productions()).filter(
    (one) => one.id !== ownId && isAlive(one, today),
  );
  refuseOverlap(input, others);
  checkRoutes(input, containerQuantity, item, await work.centralProduction.routes());
  if (input.mode === 'fixed') await refuseCircle(work, input, others);
  return { item, containerQuantity };
}

async function componentOf(work: CentralProductionWork, componentId: string): Promise<StockItem> {
  const [item] = await work.stock.items([{ itemKind: 'component', itemId: componentId }]);
  if (item) return item;
  throw invalid('/componentId', `There is no component with the id ${componentId}.`);
}

async function checkSites(
  work: CentralProductionWork,
  actor: Actor,
  { siteIds, makerSiteIds, mode }: ProductionInput,
): Promise<void> {
  for (const [field, ids] of [
    ['siteIds', siteIds],
    ['makerSiteIds', makerSiteIds],
  ] as const) {
    for (const [i, id] of ids.entries()) {
      const site = await work.sites.find(id);
      if (!site || site.archived || !maySeeSite(actor, id)) {
        throw invalid(`/${field}/${i}`, `There is no site with the id ${id}.`);
      }
      if (ids.indexOf(id) !== i) throw invalid(`/${field}/${i}`, 'This site is named twice.');
    }
  }
  if (mode === 'fixed' && makerSiteIds.length !== 1) {
    throw invalid('/makerSiteIds', 'Name the one site that makes it.');
  }
  if (siteIds.every((id) => makerSiteIds.length === 1 && id === makerSiteIds[0])) {
    throw invalid('/siteIds', 'Name a site that it is made for beside the one that makes it.');
  }
}

/**
 * A maker's own ingredient would not reach the allergen lists of the sites it makes for, so there may
 * be none.
 */
async function refuseOwnIngredients(
  work: CentralProductionWork,
  { makerSiteIds }: ProductionInput,
  today: string,
): Promise<void> {
  for (const [i, siteId] of makerSiteIds.entries()) {
    const own = (await work.siteOverrides.list({ siteId })).filter(
      ({ ingredientId, status, endsBefore }) =>
        ingredientId !== null &&
        (status === 'standing' || status === 'waiting') &&
        (endsBefore === null || endsBefore > today),
    );
    if (own.length === 0) continue;
    throw new Refusal(
      'conflict',
      'This site uses ingredients of its own, which would not reach the allergen lists of the sites it makes for. End that first.',
      { issues: [{ pointer: `/makerSiteIds/${i}`, message: 'It uses ingredients of its own.' }] },
    );
  }
}

function containerOf(input: ProductionInput, item: StockItem): number {
  const amount = { value: input.containerValue, unit: input.containerUnit };
  const { value } = orRefuse(toBaseAmount(amount, item.measures), '/container/amount');
  if (value > 0) return value;
  throw invalid('/container/amount/value', 'A full container holds something.');
}

/** Mass of a quantity in base units, g; null where nothing says what the item weighs. */
export function massOf(
  containerQuantity: number,
  { measures }: Pick<StockItem, 'measures'>,
): number | null {
  const { baseUnit, pieceMassG, densityGPerMl } = measures;
  if (baseUnit === 'g') return containerQuantity;
  const factor = baseUnit === 'ml' ? densityGPerMl : pieceMassG;
  return factor === undefined ? null : containerQuantity * factor;
}

function checkRoutes(
  { makerSiteIds, siteIds, mode }: ProductionInput,
  containerQuantity: number,
  item: StockItem,
  routes: readonly TransferRoute[],
): void {
  for (const [m, maker] of makerSiteIds.entries()) {
    const reached = siteIds.flatMap((id, i) => {
      const route = routes.find((r) => r.fromSiteId === maker && r.toSiteId === id);
      if (id === maker) return [];
      if (!route && mode === 'fixed') {
        throw invalid(
          `/siteIds/${i}`,
          'There is no way for goods from the maker to this site yet.',
        );
      }
      return route ? [route] : [];
    });
    if (reached.length === 0) {
      throw invalid(
        `/makerSiteIds/${m}`,
        'There is no way for goods from here to any of the sites.',
      );
    }
    for (const { massLimitG } of reached) {
      if (massLimitG === null) continue;
      const mass = massOf(containerQuantity, item);
      if (mass === null) {
        throw invalid(
          '/container/amount',
          `What ${item.name} weighs is not known, and the way there has a limit of weight: say in its recipe what a piece or a litre weighs.`,
        );
      }
      if (mass > massLimitG) {
        throw invalid('/container/amount', 'A full container weighs more than a trip carries.');
      }
    }
  }
}

/** One component has one rule for a site and date, and nobody makes for others what they get themselves. */
function refuseOverlap(input: ProductionInput, others: readonly CentralProduction[]): void {
  const same = others.filter(
    (one) => one.componentId === input.componentId && datesMeet(one, input),
  );
  for (const [i, id] of input.siteIds.entries()) {
    const clash = same.find((one) => one.siteIds.includes(id) || one.makerSiteIds.includes(id));
    if (!clash) continue;
    const message = 'Another rule says who makes this for the site on some of these dates.';
    throw new Refusal('conflict', message, {
      issues: [{ pointer: `/siteIds/${i}`, message }],
      detail: { productionId: clash.id },
    });
  }
  for (const [m, id] of input.makerSiteIds.entries()) {
    const clash = same.find((one) => one.siteIds.includes(id));
    if (!clash) continue;
    const message = 'This site gets it from another on some of these dates.';
    throw new Refusal('conflict', message, {
      issues: [{ pointer: `/makerSiteIds/${m}`, message }],
      detail: { productionId: clash.id },
    });
  }
}

async function refuseCircle(
  { sites }: CentralProductionWork,
  input: ProductionInput,
  others: readonly CentralProduction[],
): Promise<void> {
  const pairs = makesFor([...others, { ...input, decision: null }]);
  const all = (await sites.all()).map(({ id }) => id);
  orRefuse(productionOrder(all, pairs), '/makerSiteIds/0');
}

/** Who makes something for whom, by rules that stand. */
export function makesFor(
  rules: readonly Pick<CentralProduction, 'mode' | 'siteIds' | 'makerSiteIds' | 'decision'>[],
): readonly MakesFor[] {
  return rules.flatMap((rule) => {
    const { makerSiteId, receiverSiteIds } = standingPlace(rule);
    return makerSiteId === null
      ? []
      : receiverSiteIds.map((receiverSiteId) => ({ makerSiteId, receiverSiteId }));
  });
}
