/** The part of the library we call; it ships no types. */
declare module 'jstat' {
  export const jStat: {
    readonly negbin: { cdf(k: number, size: number, p: number): number };
    readonly poisson: { cdf(k: number, mean: number): number };
  };
}
