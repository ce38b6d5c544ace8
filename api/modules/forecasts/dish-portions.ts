import { weekdayOf } from '../../core/calendar/index.ts';
import { dishDemand } from '../../core/demand/index.ts';
import type { DishDemand } from '../../core/demand/index.ts';
import { orRefuse, type NewId } from '../platform/index.ts';
import type { OfferedDish, OfferedLine } from './dish-shares.ts';
import { KEPT_LEVELS, plannedResult } from './forecast-sittings.ts';
import type { KeptForecast, KeptPortions } from './forecasts.ports.ts';
import { fingerprint } from './kept-series.ts';

/** The portions of one dish at a sitting: guests who come, and how many of them order it. */
export function portionsOf(
  forecast: Pick<KeptForecast, 'serviceDate' | 'result' | 'overrideResult'>,
  { line, share, exact }: OfferedDish,
): DishDemand {
  const own = share.byWeekday[weekdayOf(forecast.serviceDate)];
  return orRefuse(
    dishDemand({
      covers: plannedResult(forecast).distribution,
      share: { mean: own.mean, strength: own.strength, dayVariation: share.dayVariation },
      perCover: perCoverOf(line, own.mean),
      exact,
      levels: KEPT_LEVELS,
    }),
  );
}

/** Sales may show more than one a guest whatever the menu says: then several are possible. */
export function perCoverOf(
  { oneACover }: Pick<OfferedLine, 'oneACover'>,
  share: number,
): 'several' | 'at-most-one' {
  return oneACover && share <= 1 ? 'at-most-one' : 'several';
}

/** The same as a row to keep, with what it came from. */
export function keptPortions(
  forecast: KeptForecast,
  dish: OfferedDish<OfferedLine>,
  now: Date,
  newId: NewId,
): KeptPortions {
  const { mean, quantiles } = portionsOf(forecast, dish);
  const own = dish.share.byWeekday[weekdayOf(forecast.serviceDate)];
  return {
    id: newId('pf'),
    forecastId: forecast.id,
    dishId: dish.line.dishId,
    madeAt: now,
    menuLineId: dish.line.id,
    statedShare: dish.line.share,
    share: own.mean,
    strength: own.strength,
    dayVariation: dish.share.dayVariation,
    servicesSeen: dish.share.servicesSeen,
    mean,
    quantiles,
    inputsHash: portionsHash(forecast, dish),
  };
}

/** Two rows with the same one say the same. */
export function portionsHash(
  forecast: Pick<KeptForecast, 'id' | 'serviceDate'>,
  { line, share, exact }: OfferedDish<OfferedLine>,
): string {
  const own = share.byWeekday[weekdayOf(forecast.serviceDate)];
  return fingerprint([
    forecast.id,
    line.id,
    line.share,
    line.oneACover,
    own,
    share.dayVariation,
    exact,
  ]);
}
