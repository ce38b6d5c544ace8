import { addDays, openIntervals, serviceInstant, weekdayOf } from '../../core/calendar/index.ts';
import { outsideNeeds } from '../../core/central/index.ts';
import type {
  CoversTerm,
  DishOnOffer,
  ItemLot,
  PlannedService,
  SitePlanInput,
} from '../../core/planning/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import {
  datesFrom,
  newestSnapshot,
  perCoverOf,
  plannedResult,
  shareLearner,
  siteDate,
  termLabel,
  termSource,
} from '../forecasts/index.ts';
import type {
  OfferedDish,
  PlannedForecast,
  PreOrderRow,
  SittingResult,
} from '../forecasts/index.ts';
import type { PlanPars } from '../par-levels/index.ts';
import { Refusal } from '../platform/index.ts';
import type { MealService } from '../sites/index.ts';
import { previousRunsOf, siteCapacity } from './plan-capacity.ts';
import {
  itemsOf,
  lineYield,
  piecePartsOf,
  taskVersion,
  trimYields,
  versionsOf,
} from './plan-recipes.ts';
import type { CentralRead } from './central-input.ts';
import type { MenuLineRow, PlanningData } from './planning-data.ports.ts';
import type { PlanServiceSummary, PrepTask } from './prep.ports.ts';
import { underWay } from './work-under-way.ts';

/** The input of the core's site plan, and what the plan's summary needs beside it. */
export interface PreparedPlan {
  readonly input: SitePlanInput;
  readonly services: readonly Pick<
    PlanServiceSummary,
    | 'slotId'
    | 'serviceId'
    | 'name'
    | 'serviceDate'
    | 'startsAt'
    | 'booked'
    | 'method'
    | 'forecastId'
    | 'overrideId'
  >[];
  readonly warnings: readonly string[];
}

/** Turns the rows of a site into the input of its plan. Pure: the instant is an argument. */
export function preparePlan(
  data: PlanningData,
  now: Date,
  days: number,
  inProgress: readonly PrepTask[],
  forecasts: readonly PlannedForecast[],
  pars: PlanPars,
  central: Pick<CentralRead, 'coming' | 'asked' | 'warnings'>,
): PreparedPlan {
  const { site } = data;
  const today = siteDate(now, site.zone);
  const dates = datesFrom(today, days);
  const lastDate = dates.at(-1) ?? today;
  const closed = new Set(data.closedDays.map((day) => day.date));
  const nowMin = Math.floor(now.getTime() / 60_000);
  const warnings = new Set<string>(central.warnings);
  const planned: PlannedService[] = [];
  const sharesOn = shareLearner(data.menuLines, data.covers);
  const summaries: PreparedPlan['services'][number][] = [];

  for (const service of data.services.filter((s) => !s.archived)) {
    for (const forecast of forecasts.filter(({ kept }) => kept.serviceId === service.id)) {
      const { serviceDate } = forecast.kept;
      const slot = serviceTimes(service, serviceDate, site.zone);
      // A service that has begun cannot be prepared for any more.
      if (slot.startMin <= nowMin) continue;
      const expected = plannedResult(forecast.kept);
      const booked = newestSnapshot(data.covers, service.id, serviceDate, now);
      for (const message of forecast.kept.warnings) warnings.add(`${service.name}: ${message}`);
      planned.push({
        id: `${service.id}:${serviceDate}`,
        serviceId: service.id,
        name: service.name,
        serviceDate,
        ...slot,
        terms: coversTerms(forecast),
        distribution: expected.distribution,
        certainFraction: certainFraction(expected),
        dishes: dishesOn(
          sharesOn(service.id, serviceDate),
          data.covers.preOrders,
          service.id,
          serviceDate,
          pars,
        ),
      });
      summaries.push({
        slotId: `${service.id}:${serviceDate}`,
        serviceId: service.id,
        name: service.name,
        serviceDate,
        startsAt: service.startsAt,
        booked: booked?.booked ?? null,
        method: expected.method,
        forecastId: forecast.kept.id,
        overrideId: forecast.kept.overrideId,
      });
    }
  }
  planned.sort((a, b) => a.startMin - b.startMin);
  const open = openIntervals({
    zone: site.zone,
    hours: site.hours.map((h) => ({ ...h, weekday: h.weekday as 1 | 2 | 3 | 4 | 5 | 6 | 7 })),
    closedDates: [...closed],
    fromDate: today,
    toDate: lastDate,
  });
  if (!open.ok) throw new Refusal(open.error.kind, open.error.message);
  return {
    input: {
      siteId: site.id,
      zone: site.zone,
      nowMin,
      horizonEndMin: unwrap(serviceInstant(addDays(lastDate, 1), '00:00', site.zone)),
      open: open.value,
      ...siteCapacity(data, open.value),
      previousRuns: previousRunsOf(inProgress),
      underWay: underWay(data, inProgress),
      services: planned,
      items: itemsOf(data),
      versions: versionsOf(data),
      lots: [
        ...withoutStarted(lotsOf(data), data, inProgress),
        ...inProgressLots(inProgress),
        ...central.coming,
      ],
      pieceParts: piecePartsOf(data),
      componentPars: pars.componentPars,
      outsideNeeds: outsideNeeds(central.asked, site.zone),
    },
    services: summaries.sort((a, b) =>
      a.serviceDate === b.serviceDate
        ? a.startsAt.localeCompare(b.startsAt)
        : a.serviceDate.localeCompare(b.serviceDate),
    ),
    warnings: [...warnings],
  };
}

