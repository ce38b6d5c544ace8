import type { z } from 'zod';
import { plannedResult } from './forecast-sittings.ts';
import type { CoversOverride, KeptForecast, SittingResult } from './forecasts.ports.ts';
import type { ForecastSchema, SittingForecastSchema } from './forecasts.schema.ts';
import type { SittingPortions, SittingView } from './forecasts.service.ts';
import type { ScoredOverride } from './overrides.service.ts';

// How forecasts look on the wire.

const toFigures = ({ method, mean, quantiles, terms }: SittingResult) => ({
  method,
  mean,
  quantiles: quantiles.map((q) => ({ ...q })),
  terms: terms.map((term) => ({ ...term })),
});

export function toForecast(forecast: KeptForecast): z.infer<typeof ForecastSchema> {
  return {
    id: forecast.id,
    madeAt: forecast.madeAt.toISOString(),
    horizonDays: forecast.horizonDays,
    modelVersion: forecast.modelVersion,
    ...toFigures(forecast.result),
    weights: { ...forecast.result.weights },
    inputs: {
      snapshotId: forecast.snapshotId,
      eventIds: [...forecast.eventIds],
      historyFrom: forecast.historyFrom,
      learnedTo: forecast.learnedTo,
      servicesLearned: forecast.servicesLearned,
    },
    guests: {
      cancelledFraction: forecast.result.parts.cancelledFraction ?? null,
      noShowFraction: forecast.result.parts.noShowFraction ?? null,
      walkIns: forecast.result.parts.walkIns ?? null,
    },
    warnings: [...forecast.warnings],
  };
}

export const toOverride = (override: CoversOverride) => ({
  ...override,
  enteredAt: override.enteredAt.toISOString(),
});

const toActual = (actual: NonNullable<SittingView['actual']>) => ({
  covers: actual.covers,
  walkIns: actual.walkIns,
  noShows: actual.noShows,
  cancelled: actual.cancelled,
  closed: actual.closed,
  note: actual.note,
});

export function toSitting(view: SittingView): z.infer<typeof SittingForecastSchema> {
  const { service, forecast, override } = view;
  return {
    siteId: service.siteId,
    serviceId: service.id,
    serviceName: service.name,
    serviceDate: view.serviceDate,
    startsAt: service.startsAt,
    booked: view.booked,
    bookedAt: view.snapshotTakenAt?.toISOString() ?? null,
    forecast: forecast && toForecast(forecast),
    override: override && toOverride(override),
    planned: forecast && toFigures(plannedResult(forecast)),
    actual: view.actual && toActual(view.actual),
  };
}

export const toPortions = ({ service, forecast, dishes }: SittingPortions) => ({
  serviceId: service.id,
  serviceName: service.name,
  serviceDate: forecast.serviceDate,
  forecastId: forecast.id,
  covers: plannedResult(forecast).mean,
  dishes: dishes.map(({ name, portions }) => ({
    id: portions.id,
    dishId: portions.dishId,
    name,
    mean: portions.mean,
    quantiles: portions.quantiles.map((q) => ({ ...q })),
    share: {
      portionsPerCover: portions.share,
      stated: portions.statedShare,
      menuLineId: portions.menuLineId,
      strength: portions.strength,
      servicesSeen: portions.servicesSeen,
    },
  })),
});

export const toScored = ({ override, serviceName, daysBefore, score }: ScoredOverride) => ({
  ...toOverride(override),
  serviceName,
  daysBefore,
  score: score && { ...score },
});
