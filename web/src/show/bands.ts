/** One day of a picture of ranges: what was expected and what came. */
export interface Band {
  readonly date: string;
  /** Bounds of nine services in ten and of every second one; null: nothing was expected. */
  readonly wide: readonly [number, number] | null;
  readonly narrow: readonly [number, number] | null;
  readonly mean: number | null;
  readonly came: number | null;
  readonly set: number | null;
}

interface Quantile {
  readonly level: number;
  readonly covers: number;
}

/** The covers of one level; NaN where the answer has none. */
export function at(quantiles: readonly Quantile[], level: number): number {
  return quantiles.find((q) => Math.abs(q.level - level) < 1e-9)?.covers ?? Number.NaN;
}

/** The ranges of a forecast as a picture needs them. */
export function ranges(quantiles: readonly Quantile[]): Pick<Band, 'wide' | 'narrow'> {
  return {
    wide: [at(quantiles, 0.05), at(quantiles, 0.95)],
    narrow: [at(quantiles, 0.25), at(quantiles, 0.75)],
  };
}

/** Steps of a scale from 0 that reaches `most`: about four, at 1, 2 or 5 times a power of ten. */
export function scaleSteps(most: number): readonly number[] {
  const rough = Math.max(1, most) / 4;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * power).find((n) => n >= rough) ?? power * 10;
  const steps: number[] = [];
  for (let value = 0; value < most + step; value += step) steps.push(value);
  return steps;
}
