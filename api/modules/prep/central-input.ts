import { addDays, openIntervals } from '../../core/calendar/index.ts';
import {
  COMING_LOT,
  type AskedOfMaker,
  type CentralComponent,
  type CentralSupply,
  type MadeVersion,
  type OpenTrip,
  type SupplyFrom,
} from '../../core/central/index.ts';
import type { ItemLot } from '../../core/planning/index.ts';
import { plannedShelfLifeMin, ruleSetOf, useByOfCarried } from '../../core/safety/index.ts';
import {
  countedOn,
  datesMeet,
  massOf,
  standingPlace,
  type CentralProduction,
  type Transfer,
  type TransferRoute,
} from '../central-production/index.ts';
import { siteDate } from '../forecasts/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { StockItem } from '../stock/index.ts';
import { tripsToLoad } from './central-trips.ts';
import { versionsOf } from './plan-recipes.ts';
import type { PlanningData } from './planning-data.ports.ts';
import type { PrepWork } from './prep.ports.ts';

/** What other sites make for a site and it for them, as its plan is worked out from it. */
export interface CentralRead {
  /** Null where nobody makes anything for it. */
  readonly supply: CentralSupply | null;
  readonly rules: readonly CentralProduction[];
  /** What is on its way, or can no longer be asked for otherwise. */
  readonly coming: readonly ItemLot[];
  /** Transfers to it that its plan may still ask for otherwise. */
  readonly open: readonly Transfer[];
  /** What other sites ask of it. */
  readonly asked: readonly (AskedOfMaker & {
    readonly productionId: string;
    /** It can still be asked for otherwise. */
    readonly isOpen: boolean;
  })[];
  readonly warnings: readonly string[];
  /** See `centralStands`. */
  readonly stands: string;
}

/** What a plan is read for. */
export interface CentralAsk {
  readonly data: PlanningData;
  readonly now: Date;
  readonly today: string;
  readonly days: number;
  /** Ask for no more than the makers have promised. */
  readonly onlyPromised: boolean;
}

/** How long after it should have come something is counted on that nobody wrote down as sent. */
const UNSENT_GRACE_MIN = 3 * 60;
const MIN_MS = 60_000;
const minutesOf = (at: Date): number => Math.floor(at.getTime() / MIN_MS);

/** Reads what other sites make for a site, what is on its way, and what they ask of it. */
export async function readCentral(work: PrepWork, ask: CentralAsk): Promise<CentralRead> {
  const { centralProduction, sites } = work;
  const { data, now, today, days } = ask;
  const { site } = data;
  const window = { fromDate: today, endsBefore: addDays(today, days) };
  const rules = (await centralProduction.productions()).filter((one) => datesMeet(one, window));
  const mine = rules.filter((one) => standingPlace(one).receiverSiteIds.includes(site.id));
  const comingRows = await centralProduction.coming(site.id);
  const leavingRows = await centralProduction.leaving(site.id);
  const nothing = mine.length === 0 && comingRows.length === 0 && leavingRows.length === 0;
  const stands = marksOf([...comingRows, ...leavingRows]);
  if (nothing) {
    return { supply: null, rules: [], coming: [], open: [], asked: [], warnings: [], stands };
  }
  const routes = await centralProduction.routes();
  const names = new Map((await sites.all()).map(({ id, name }) => [id, name]));
  const items = await work.stock.items(
    [...mine, ...comingRows].map(({ componentId }) => ({
      itemKind: 'component',
      itemId: componentId,
    })),
  );
  const nowMin = minutesOf(now);
  const isOpenTo = (row: Transfer, toSiteId: string): boolean => {
    const cutoffHours = routeBetween(routes, row.fromSiteId, toSiteId)?.cutoffHours ?? 0;
    return row.status === 'planned' && minutesOf(row.leavesAt) - cutoffHours * 60 > nowMin;
  };
  const isOpen = (row: Transfer): boolean => isOpenTo(row, site.id);
  const open = comingRows.filter(isOpen);
  const makers = [...new Set(mine.map((one) => standingPlace(one).makerSiteId ?? ''))];
  const from: SupplyFrom[] = [];
  for (const makerSiteId of makers.sort()) {
    const supply = await supplyFrom(work, ask, {
      makerSiteId,
      rules: mine.filter((one) => standingPlace(one).makerSiteId === makerSiteId),
      route: routeBetween(routes, makerSiteId, site.id),
      open: open.filter((row) => row.fromSiteId === makerSiteId),
      items,
    });
    if (supply) from.push(supply);
  }
  const fixed = comingRows.filter((row) => !isOpen(row));
  const { coming, warnings } = comingLots(fixed, { ...ask, rules, names, items });
  return {
    supply: from.length > 0 ? { nowMin, from } : null,
    rules: mine,
    coming,
    open,
    asked: askedOf(leavingRows, names, nowMin, (row) => isOpenTo(row, row.toSiteId)),
    warnings,
    stands,
  };
}

