/** A site's plan put in place, and what it means for others. */
export interface PlannedSite<Plan> {
  readonly plan: Plan;
  /** Sites of which something else is asked now. */
  readonly makerSiteIds: readonly string[];
  /** Sites that cannot be given all they asked for. */
  readonly shortSiteIds: readonly string[];
}

/** Works one site's plan out; `onlyPromised`: asking for no more than its makers have promised. */
export type PlanOne<Plan> = (siteId: string, onlyPromised: boolean) => Promise<PlannedSite<Plan>>;

/**
 * Plans a site, then whoever makes for it, because what is asked of them is known only now, and last
 * those again who cannot be given all they asked for, so that they make the rest themselves or name
 * it short: makers before those they make for, each once. Every plan is in place before the next
 * begins. Sites do not make for each other in a circle (rules that would are refused); one that is
 * met twice on the way up is not planned again.
 *
 * @returns the site's own plan in the end, and every site that was planned
 */
export async function planWithMakers<Plan>(
  siteId: string,
  planOne: PlanOne<Plan>,
): Promise<{ readonly plan: Plan; readonly siteIds: readonly string[] }> {
  const planned = new Set<string>();
  /** How many makings up from the site that was asked for. */
  const short = new Map<string, number>();
  const note = (ids: readonly string[], level: number): void => {
    for (const id of ids) short.set(id, Math.max(level, short.get(id) ?? -Infinity));
  };
  const up = async (
    id: string,
    level: number,
    below: readonly string[],
  ): Promise<PlannedSite<Plan>> => {
    const one = await planOne(id, false);
    planned.add(id);
    note(one.shortSiteIds, level - 1);
    for (const maker of one.makerSiteIds) {
      if (!below.includes(maker)) await up(maker, level + 1, [...below, id]);
    }
    return one;
  };
  let own = await up(siteId, 0, []);
  const again = new Set<string>();
  for (;;) {
    const [next] = [...short].filter(([id]) => !again.has(id)).sort((a, b) => b[1] - a[1]);
    if (!next) return { plan: own.plan, siteIds: [...planned] };
    const [id, level] = next;
    again.add(id);
    const one = await planOne(id, true);
    planned.add(id);
    note(one.shortSiteIds, level - 1);
    if (id === siteId) own = one;
  }
}
