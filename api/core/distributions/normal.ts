const SQRT_TWO_PI = 2.5066282746310002;

/** Density of the standard normal distribution at z. */
export function normalPdf(z: number): number {
  return Math.exp(-0.5 * z * z) / SQRT_TWO_PI;
}

/**
 * P(Z ≤ z) of the standard normal distribution.
 *
 * Near the middle the Taylor-like series φ(z)·(z + z³/3 + z⁵/15 + …) (Marsaglia 2004, Journal of
 * Statistical Software 11(4)); in the tails Laplace's continued fraction (NIST DLMF 7.9).
 * Absolute error below 1e-15.
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const a = Math.abs(z);
  if (a > 38.5) return z > 0 ? 1 : 0;
  if (a < 3) {
    let term = a;
    let sum = a;
    for (let i = 3; term > 1e-18 * sum; i += 2) {
      term *= (a * a) / i;
      sum += term;
    }
    const half = sum * normalPdf(a);
    return z >= 0 ? 0.5 + half : 0.5 - half;
  }
  // Evaluated from the inside out; 160 levels are far past convergence for a ≥ 3.
  let fraction = a;
  for (let i = 160; i >= 1; i -= 1) fraction = a + i / fraction;
  const tail = normalPdf(a) / fraction;
  return z >= 0 ? 1 - tail : tail;
}

/**
 * The z with P(Z ≤ z) = p, for 0 < p < 1 (−Infinity and Infinity at the ends).
 *
 * Start value from the logistic-like approximation of Abramowitz & Stegun 26.2.23, then Halley
 * steps on `normalCdf` until they no longer move.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`A probability is between 0 and 1, got ${p}`);
  if (p === 0) return -Infinity;
  if (p === 1) return Infinity;
  if (p === 0.5) return 0;
  const lower = p < 0.5;
  const tail = lower ? p : 1 - p;
  const t = Math.sqrt(-2 * Math.log(tail));
  let z = -(
    t -
    (2.515517 + t * (0.802853 + t * 0.010328)) /
      (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)))
  );
  for (let i = 0; i < 8; i += 1) {
    const step = (normalCdf(z) - tail) / normalPdf(z);
    const halley = step / (1 + 0.5 * z * step);
    z -= halley;
    if (Math.abs(halley) < 1e-15 * Math.max(1, Math.abs(z))) break;
  }
  return lower ? z : -z;
}

/**
 * Standard normal loss G(k) = E[(Z − k)⁺] = φ(k) − k·(1 − Φ(k)): the expected shortfall, in
 * standard deviations, when stock is k standard deviations above the mean demand.
 */
export function normalLoss(k: number): number {
  return normalPdf(k) - k * normalCdf(-k);
}