/** What must not have changed of transfers while a plan was computed. */
export async function centralStands(
  { centralProduction }: Pick<PrepWork, 'centralProduction'>,
  siteId: string,
): Promise<string> {
  return marksOf([
    ...(await centralProduction.coming(siteId)),
    ...(await centralProduction.leaving(siteId)),
  ]);
}

/** What stands with others once a rule were not there: what can no longer be changed stays. */
export function withoutRule(central: CentralRead, productionId: string): CentralRead {
  const { rules, open, asked } = central;
  const isOther = (one: { readonly productionId: string }): boolean =>
    one.productionId !== productionId;
  return {
    ...central,
    supply: null,
    rules: rules.filter(({ id }) => id !== productionId),
    open: open.filter(isOther),
    asked: asked.filter((one) => isOther(one) || !one.isOpen),
  };
}

/** What a maker could send the site of `ask` by a rule; null where there is no way between them. */
export async function supplyByRule(
  work: PrepWork,
  ask: CentralAsk,
  rule: CentralProduction,
  makerSiteId: string,
): Promise<SupplyFrom | null> {
  const route = routeBetween(await work.centralProduction.routes(), makerSiteId, ask.data.site.id);
  if (!route) return null;
  const items = await work.stock.items([{ itemKind: 'component', itemId: rule.componentId }]);
  return supplyFrom(work, ask, { makerSiteId, rules: [rule], route, open: [], items });
}

function marksOf(rows: readonly Transfer[]): string {
  return rows
    .map(({ id, status, quantity }) => `${id} ${status} ${quantity}`)
    .sort()
    .join('\n');
}

function routeBetween(
  routes: readonly TransferRoute[],
  fromSiteId: string,
  toSiteId: string,
): TransferRoute | undefined {
  return routes.find((r) => r.fromSiteId === fromSiteId && r.toSiteId === toSiteId);
}

interface MakerAsked {
  readonly makerSiteId: string;
  readonly rules: readonly CentralProduction[];
  readonly route: TransferRoute | undefined;
  readonly open: readonly Transfer[];
  readonly items: readonly StockItem[];
}

/** Null where there is no such site any more. */
async function supplyFrom(
  work: PrepWork,
  ask: CentralAsk,
  { makerSiteId, rules, route, open, items }: MakerAsked,
): Promise<SupplyFrom | null> {
  const { now, days, onlyPromised } = ask;
  const day = now.toISOString().slice(0, 10);
  const maker = await work.planningData.load(makerSiteId, day, day);
  if (!maker) return null;
  const today = siteDate(now, maker.site.zone);
  const last = addDays(today, days);
  const trips = route
    ? await tripsToLoad(work, { route, maker, data: ask.data, now, from: today, to: last })
    : [];
  const makerOpen = orRefuse(
    openIntervals({
      zone: maker.site.zone,
      hours: maker.site.hours.map((h) => ({ ...h, weekday: h.weekday as 1 })),
      closedDates: maker.closedDays.map(({ date }) => date),
      fromDate: addDays(today, -1),
      toDate: last,
    }),
  );
  return {
    makerSiteId,
    makerName: maker.site.name,
    trips,
    makerOpen,
    components: rules.flatMap((rule) => {
      const item = items.find(({ itemId }) => itemId === rule.componentId);
      if (!item) return [];
      const component = componentOf(rule, item, maker, ask);
      return [
        onlyPromised ? { ...component, promised: promisedOf(component, trips, open) } : component,
      ];
    }),
  };
}

function componentOf(
  rule: CentralProduction,
  item: StockItem,
  maker: PlanningData,
  { data }: CentralAsk,
): CentralComponent {
  const here = ruleSetOf(data.site.ruleSet);
  const rows = new Map(maker.versions.map((row) => [row.versionId, row]));
  const massG = massOf(rule.containerQuantity, item);
  const versions = versionsOf(maker)
    .filter(({ itemId }) => itemId === rule.componentId)
    .map((version): MadeVersion => {
      const storage = rows.get(version.versionId)?.storage ?? 'chilled';
      return {
        versionId: version.versionId,
        firstServiceDate: version.firstServiceDate,
        batchQuantity: version.recipe.outputs.find(({ main }) => main)?.quantity ?? 1,
        shelfLifeMin: plannedShelfLifeMin(version.shelfLifeMin, storage, here),
        ...(massG === null ? {} : { containerMassG: massG }),
        steps: version.steps,
      };
    });
  return {
    ruleId: rule.id,
    itemId: rule.componentId,
    name: item.name,
    baseUnit: item.measures.baseUnit,
    fromDate: rule.fromDate,
    ...(rule.endsBefore === null ? {} : { endsBefore: rule.endsBefore }),
    containerName: rule.containerName,
    containerQuantity: rule.containerQuantity,
    keeping: rule.keeping,
    restMadeHere: rule.restMadeHere,
    versions,
  };
}

