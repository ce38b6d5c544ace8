/**
 * Numbers in [0, 1) that look like chance and are the same for the same seed: plans try several
 * orders without rolling dice, so that a plan worked out twice is the same plan.
 *
 * Source: Park and Miller (1988), "Random number generators: good ones are hard to find",
 * Communications of the ACM 31(10): 1192–1201, the minimal standard generator with multiplier 48271.
 */
export function seededSequence(seed: number): () => number {
  const modulus = 2_147_483_647;
  let state = (Math.abs(Math.trunc(seed)) % (modulus - 1)) + 1;
  return () => {
    state = (state * 48_271) % modulus;
    return (state - 1) / (modulus - 1);
  };
}
