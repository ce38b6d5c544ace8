import { z } from 'zod';
import { Id, ServiceDate } from '../../http/wire.ts';

const Quantiles = z.array(z.object({ level: z.number(), covers: z.number() }));
const Figures = z
  .object({
    method: z.string(),
    mean: z.number(),
    quantiles: Quantiles,
    /** Parts the mean is made of: each value times its factor, added up. */
    terms: z.array(z.object({ label: z.string(), value: z.number(), factor: z.number() })),
  })
  .meta({ id: 'CoversFigures' });

export const OverrideSchema = z
  .object({
    id: z.string(),
    siteId: z.string(),
    serviceId: z.string(),
    serviceDate: z.string(),
    covers: z.number().int(),
    reason: z.string(),
    /** What the forecast said when the override was entered. */
    forecastMean: z.number().nullable(),
    enteredBy: z.string(),
    enteredAt: z.string(),
  })
  .meta({ id: 'CoversOverride' });

export const ForecastSchema = z
  .object({
    id: z.string(),
    madeAt: z.string(),
    horizonDays: z.number().int(),
    modelVersion: z.string(),
    ...Figures.shape,
    /** Weight of each way of forecasting in the mean; they add up to 1. */
    weights: z.record(z.string(), z.number()),
    inputs: z.object({
      snapshotId: z.string().nullable(),
      eventIds: z.array(z.string()),
      historyFrom: z.string(),
      learnedTo: z.string().nullable(),
      servicesLearned: z.number().int(),
    }),
    /** What is expected to become of the bookings, and who comes without one; null: not known. */
    guests: z.object({
      /** Parts of the covers booked now that will cancel, and of the rest that will not come. */
      cancelledFraction: z.number().nullable(),
      noShowFraction: z.number().nullable(),
      walkIns: z.number().nullable(),
    }),
    warnings: z.array(z.string()),
  })
  .meta({ id: 'CoversForecast' });

export const SittingForecastSchema = z
  .object({
    siteId: z.string(),
    serviceId: z.string(),
    serviceName: z.string(),
    serviceDate: z.string(),
    startsAt: z.string(),
    booked: z.number().int().nullable(),
    bookedAt: z.string().nullable(),
    forecast: ForecastSchema.nullable(),
    override: OverrideSchema.nullable(),
    /** What the plan uses: the override where one stands, else the forecast. */
    planned: Figures.nullable(),
    actual: z
      .object({
        covers: z.number().int(),
        walkIns: z.number().int().nullable(),
        noShows: z.number().int().nullable(),
        cancelled: z.number().int().nullable(),
        closed: z.boolean(),
        note: z.string().nullable(),
      })
      .nullable(),
  })
  .meta({ id: 'SittingForecast' });

export const SiteForecastSchema = z
  .object({
    siteId: z.string(),
    zone: z.string(),
    today: z.string(),
    items: z.array(SittingForecastSchema),
  })
  .meta({ id: 'SiteForecast' });

export const PortionsForecastSchema = z
  .object({
    siteId: z.string(),
    items: z.array(
      z.object({
        serviceId: z.string(),
        serviceName: z.string(),
        serviceDate: z.string(),
        forecastId: z.string(),
        covers: z.number(),
        dishes: z.array(
          z.object({
            id: z.string(),
            dishId: z.string(),
            name: z.string(),
            mean: z.number(),
            quantiles: z.array(z.object({ level: z.number(), portions: z.number() })),
            share: z.object({
              portionsPerCover: z.number(),
              stated: z.number(),
              menuLineId: z.string(),
              /** Covers of experience behind it. */
              strength: z.number(),
              servicesSeen: z.number().int(),
            }),
          }),
        ),
      }),
    ),
  })
  .meta({ id: 'PortionsForecast' });

export const OverrideBody = z
  .strictObject({
    covers: z.number().int().min(0).max(100_000),
    reason: z.string().trim().min(3, 'Say why in a few words.').max(300),
  })
  .meta({ id: 'CoversOverrideBody' });

export const OverrideList = z
  .object({
    items: z.array(
      z.object({
        ...OverrideSchema.shape,
        serviceName: z.string(),
        daysBefore: z.number().int(),
        score: z
          .object({
            actual: z.number().int(),
            /** Figure less actual, covers. */
            overrideError: z.number(),
            forecastError: z.number().nullable(),
            closer: z.enum(['override', 'forecast', 'equal']).nullable(),
          })
          .nullable(),
      }),
    ),
  })
  .meta({ id: 'CoversOverrideList' });

export const RunBody = z
  .strictObject({ siteIds: z.array(Id).min(1).max(2000).optional() })
  .meta({ id: 'ForecastRunBody' });
export const RunSchema = z
  .object({
    sites: z.number().int(),
    series: z.number().int(),
    sittings: z.number().int(),
    groups: z.number().int(),
    forgotten: z.number().int(),
  })
  .meta({ id: 'ForecastRun' });

export const SiteParams = z.object({ siteId: z.string() });
export const SittingParams = z.object({ serviceId: Id, serviceDate: ServiceDate });
export const ForecastParams = z.object({ forecastId: z.string() });
export const WindowQuery = z.object({
  from: ServiceDate.optional(),
  to: ServiceDate.optional(),
  serviceId: Id.optional(),
});
export const DatesQuery = z.object({ from: ServiceDate, to: ServiceDate });
