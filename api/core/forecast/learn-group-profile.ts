import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import { GRID } from './booking-grid.ts';
import type { GroupProfile } from './group-profile.ts';
import { knowsSeason, openState } from './learning.ts';
import { WIDTH } from './level-model.ts';
import { pooledCurve } from './pickup-model.ts';
import type { SeriesState } from './series-state.ts';

/** Services a series must have before the group listens to it. */
const LEAST_SERVICES = 28;
/** Variance between series that is assumed on top, worth this many series. */
const PRIOR_SERIES = 2;
const PRIOR_VARIANCE = { level: 0.5, trend: 1e-6, weekday: 0.03, wave: 0.01 };

/**
 * The group's profile from the states of its series (of one kind of service): normal empirical
 * Bayes with the between-series variance as prior variance (Efron & Morris 1975, JASA 70; from
 * memory), so a new series starts at the group's mean and leaves it as fast as the sites differ.
 * Error: `missing-data` when no series has four weeks of services yet.
 */
export function learnGroupProfile(states: readonly SeriesState[]): Result<GroupProfile> {
  const heard = states.filter((s) => s.servicesLearned >= LEAST_SERVICES);
  if (heard.length === 0) {
    return err(
      coreError('missing-data', 'No sister site has four weeks of history to learn from.'),
    );
  }
  const n = heard.length;
  const thetaMean: number[] = [];
  const thetaVariance: number[] = [];
  for (let i = 0; i < WIDTH; i += 1) {
    const values = heard.map((s) => s.level.theta[i] ?? 0);
    const mean = values.reduce((a, v) => a + v, 0) / n;
    const squares = values.reduce((a, v) => a + (v - mean) ** 2, 0);
    thetaMean.push(i === 1 ? 0 : mean);
    thetaVariance.push((squares + PRIOR_SERIES * priorVariance(i)) / (n - 1 + PRIOR_SERIES));
  }
  const curve = GRID.map((_, g) => {
    const points = heard.map((s) => pooledCurve(s.pickup.sums, g)).filter((p) => p !== null);
    if (points.length === 0) return null;
    const average = (f: (p: { booked: number; final: number }) => number) =>
      points.reduce((a, p) => a + f(p), 0) / points.length;
    return { booked: average((p) => p.booked), final: average((p) => p.final) };
  });
  const inverseSize = heard.reduce((a, s) => a + s.level.inverseSize[0], 0) / n;
  const seasonKnown = heard.some((s) => knowsSeason(openState(s)));
  return ok({ seriesCount: n, seasonKnown, thetaMean, thetaVariance, curve, inverseSize });
}

function priorVariance(coefficient: number): number {
  if (coefficient === 0) return PRIOR_VARIANCE.level;
  if (coefficient === 1) return PRIOR_VARIANCE.trend;
  return coefficient < 9 ? PRIOR_VARIANCE.weekday : PRIOR_VARIANCE.wave;
}
