import type { BacktestPoint, HorizonScore, PointScore } from './backtest-types.ts';
import type { BaselineName } from './baselines.ts';
import { BASELINES } from './baselines.ts';
import { coverage, mase, meanBias, meanPinballLoss, wape } from './accuracy.ts';

/** Scores the points horizon by horizon; `scale` is that of the MASE. */
export function scoreHorizons(
  points: readonly BacktestPoint[],
  horizons: readonly number[],
  scale: number | null,
): HorizonScore[] {
  return horizons.map((horizonDays) => {
    const at = points.filter((p) => p.horizonDays === horizonDays);
    const score = (list: readonly BacktestPoint[], f: (p: BacktestPoint) => number): PointScore => {
      const actual = list.map((p) => p.actual);
      const forecast = list.map(f);
      return {
        wape: wape(actual, forecast),
        mase: mase(actual, forecast, scale),
        bias: meanBias(actual, forecast),
      };
    };
    const actual = at.map((p) => p.actual);
    const quantile = (level: number) =>
      at.map((p) => p.quantiles.find((q) => q.level === level)?.covers ?? Number.NaN);
    const inside = (low: number, high: number) => coverage(actual, quantile(low), quantile(high));
    const full = at.filter((p) => BASELINES.every((b) => p.baselines[b] !== undefined));
    const forecast = score(full, (p) => p.mean);
    const baselines = {} as Record<BaselineName, PointScore>;
    for (const name of BASELINES) baselines[name] = score(full, (p) => p.baselines[name] ?? 0);
    const wapes = BASELINES.map((b) => baselines[b].wape).filter((w) => w !== null);
    const best = Math.min(...wapes);
    const overridden = at.filter((p) => p.override !== undefined);
    return {
      horizonDays,
      services: at.length,
      ...score(at, (p) => p.mean),
      pinball: (at[0]?.quantiles ?? []).map(({ level }) => ({
        level,
        loss: meanPinballLoss(actual, quantile(level), level),
      })),
      coverage: {
        fifty: inside(0.25, 0.75),
        eighty: inside(0.1, 0.9),
        ninety: inside(0.05, 0.95),
      },
      compared: {
        services: full.length,
        forecast,
        baselines,
        gainOverBest: forecast.wape === null || !(best > 0) ? null : 1 - forecast.wape / best,
      },
      overridden: {
        services: overridden.length,
        forecast: score(overridden, (p) => p.mean),
        override: score(overridden, (p) => p.override ?? 0),
      },
    };
  });
}
