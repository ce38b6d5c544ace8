import {
  addDays,
  daysBetween,
  openIntervals,
  serviceInstant,
  weekdayOf,
} from '../../core/calendar/index.ts';
import { dishShares } from '../../core/demand/index.ts';
import type { CountDistribution } from '../../core/distributions/index.ts';
import type { TargetForecast } from '../../core/forecast/index.ts';
import type {
  CoversTerm,
  DishOnOffer,
  ItemLot,
  PlannedService,
  SitePlanInput,
} from '../../core/planning/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import { Refusal } from '../platform/index.ts';
import type { MealService } from '../sites/index.ts';
import { datesFrom, forecastService, isHeldOn, siteDate } from './covers-series.ts';
import { itemsOf, lineYield, piecePartsOf, trimYields, versionsOf } from './plan-recipes.ts';
import type { MenuLineRow, PlanningData } from './planning-data.ports.ts';
import type { PlanServiceSummary, PrepTask } from './prep.ports.ts';

/** Chance with which the portions planned for a service must be enough, unless the site says other. */
export const PLAN_LEVEL = 0.85;
/** Covers of experience a stated share is worth before sales change it. */
const SHARE_STRENGTH = 150;

/** The input of the core's site plan, and what the plan's summary needs beside it. */
export interface PreparedPlan {
  readonly input: SitePlanInput;
  readonly services: readonly Pick<
    PlanServiceSummary,
    'slotId' | 'serviceId' | 'name' | 'serviceDate' | 'startsAt' | 'booked' | 'method'
  >[];
  readonly warnings: readonly string[];
}

