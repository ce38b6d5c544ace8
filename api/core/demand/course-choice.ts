/** One service of a course: the dishes offered, portions of each and the service's weight. */
export interface CourseService {
  /** Indexes of the dishes that were on the menu. */
  readonly offered: readonly number[];
  /** Portions of each offered dish, same order; sold-out ones filled up. */
  readonly portions: readonly number[];
  readonly weight: number;
}

/** Rounds are stopped when no share moves by more than this. */
const SETTLED = 1e-12;
const MOST_ROUNDS = 500;

/**
 * How the portions of a course fall on its dishes when all of them are offered.
 *
 * With all dishes offered on all days this is the mean of the Dirichlet posterior,
 * (αᵢ + Σ nᵢ) ÷ Σⱼ(αⱼ + Σ nⱼ). When menus differed, Luce's choice rule holds among the dishes that
 * were offered and the shares are found by the minorise–maximise rounds of Hunter 2004 (Annals of
 * Statistics 32, "MM algorithms for generalized Bradley–Terry models"; from memory), the prior
 * counting as one service with every dish offered. A dish never sold keeps its stated part and the
 * others make room for it in proportion.
 *
 * @param prior αᵢ, portions' worth of stated experience, above 0 for at least one dish
 * @returns the parts, adding up to 1, in the order of `prior`
 */
export function courseParts(
  prior: readonly number[],
  services: readonly CourseService[],
): number[] {
  const priorTotal = prior.reduce((a, x) => a + x, 0);
  const won = [...prior];
  for (const service of services) {
    service.offered.forEach((dish, i) => {
      won[dish] = (won[dish] ?? 0) + service.weight * (service.portions[i] ?? 0);
    });
  }
  const total = won.reduce((a, x) => a + x, 0);
  if (!(total > 0)) return prior.map(() => 1 / prior.length);
  let parts = won.map((x) => x / total);
  if (services.every((s) => s.offered.length === prior.length)) return parts;
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    const exposure = new Array<number>(prior.length).fill(priorTotal);
    for (const service of services) {
      const reach = service.offered.reduce((a, dish) => a + (parts[dish] ?? 0), 0);
      if (!(reach > 0)) continue;
      const portions = service.portions.reduce((a, n) => a + n, 0);
      for (const dish of service.offered) {
        exposure[dish] = (exposure[dish] ?? 0) + (service.weight * portions) / reach;
      }
    }
    const next = won.map((x, i) => {
      const seen = exposure[i] ?? 0;
      return seen > 0 ? x / seen : 0;
    });
    const sum = next.reduce((a, x) => a + x, 0);
    let moved = 0;
    parts = parts.map((old, i) => {
      const value = (next[i] ?? 0) / sum;
      moved = Math.max(moved, Math.abs(value - old));
      return value;
    });
    if (moved < SETTLED) break;
  }
  return parts;
}