function serviceTimes(service: MealService, date: string, zone: string) {
  const startMin = unwrap(serviceInstant(date, service.startsAt, zone));
  const endsNextDay = service.endsAt <= service.startsAt;
  const endMin = unwrap(
    serviceInstant(endsNextDay ? addDays(date, 1) : date, service.endsAt, zone),
  );
  return { startMin, endMin };
}

/** The terms of the covers planned with, each with where it comes from. */
function coversTerms(forecast: PlannedForecast): readonly CoversTerm[] {
  const { kept, override } = forecast;
  return plannedResult(kept).terms.map((term) => ({
    ...term,
    label: termLabel(term.label, override),
    source: termSource(kept, term.label, override),
  }));
}

/** The part of the expected covers that bookings on the books make up by themselves. */
function certainFraction(forecast: SittingResult): number {
  const { booked, keptFraction } = forecast.parts;
  if (booked === undefined || forecast.mean <= 0) return 0;
  return Math.min(1, (booked * (keptFraction ?? 1)) / forecast.mean);
}

/** The dishes on offer with their shares: as stated, moved by what sales have shown. */
function dishesOn(
  offered: readonly OfferedDish<MenuLineRow>[],
  preOrders: readonly PreOrderRow[],
  serviceId: string,
  date: string,
  pars: PlanPars,
): readonly DishOnOffer[] {
  const onMenu = offered.map(({ line, share, exact }) => ({
    dishId: line.dishId,
    perCover: perCoverOf(line, share.byWeekday[weekdayOf(date)].mean),
    preOrdered: exact.reduce((sum, party) => sum + party.portions, 0),
    preOrderedCovers: exact.reduce((sum, party) => sum + party.covers, 0),
    share: share.byWeekday[weekdayOf(date)].mean,
    shareStrength: share.byWeekday[weekdayOf(date)].strength,
    shareDayVariation: share.dayVariation,
    shareSource: {
      kind: 'menu line',
      id: line.id,
      note: `stated ${line.share}, moved by ${share.servicesSeen} services`,
    },
    ...pars.dish(line.dishId, serviceId, date),
  }));
  return [...onMenu, ...offMenu(offered, preOrders, serviceId, date, pars)];
}

/** A set menu may have dishes that nobody else is offered: none but the promised portions. */
function offMenu(
  offered: readonly OfferedDish<MenuLineRow>[],
  preOrders: readonly PreOrderRow[],
  serviceId: string,
  date: string,
  pars: PlanPars,
): readonly DishOnOffer[] {
  const known = new Set(offered.map(({ line }) => line.dishId));
  const promised = new Map<string, { portions: number; party: PreOrderRow }>();
  for (const party of preOrders) {
    if (party.serviceId !== serviceId || party.serviceDate !== date) continue;
    for (const { dishId, portions } of party.lines) {
      if (known.has(dishId)) continue;
      promised.set(dishId, { portions: (promised.get(dishId)?.portions ?? 0) + portions, party });
    }
  }
  return [...promised].map(([dishId, { portions, party }]) => ({
    dishId,
    share: 0,
    shareSource: { kind: 'pre-order', id: party.id, note: `only for ${party.party}` },
    preOrdered: portions,
    ...pars.dish(dishId, serviceId, date),
  }));
}

function lotsOf(data: PlanningData): readonly ItemLot[] {
  return data.lots.map((lot) => ({
    id: lot.id,
    itemId: lot.itemId,
    quantity: lot.quantity,
    availableFromMin: Math.floor(lot.madeAt.getTime() / 60_000),
    useByMin: Math.floor(lot.useBy.getTime() / 60_000),
  }));
}

/**
 * Stock less what started tasks are using: they take it off the record when they are finished, and
 * nothing else may be planned from it meanwhile. First-expiring first, as they will take it.
 */
function withoutStarted(
  lots: readonly ItemLot[],
  data: PlanningData,
  tasks: readonly PrepTask[],
): readonly ItemLot[] {
  const trimOf = trimYields(data);
  const taken = new Map<string, number>();
  for (const task of tasks.filter((t) => t.status === 'started')) {
    const version = taskVersion(data, task);
    for (const line of version?.lines ?? []) {
      const itemId = line.componentId ?? line.ingredientId ?? '';
      const batches = line.perBatch ? Math.ceil(task.batches - 1e-9) : task.batches;
      const drawn = (line.quantity / lineYield(line, trimOf)) * batches;
      taken.set(itemId, (taken.get(itemId) ?? 0) + drawn);
    }
  }
  return [...lots]
    .sort((a, b) => a.useByMin - b.useByMin)
    .map((lot) => {
      const used = Math.min(lot.quantity, taken.get(lot.itemId) ?? 0);
      if (used > 0) taken.set(lot.itemId, (taken.get(lot.itemId) ?? 0) - used);
      return { ...lot, quantity: lot.quantity - used };
    })
    .filter((lot) => lot.quantity > 0);
}

/** A started task is stock to come: it is made whatever the new plan says. */
function inProgressLots(tasks: readonly PrepTask[]): readonly ItemLot[] {
  return tasks
    .filter((task) => task.status === 'started')
    .map((task) => ({
      id: task.id,
      itemId: task.recipeId,
      quantity: task.quantity,
      availableFromMin: Math.floor(task.readyBy.getTime() / 60_000),
      useByMin: Math.floor(task.useBy.getTime() / 60_000),
    }));
}
