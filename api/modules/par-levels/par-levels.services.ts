import { ParLevelsService, type ParsDependencies } from './par-levels.service.ts';
import { ParOverridesService } from './par-overrides.service.ts';

/** Everything about pars. */
export interface ParLevelsServices {
  readonly pars: ParLevelsService;
  readonly overrides: ParOverridesService;
}

/** Makes the par services over one set of parts. */
export function createParLevelsServices(deps: ParsDependencies): ParLevelsServices {
  return { pars: new ParLevelsService(deps), overrides: new ParOverridesService(deps) };
}