/** Turns the rows of a site into the input of its plan. Pure: the instant is an argument. */
export function preparePlan(
  data: PlanningData,
  now: Date,
  days: number,
  inProgress: readonly PrepTask[],
): PreparedPlan {
  const { site } = data;
  const today = siteDate(now, site.zone);
  const dates = datesFrom(today, days);
  const lastDate = dates.at(-1) ?? today;
  const closed = new Set(data.closedDays.map((day) => day.date));
  const nowMin = Math.floor(now.getTime() / 60_000);
  const warnings: string[] = [];
  const planned: PlannedService[] = [];
  const summaries: PreparedPlan['services'][number][] = [];

  for (const service of data.services.filter((s) => !s.archived)) {
    const held = dates.filter((date) => isHeldOn(service, date) && !closed.has(date));
    if (held.length === 0) continue;
    const forecasts = forecastsOf(data, service, now, held, warnings);
    for (const forecast of forecasts) {
      const slot = serviceTimes(service, forecast.serviceDate, site.zone);
      // A service that has begun cannot be prepared for any more.
      if (slot.startMin <= nowMin) continue;
      const dishes = dishesOn(data, service, forecast.serviceDate);
      const booked = latestBooked(data, service.id, forecast.serviceDate, now);
      planned.push({
        id: `${service.id}:${forecast.serviceDate}`,
        serviceId: service.id,
        name: service.name,
        serviceDate: forecast.serviceDate,
        ...slot,
        terms: coversTerms(forecast, booked),
        distribution: forecast.distribution,
        certainFraction: certainFraction(forecast),
        dishes,
      });
      summaries.push({
        slotId: `${service.id}:${forecast.serviceDate}`,
        serviceId: service.id,
        name: service.name,
        serviceDate: forecast.serviceDate,
        startsAt: service.startsAt,
        booked: booked?.booked ?? null,
        method: forecast.method,
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
      services: planned,
      items: itemsOf(data),
      versions: versionsOf(data),
      lots: [...withoutStarted(lotsOf(data), data, inProgress), ...inProgressLots(inProgress)],
      pieceParts: piecePartsOf(data),
    },
    services: summaries.sort((a, b) =>
      a.serviceDate === b.serviceDate
        ? a.startsAt.localeCompare(b.startsAt)
        : a.serviceDate.localeCompare(b.serviceDate),
    ),
    warnings,
  };
}

function forecastsOf(
  data: PlanningData,
  service: MealService,
  now: Date,
  dates: readonly string[],
  warnings: string[],
): readonly TargetForecast[] {
  const forecast = forecastService({
    service,
    rows: data.covers,
    zone: data.site.zone,
    now,
    dates,
    levels: [0.5],
  });
  if (forecast.ok) {
    warnings.push(
      ...forecast.value.warnings
        .filter((w) => w.serviceDate === undefined || dates.includes(w.serviceDate))
        .map((w) => `${service.name}: ${w.message}`),
    );
    return forecast.value.targets;
  }
  warnings.push(
    `${service.name}: there is no history and nobody has stated the usual covers, so the plan counts only what is booked.`,
  );
  return dates.map((date) => bookedOnly(data, service, date, now));
}

/** Nothing to learn from: what is booked is all that is known. */
function bookedOnly(
  data: PlanningData,
  service: MealService,
  date: string,
  now: Date,
): TargetForecast {
  const booked = latestBooked(data, service.id, date, now)?.booked ?? 0;
  const distribution: CountDistribution = { kind: 'point', mean: booked };
  return {
    serviceDate: date,
    weekday: weekdayOf(date),
    horizonDays: daysBetween(siteDate(now, data.site.zone), date),
    mean: booked,
    distribution,
    quantiles: [],
    method: 'stated-covers',
    weights: {},
    parts: { firmCovers: booked, spreadCovers: 0, servicesLearned: 0, booked },
    terms: [{ label: 'Booked', value: booked, factor: 1 }],
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

function latestBooked(data: PlanningData, serviceId: string, date: string, now: Date) {
  return data.covers.snapshots
    .filter((s) => s.serviceId === serviceId && s.serviceDate === date && s.takenAt <= now)
    .reduce<PlanningData['covers']['snapshots'][number] | undefined>(
      (last, s) => (last === undefined || s.takenAt > last.takenAt ? s : last),
      undefined,
    );
}

/** The forecast's terms; the one that rests on bookings names the snapshot it came from. */
function coversTerms(
  forecast: TargetForecast,
  booked: { readonly id: string; readonly booked: number } | undefined,
): readonly CoversTerm[] {
  const first = forecast.terms.findIndex((term) => /book/i.test(term.label));
  return forecast.terms.map((term, i) =>
    i === first && booked
      ? {
          ...term,
          source: { kind: 'covers snapshot', id: booked.id, note: `${booked.booked} booked` },
        }
      : { ...term, source: { kind: 'forecast', id: forecast.method } },
  );
}

/** The part of the expected covers that bookings on the books make up by themselves. */
function certainFraction(forecast: TargetForecast): number {
  const { booked, keptFraction } = forecast.parts;
  if (booked === undefined || forecast.mean <= 0) return 0;
  return Math.min(1, (booked * (keptFraction ?? 1)) / forecast.mean);
}

function linesOn(
  data: PlanningData,
  service: MealService,
  date: string,
): ReadonlyMap<string, MenuLineRow> {
  const lines = new Map<string, MenuLineRow>();
  for (const line of data.menuLines) {
    const active = line.activeFrom <= date && (line.activeTo === null || date <= line.activeTo);
    if (!active || (line.serviceId !== null && line.serviceId !== service.id)) continue;
    // A line for this very service says more than one for all services.
    const known = lines.get(line.dishId);
    if (known === undefined || (known.serviceId === null && line.serviceId !== null)) {
      lines.set(line.dishId, line);
    }
  }
  return lines;
}

/** The dishes on offer with their shares: as stated, moved by what sales have shown. */
function dishesOn(data: PlanningData, service: MealService, date: string): readonly DishOnOffer[] {
  const lines = linesOn(data, service, date);
  if (lines.size === 0) return [];
  const covers = new Map(
    data.covers.outcomes
      .filter((o) => o.serviceId === service.id && !o.closed && o.covers > 0)
      .map((o) => [o.serviceDate, o.covers]),
  );
  const days = new Map<string, { portions: Record<string, number>; soldOut: string[] }>();
  for (const sale of data.covers.sales) {
    if (sale.serviceId !== service.id || !covers.has(sale.serviceDate)) continue;
    const day = days.get(sale.serviceDate) ?? { portions: {}, soldOut: [] };
    days.set(sale.serviceDate, day);
    day.portions[sale.dishId] = sale.portions;
    if (sale.soldOut) day.soldOut.push(sale.dishId);
  }
  const learned = dishShares({
    prior: [...lines.values()].map((line) => ({
      dishId: line.dishId,
      share: line.share,
      strength: SHARE_STRENGTH,
    })),
    sales: [...days].map(([serviceDate, day]) => ({
      serviceDate,
      weekday: weekdayOf(serviceDate),
      covers: covers.get(serviceDate) ?? 0,
      ...day,
    })),
  });
  if (!learned.ok) throw new Refusal(learned.error.kind, learned.error.message);
  const weekday = weekdayOf(date);
  return learned.value.map((dish) => ({
    dishId: dish.dishId,
    share: dish.byWeekday[weekday].mean,
    shareSource: {
      kind: 'menu line',
      id: lines.get(dish.dishId)?.id ?? dish.dishId,
      note: `stated ${lines.get(dish.dishId)?.share ?? '?'}, moved by ${dish.servicesSeen} services`,
    },
    level: PLAN_LEVEL,
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
    const version = data.versions.find((v) => v.versionId === task.versionId);
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
