/** Size, mean, spread and confidence interval of a sample. */
export interface SampleDescription {
  readonly n: number;
  readonly mean: number;
  readonly sd?: number;
  readonly interval95?: readonly [number, number];
}

/**
 * Two-sided 95 % points of Student's t for 1 to 30 degrees of freedom (printed in every table, for
 * example NIST/SEMATECH e-Handbook 1.3.6.7.2).
 */
const STUDENT_T_95: readonly number[] = [
  12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.16, 2.145,
  2.131, 2.12, 2.11, 2.101, 2.093, 2.086, 2.08, 2.074, 2.069, 2.064, 2.06, 2.056, 2.052, 2.048,
  2.045, 2.042,
];
const NORMAL_95 = 1.96;
const OUTLIER_SCORE = 3.5;
const FEWEST_FOR_OUTLIERS = 5;

/** Describes a non-empty sample; spread and interval only from two values on. Two passes, so large offsets do no harm. */
export function describeSample(values: readonly number[]): SampleDescription {
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  if (n < 2) return { n, mean };
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const sd = Math.sqrt(squares / (n - 1));
  const half = ((STUDENT_T_95[n - 2] ?? NORMAL_95) * sd) / Math.sqrt(n);
  return { n, mean, sd, interval95: [mean - half, mean + half] };
}

/**
 * Whether `value` stands far off the sample: modified z-score 0.6745·|x − median| / MAD above 3.5;
 * where more than half the values are equal (MAD 0) the mean absolute deviation stands in, scaled by 1.2533.
 */
export function isOutlier(value: number, sample: readonly number[]): boolean {
  if (sample.length < FEWEST_FOR_OUTLIERS) return false;
  const centre = median(sample);
  const deviations = sample.map((other) => Math.abs(other - centre));
  const mad = median(deviations);
  const distance = Math.abs(value - centre);
  if (mad > 0) return (0.6745 * distance) / mad > OUTLIER_SCORE;
  const meanDeviation = deviations.reduce((sum, other) => sum + other, 0) / sample.length;
  return meanDeviation > 0 && distance / (1.2533 * meanDeviation) > OUTLIER_SCORE;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}
