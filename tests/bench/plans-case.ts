import { addDays } from '../../api/core/calendar/index.ts';
import type { SitePlanInput } from '../../api/core/planning/index.ts';
import { openInMemory } from '../../api/persistence/database.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { createUnitOfWork } from '../../api/persistence/repositories.ts';
import { siteId } from '../../seed/load/demo-keys.ts';
import { loadDemo, morningOf, planWithYesterday } from '../../seed/load/load-demo.ts';

const TODAY = '2026-03-10';
const DAYS = 14;
const HISTORY_DAYS = 182;

/** The demo's sites as their plans are worked out from, and what reading one of them takes. */
export interface DemoInputs {
  readonly inputs: readonly SitePlanInput[];
  /** Milliseconds of the clock to read the rows of a site, on average. */
  readonly readMs: number;
}

/**
 * Loads the demo into an embedded database of its own and reads every site's input, with what a plan
 * of the day before would have had made.
 */
export async function demoInputs(): Promise<DemoInputs> {
  const database = await openInMemory();
  try {
    const data = await loadDemo(database, TODAY, () => undefined);
    const { services, setClock } = morningOf(database, TODAY);
    const { read } = createUnitOfWork(database, createNewId());
    const inputs: SitePlanInput[] = [];
    let readMs = 0;
    for (const site of data.sites) {
      setClock(site.zone);
      await planWithYesterday(database, services, site);
      const { previousRuns: _, ...afresh } = (await services.prep.inputNow(siteId(site.key))).input;
      inputs.push(afresh);
      const start = performance.now();
      await read.planningData.load(
        siteId(site.key),
        addDays(TODAY, -HISTORY_DAYS),
        addDays(TODAY, DAYS + 1),
      );
      readMs += performance.now() - start;
    }
    return { inputs, readMs: readMs / data.sites.length };
  } finally {
    await database.close();
  }
}

/** A repeatable number from 0 to 1 for a site and a thing of it. */
function drawn(seed: number): number {
  let state = (seed * 2654435761 + 12345) % 2147483647;
  for (let i = 0; i < 3; i += 1) state = (state * 48271) % 2147483647;
  return state / 2147483647;
}

/**
 * Synthetic site number `n`: one of the demo's, with other tastes (each dish chosen 0.7 to 1.3 times
 * as often) and another fridge (each lot 0 to 1.5 times as large). Everybody is planned afresh.
 */
export function syntheticSite(demo: readonly SitePlanInput[], n: number): SitePlanInput {
  const base = demo[n % demo.length];
  if (!base) throw new RangeError('The demo has sites');
  if (n < demo.length) return base;
  const taste = new Map<string, number>();
  const tasteOf = (dishId: string): number => {
    const known = taste.get(dishId) ?? 0.7 + 0.6 * drawn(n * 977 + taste.size);
    taste.set(dishId, known);
    return known;
  };
  return {
    ...base,
    siteId: `site-${n}`,
    services: base.services.map((service) => ({
      ...service,
      dishes: service.dishes.map((dish) => ({
        ...dish,
        share: Math.min(0.95, dish.share * tasteOf(dish.dishId)),
      })),
    })),
    lots: base.lots.flatMap((lot, i) => {
      const quantity = Math.round(lot.quantity * 1.5 * drawn(n * 389 + i));
      return quantity > 0 ? [{ ...lot, quantity }] : [];
    }),
  };
}
