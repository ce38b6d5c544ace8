import { addDays, daysBetween, serviceInstant } from '../../core/calendar/index.ts';
import { MAX_HORIZON_DAYS } from '../../core/forecast/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import { invalid, maySeeSite, notFound } from '../platform/index.ts';
import type { Actor } from '../platform/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import { isHeldOn, roomCovers, siteDate } from './covers-series.ts';
import type { CoversOverride, ForecastsWork } from './forecasts.ports.ts';
import type { ForecastsDependencies } from './forecasts.service.ts';
import type { ForecastRefreshService } from './refresh.service.ts';

export interface OverrideInput {
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly covers: number;
  readonly reason: string;
}

/** An override with what came of the sitting, once it is known. */
export interface ScoredOverride {
  readonly override: CoversOverride;
  readonly serviceName: string;
  /** Whole days before the service that it was entered. */
  readonly daysBefore: number;
  readonly score: {
    readonly actual: number;
    /** Figure less actual, covers: above 0 it was too high. */
    readonly overrideError: number;
    readonly forecastError: number | null;
    readonly closer: 'override' | 'forecast' | 'equal' | null;
  } | null;
}

/** Covers that people put in place of the forecast, with the reason, and how they fared. */
export class CoversOverridesService {
  readonly #deps: ForecastsDependencies;
  readonly #refresh: ForecastRefreshService;

  constructor(deps: ForecastsDependencies, refresh: ForecastRefreshService) {
    this.#deps = deps;
    this.#refresh = refresh;
  }

  /**
   * Puts covers in place of the forecast of one sitting. Said again it changes nothing; another
   * figure or reason takes its place, and the earlier one stays on record.
   */
  async put(actor: Actor, input: OverrideInput): Promise<CoversOverride> {
    const { service, site } = await this.#sitting(actor, input.serviceId);
    const now = this.#deps.clock.now();
    this.#check(service, site, input, now);
    // The forecast as it stands without the person's figure is kept beside it.
    await this.#refresh.sittingsChanged([input]);
    const override = await this.#deps.work.run(async ({ forecasts, audit }) => {
      await forecasts.lockSitting(input.serviceId, input.serviceDate);
      const standing = await standingOverride(forecasts, input);
      if (standing?.covers === input.covers && standing.reason === input.reason) return standing;
      if (standing) await forecasts.removeOverride(standing.id, now, actor.name);
      const [forecast] = await forecasts.newest(
        [input.serviceId],
        input.serviceDate,
        input.serviceDate,
      );
      const made: CoversOverride = {
        id: this.#deps.newId('over'),
        siteId: site.id,
        ...input,
        forecastMean: forecast?.result.mean ?? null,
        enteredBy: actor.name,
        enteredAt: now,
      };
      await forecasts.insertOverride(made);
      await audit.append({
        actor,
        action: 'override',
        subjectKind: 'covers-forecast',
        subjectId: made.id,
        siteId: site.id,
        detail: { ...input, forecastMean: made.forecastMean, before: standing?.covers ?? null },
      });
      return made;
    });
    await this.#refresh.sittingsChanged([input]);
    return override;
  }

  /** Takes the override of a sitting back: the forecast stands again. */
  async remove(
    actor: Actor,
    sitting: Pick<OverrideInput, 'serviceId' | 'serviceDate'>,
  ): Promise<void> {
    const { site } = await this.#sitting(actor, sitting.serviceId);
    const now = this.#deps.clock.now();
    await this.#deps.work.run(async ({ forecasts, audit }) => {
      await forecasts.lockSitting(sitting.serviceId, sitting.serviceDate);
      const standing = await standingOverride(forecasts, sitting);
      if (!standing || sitting.serviceDate < siteDate(now, site.zone)) {
        throw notFound('override of this service and date', sitting.serviceDate);
      }
      await forecasts.removeOverride(standing.id, now, actor.name);
      await audit.append({
        actor,
        action: 'remove-override',
        subjectKind: 'covers-forecast',
        subjectId: standing.id,
        siteId: site.id,
        detail: { ...sitting, covers: standing.covers },
      });
    });
    await this.#refresh.sittingsChanged([sitting]);
  }

  /** The overrides of a site between two dates, with what came of those gone by. */
  async list(
    actor: Actor,
    siteId: string,
    from: string,
    to: string,
  ): Promise<readonly ScoredOverride[]> {
    if (to < from) throw invalid('/querystring/to', 'The last date is before the first.');
    const { forecasts, sites } = this.#deps.work.read;
    const site = await sites.find(siteId);
    if (!site || !maySeeSite(actor, siteId)) throw notFound('site', siteId);
    const services = await sites.servicesOf(siteId, true);
    const ids = services.map((service) => service.id);
    const overrides = await forecasts.overridesOf(ids, from, to);
    const { outcomes } = await forecasts.rowsOf(ids, from, to);
    return overrides.map((override) => {
      const outcome = outcomes.find(
        (o) => o.serviceId === override.serviceId && o.serviceDate === override.serviceDate,
      );
      return {
        override,
        serviceName: services.find((s) => s.id === override.serviceId)?.name ?? override.serviceId,
        daysBefore: daysBetween(siteDate(override.enteredAt, site.zone), override.serviceDate),
        score: outcome && !outcome.closed ? scoreOf(override, outcome.covers) : null,
      };
    });
  }

  async #sitting(
    actor: Actor,
    serviceId: string,
  ): Promise<{ readonly service: MealService; readonly site: Site }> {
    const { sites } = this.#deps.work.read;
    const service = await sites.findService(serviceId);
    const site = service && (await sites.find(service.siteId));
    if (!service || !site || !maySeeSite(actor, service.siteId)) {
      throw notFound('service', serviceId);
    }
    return { service, site };
  }

  #check(service: MealService, site: Site, input: OverrideInput, now: Date): void {
    const { serviceDate, covers } = input;
    const today = siteDate(now, site.zone);
    const start = unwrap(serviceInstant(serviceDate, service.startsAt, site.zone));
    if (start * 60_000 <= now.getTime()) {
      throw invalid('/serviceDate', 'This service has begun; record what came of it instead.');
    }
    if (serviceDate > addDays(today, MAX_HORIZON_DAYS)) {
      throw invalid('/serviceDate', `A forecast reaches ${MAX_HORIZON_DAYS} days ahead.`);
    }
    if (!isHeldOn(service, serviceDate)) {
      throw invalid('/serviceDate', `${service.name} is not held on ${serviceDate}.`);
    }
    if (covers > roomCovers(service)) {
      throw invalid(
        '/covers',
        `${service.name} takes at most ${roomCovers(service)} covers: two sittings of ${service.seats} seats.`,
      );
    }
  }
}

async function standingOverride(
  forecasts: ForecastsWork['forecasts'],
  { serviceId, serviceDate }: Pick<OverrideInput, 'serviceId' | 'serviceDate'>,
): Promise<CoversOverride | undefined> {
  return (await forecasts.overridesOf([serviceId], serviceDate, serviceDate))[0];
}

function scoreOf(override: CoversOverride, actual: number): NonNullable<ScoredOverride['score']> {
  const overrideError = override.covers - actual;
  const forecastError = override.forecastMean === null ? null : override.forecastMean - actual;
  const closer =
    forecastError === null
      ? null
      : Math.abs(overrideError) < Math.abs(forecastError)
        ? 'override'
        : Math.abs(overrideError) > Math.abs(forecastError)
          ? 'forecast'
          : 'equal';
  return { actual, overrideError, forecastError, closer };
}