/** At most what stands, by version and trip: nothing where nothing was asked for. */
function promisedOf(
  { itemId, versions }: CentralComponent,
  trips: readonly OpenTrip[],
  open: readonly Transfer[],
): NonNullable<CentralComponent['promised']> {
  const byTrip = (versionId: string) =>
    Object.fromEntries(
      trips.map(({ id }) => {
        const row = open.find(
          (one) =>
            one.componentId === itemId && one.versionId === versionId && one.leaveDate === id,
        );
        return [id, row ? countedOn(row) : 0];
      }),
    );
  return Object.fromEntries(versions.map(({ versionId }) => [versionId, byTrip(versionId)]));
}

interface Comings extends CentralAsk {
  readonly rules: readonly CentralProduction[];
  readonly names: ReadonlyMap<string, string>;
  readonly items: readonly StockItem[];
}

function comingLots(
  rows: readonly Transfer[],
  { data, now, rules, names, items }: Comings,
): { readonly coming: readonly ItemLot[]; readonly warnings: readonly string[] } {
  const nowMin = minutesOf(now);
  const coming: ItemLot[] = [];
  const warnings: string[] = [];
  for (const row of rows) {
    const maker = names.get(row.fromSiteId) ?? row.fromSiteId;
    const name = items.find(({ itemId }) => itemId === row.componentId)?.name ?? row.componentId;
    const arriveMin = minutesOf(row.arrivesAt);
    if (row.status === 'planned' && arriveMin + UNSENT_GRACE_MIN < nowMin) {
      warnings.push(
        `${name} from ${maker}: it should have left on ${row.leaveDate}, and nobody wrote that it did. It is not counted on.`,
      );
      continue;
    }
    const base = {
      itemId: row.componentId,
      availableFromMin: Math.max(arriveMin, nowMin),
      coming: {
        label: `${name} from ${maker}, ${row.status === 'sent' ? 'left' : 'leaves'} ${row.leaveDate}`,
        source: { kind: 'transfer', id: row.id },
      },
    };
    if (row.sent === null) {
      const quantity = countedOn(row);
      const useByMin = minutesOf(row.useBy);
      if (quantity > 0) coming.push({ ...base, id: `${COMING_LOT}${row.id}`, quantity, useByMin });
      continue;
    }
    const keeping = rules.find(({ id }) => id === row.productionId)?.keeping ?? null;
    for (const lot of row.sent.lots) {
      const storage = data.versions.find((v) => v.versionId === row.versionId)?.storage;
      const useBy = orRefuse(
        useByOfCarried({
          madeAtMin: minutesOf(new Date(lot.madeAt)),
          arrivedAtMin: base.availableFromMin,
          useByMin: minutesOf(new Date(lot.useBy)),
          lotId: lot.lotId,
          keeping,
          storage: storage ?? 'chilled',
          rules: ruleSetOf(data.site.ruleSet),
          zone: data.site.zone,
        }),
      );
      coming.push({
        ...base,
        id: `${COMING_LOT}${row.id}:${lot.lotId}`,
        quantity: lot.quantity,
        useByMin: useBy.useByMin,
      });
    }
  }
  return { coming, warnings };
}

function askedOf(
  rows: readonly Transfer[],
  names: ReadonlyMap<string, string>,
  nowMin: number,
  isOpen: (row: Transfer) => boolean,
): CentralRead['asked'] {
  return rows
    .filter(
      ({ status, leavesAt }) =>
        status === 'planned' && minutesOf(leavesAt) + UNSENT_GRACE_MIN >= nowMin,
    )
    .map((row) => ({
      id: row.id,
      productionId: row.productionId,
      isOpen: isOpen(row),
      itemId: row.componentId,
      receiverName: names.get(row.toSiteId) ?? row.toSiteId,
      // What should have left already is still needed, now.
      leaveMin: Math.max(minutesOf(row.leavesAt), nowMin),
      lotUntilMin: minutesOf(row.lotUntil),
      serviceDate: row.serviceDate,
      quantity: row.quantity,
      containerQuantity: row.containerQuantity,
      certainFraction: row.certainFraction,
    }));
}
