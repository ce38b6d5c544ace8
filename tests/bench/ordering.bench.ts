import { highsSolver } from '../../api/core/milp/index.ts';
import { choosePacks, defaultPacks } from '../../api/core/ordering/index.ts';
import type { PackPlan, PackProblem } from '../../api/core/ordering/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';
import { benchGoods, benchSite } from './ordering-case.ts';

/** One comparison of a run; `ratio` is what `aim` speaks of. */
export interface BenchResult {
  readonly name: string;
  readonly ratio: number;
  readonly aim: string;
  readonly met: boolean;
}

const MANY_SITES = 200;
/** Every fifth site: some sites are harder than others, so the few are drawn from all of them. */
const EVERY = 5;
const FEW_SITES = MANY_SITES / EVERY;
const RELATIVE_GAP = 0.01;

/** Sites side by side in one problem; each orders for itself. */
function sites(count: number, every: number): PackProblem {
  const goods = benchGoods();
  const each = Array.from({ length: count }, (_, i) => benchSite(i * every, goods));
  const [first] = each;
  if (!first) throw new RangeError('At least one site');
  return {
    ...first,
    needs: each.flatMap((site) => site.needs),
    slots: each.flatMap((site) => site.slots),
    laterUse: each.flatMap((site) => site.laterUse ?? []),
  };
}

/** Processor time, not the clock on the wall: other work on the machine must not count. */
async function timed(problem: PackProblem): Promise<{ plan: PackPlan; cpuMs: number }> {
  const solver = highsSolver();
  await solver.solve({ variables: [], rows: [] });
  const start = process.cpuUsage();
  const plan = unwrap(await choosePacks(problem, solver, { relativeGap: RELATIVE_GAP }));
  return { plan, cpuMs: process.cpuUsage(start).user / 1000 };
}

/**
 * Orders for 200 sites over 14 days (110 ingredients, 150 packs, 6 suppliers with minimums, charges
 * and price breaks; invented): what the chosen plan costs against the proven bound and against the
 * habit of rounding each need up to its default pack, and whether the time grows with the sites.
 * Cost counts what is paid, keeping, and leftovers used in date; both plans by the same measure.
 */
export async function benchOrdering(): Promise<BenchResult[]> {
  const few = await timed(sites(FEW_SITES, EVERY));
  const problem = sites(MANY_SITES, 1);
  const { plan, cpuMs } = await timed(problem);
  const habit = unwrap(defaultPacks(problem));
  const overBound = Number(plan.objective) / Number(plan.bound);
  const habitOver = Number(habit.objective) / Number(plan.objective);
  const wasteOver = Number(habit.expectedWasteCost) / Number(plan.expectedWasteCost);
  const perSite = cpuMs / MANY_SITES / (few.cpuMs / FEW_SITES);
  return [
    {
      name: `orders, ${MANY_SITES} sites × 14 days: cost ÷ proven lower bound`,
      ratio: overBound,
      aim: 'at most 1.01',
      met: plan.bound !== null && overBound <= 1.01,
    },
    {
      name: 'orders: cost by habit (each need rounded up to its default pack) ÷ cost chosen',
      ratio: habitOver,
      aim: 'at least 1.02',
      met: habitOver >= 1.02,
    },
    {
      name: 'orders: expected waste by habit ÷ expected waste chosen',
      ratio: wasteOver,
      aim: 'at least 1.2',
      met: wasteOver >= 1.2,
    },
    {
      name: `orders, processor time per site at ${MANY_SITES} sites ÷ at ${FEW_SITES}`,
      ratio: perSite,
      aim: 'at most 1.5',
      met: perSite <= 1.5,
    },
  ];
}
