import { z } from 'zod';
import { Id, ServiceDate } from '../../http/wire.ts';
import { MOST_DAYS_AHEAD, MOST_HORIZONS } from './backtests.service.ts';

export const BacktestBody = z
  .strictObject({
    serviceId: Id,
    /** Days ahead that are scored. */
    horizons: z
      .array(z.number().int().min(0).max(MOST_DAYS_AHEAD))
      .min(1)
      .max(MOST_HORIZONS)
      .default([1, 2, 3, 5, 7, 10, 14]),
    /** First and last morning on which a forecast is made; left out: eight weeks up to yesterday. */
    from: ServiceDate.optional(),
    to: ServiceDate.optional(),
    everyDays: z.number().int().min(1).max(28).default(1),
  })
  .meta({ id: 'BacktestBody' });

const Figure = z.number().nullable();
const PointScore = z
  .object({
    /** Sum of the errors over the sum of what came, a fraction. */
    wape: Figure,
    /** Mean error over the mean step from one week to the next. */
    mase: Figure,
    /** Mean of forecast less actual, covers. */
    bias: Figure,
  })
  .meta({ id: 'ForecastScore' });

export const HorizonSchema = z
  .object({
    horizonDays: z.number().int(),
    services: z.number().int(),
    ...PointScore.shape,
    pinball: z.array(z.object({ level: z.number(), loss: Figure })),
    coverage: z.object({ fifty: Figure, eighty: Figure, ninety: Figure }),
    compared: z.object({
      services: z.number().int(),
      forecast: PointScore,
      baselines: z.object({
        'same-weekday-last-week': PointScore,
        'mean-of-last-four': PointScore,
        'booked-only': PointScore,
      }),
      /** 1 less the forecast's error over the best baseline's; above 0 the forecast was better. */
      gainOverBest: Figure,
    }),
    overridden: z.object({
      services: z.number().int(),
      forecast: PointScore,
      override: PointScore,
    }),
  })
  .meta({ id: 'BacktestHorizon' });

const head = {
  id: z.string(),
  siteId: z.string(),
  serviceId: z.string(),
  ranAt: z.string(),
  ranBy: z.string(),
  modelVersion: z.string(),
  horizons: z.array(z.number().int()),
  from: z.string(),
  to: z.string(),
  everyDays: z.number().int(),
};

export const BacktestSchema = z
  .object({
    ...head,
    scores: z.array(HorizonSchema),
    points: z.array(
      z.object({
        origin: z.string(),
        serviceDate: z.string(),
        horizonDays: z.number().int(),
        actual: z.number(),
        mean: z.number(),
        quantiles: z.array(z.object({ level: z.number(), covers: z.number() })),
        override: z.number().nullable(),
      }),
    ),
    /** Services that could not be forecast because nothing was known yet. */
    notForecast: z.number().int(),
    /** Mean step from week to week before the first morning, covers. */
    scale: Figure,
  })
  .meta({ id: 'Backtest' });

export const BacktestList = z
  .object({ items: z.array(z.object(head)) })
  .meta({ id: 'BacktestList' });

export const SiteParams = z.object({ siteId: z.string() });
export const BacktestParams = z.object({ backtestId: z.string() });
export const ListQuery = z.object({ serviceId: Id.optional() });
export const PointsQuery = z.object({
  /** Only the points of this many days ahead. */
  horizonDays: z.coerce.number().int().min(0).max(MOST_DAYS_AHEAD).optional(),
});
