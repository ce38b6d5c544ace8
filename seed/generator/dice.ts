/** A repeatable source of chance: the same labels give the same throws. */
export interface Dice {
  /** Uniform in [0, 1). */
  readonly uniform: () => number;
  /** Uniform in [low, high). */
  readonly between: (low: number, high: number) => number;
  /** Whole number, both ends included. */
  readonly whole: (low: number, high: number) => number;
  readonly chance: (probability: number) => boolean;
  readonly normal: () => number;
  /** Mean 1, variance 1/shape. */
  readonly gammaFactor: (shape: number) => number;
  readonly poisson: (mean: number) => number;
  readonly pick: <T>(items: readonly T[]) => T;
  /** Position of the weight that was hit; weights need not add up to 1. */
  readonly weighted: (weights: readonly number[]) => number;
}

/**
 * Dice seeded by their labels. Labels name the thing decided (site, service, date, …), so that what
 * one thing gets does not hang on how many others were decided before it.
 *
 * Generator: sfc32 (C. Doty-Humphrey, PractRand), its state filled by a 32-bit string hash; from
 * memory. Good enough for a demo, not for secrets.
 */
export function diceFor(...labels: readonly (string | number)[]): Dice {
  const uniform = sfc32(labels.join('|'));
  const between = (low: number, high: number): number => low + (high - low) * uniform();
  const normal = (): number =>
    Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return {
    uniform,
    between,
    whole: (low, high) => low + Math.floor(uniform() * (high - low + 1)),
    chance: (probability) => uniform() < probability,
    normal,
    gammaFactor: (shape) => gamma(shape, uniform, normal) / shape,
    poisson: (mean) => poisson(mean, uniform, normal),
    pick: <T>(items: readonly T[]): T => {
      const item = items[Math.floor(uniform() * items.length)];
      if (item === undefined) throw new RangeError('Nothing to pick from.');
      return item;
    },
    weighted: (weights) => {
      let left = uniform() * weights.reduce((sum, weight) => sum + weight, 0);
      for (const [position, weight] of weights.entries()) {
        left -= weight;
        if (left < 0) return position;
      }
      return weights.length - 1;
    },
  };
}

function sfc32(text: string): () => number {
  let hash = 1779033703 ^ text.length;
  for (const char of text) {
    hash = Math.imul(hash ^ (char.codePointAt(0) ?? 0), 3432918353);
    hash = (hash << 13) | (hash >>> 19);
  }
  const word = (): number => {
    hash = Math.imul(hash ^ (hash >>> 16), 2246822507);
    hash = Math.imul(hash ^ (hash >>> 13), 3266489909);
    return (hash ^= hash >>> 16) >>> 0;
  };
  let [a, b, c, counter] = [word(), word(), word(), 1];
  const next = (): number => {
    const sum = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + sum;
    return (sum >>> 0) / 4294967296;
  };
  for (let warmUp = 0; warmUp < 12; warmUp++) next();
  return next;
}

/** Marsaglia and Tsang's method (ACM TOMS 26(3), 2000), for shapes of 1 and more; from memory. */
function gamma(shape: number, uniform: () => number, normal: () => number): number {
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normal();
    const v = (1 + c * x) ** 3;
    if (v <= 0) continue;
    if (Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

function poisson(mean: number, uniform: () => number, normal: () => number): number {
  if (mean <= 0) return 0;
  if (mean > 60) return Math.max(0, Math.round(mean + Math.sqrt(mean) * normal()));
  const limit = Math.exp(-mean);
  let count = 0;
  for (let product = uniform(); product > limit; product *= uniform()) count++;
  return count;
}
