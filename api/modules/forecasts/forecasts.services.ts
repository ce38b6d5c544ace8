import { ForecastsService, type ForecastsDependencies } from './forecasts.service.ts';
import { CoversOverridesService } from './overrides.service.ts';
import { ForecastRefreshService } from './refresh.service.ts';

/** Everything about what is expected. */
export interface ForecastsServices {
  readonly forecasts: ForecastsService;
  readonly overrides: CoversOverridesService;
  readonly refresh: ForecastRefreshService;
}

/** Makes the forecast services over one set of parts. */
export function createForecastsServices(deps: ForecastsDependencies): ForecastsServices {
  const refresh = new ForecastRefreshService(deps);
  return {
    forecasts: new ForecastsService(deps),
    overrides: new CoversOverridesService(deps, refresh),
    refresh,
  };
}
