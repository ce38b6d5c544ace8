/**
 * What the sister series of a group show, for a series with little history of its own: prior mean
 * and variance between series of the level, weekday effects and yearly waves (log scale), the usual
 * booking curve and the over-dispersion. Made by `learnGroupProfile`.
 */
export interface GroupProfile {
  readonly seriesCount: number;
  /** Some series has enough history to show the yearly season. */
  readonly seasonKnown: boolean;
  /** Mean over series of each coefficient of the level model. */
  readonly thetaMean: readonly number[];
  /** Variance between series of each coefficient. */
  readonly thetaVariance: readonly number[];
  /** By grid day: usual booked and final covers as fractions of the level; null = not known. */
  readonly curve: readonly ({ readonly booked: number; readonly final: number } | null)[];
  /** Mean of 1/size of the negative binomial spread around the level. */
  readonly inverseSize: number;
}
