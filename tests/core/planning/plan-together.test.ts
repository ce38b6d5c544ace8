import { describe, expect, it } from 'vitest';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { planSite, planSiteTogether } from '../../../api/core/planning/index.ts';
import type { SitePlan, SitePlanInput } from '../../../api/core/planning/index.ts';
import { linkedBounds } from '../../../api/core/planning/plan-bound.ts';
import { levelByLevel, prepare } from '../../../api/core/planning/plan-site.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { both, planInput, service, versions } from './lake-scenario.ts';

const solver = highsSolver();
const search = { maxNodes: 5, relativeGap: 1e-2, timeLimitS: 30 };

const days = ['2026-03-10', '2026-03-11', '2026-03-12', '2026-03-13'];
const fourDays = (more: Partial<SitePlanInput> = {}): SitePlanInput =>
  planInput(
    days.map((date, i) => service(date, 'Dinner', 40 + 15 * i, both)),
    more,
  );
const batchesShort = ({ shortages }: SitePlan): number =>
  shortages.reduce((sum, { quantity }) => sum + quantity, 0);

/** The paste that shells are made of keeps a week, and shells two days: one paste can serve several. */
const keepingPaste = versions.map((v) =>
  v.itemId === 'sweet-paste' ? { ...v, shelfLifeMin: 7 * 24 * 60 } : v,
);

describe('a plan bounded over all components together', () => {
  it('is the same plan, with a bound that is proven nearer to its cost', async () => {
    for (const input of [fourDays(), fourDays({ versions: keepingPaste })]) {
      const level = unwrap(planSite(input));
      const bounded = unwrap(await planSiteTogether(input, { solver }));
      expect({ ...bounded, solution: null }).toEqual({ ...level, solution: null });
      expect(bounded.solution.costMin).toBe(level.solution.costMin);
      expect(bounded.solution.boundMin).toBeGreaterThan(level.solution.boundMin);
      expect(bounded.solution.boundMin).toBeLessThanOrEqual(bounded.solution.costMin);
    }
  });

  it('has no bound above what a search finds', async () => {
    for (const [from, people] of [
      [1, 1],
      [2, 2],
    ] as const) {
      const input = planInput(
        days.slice(from).map((date, i) => service(date, 'Dinner', 30 + 25 * i, both)),
      );
      const staffed = { ...input, shifts: input.open.map((open) => ({ ...open, people })) };
      const bounded = unwrap(await planSiteTogether(staffed, { solver }));
      const searched = unwrap(await planSiteTogether(staffed, { solver, search }));
      expect(batchesShort(searched)).toBeLessThanOrEqual(batchesShort(bounded) + 1e-6);
      expect(searched.solution.costMin).toBeGreaterThanOrEqual(bounded.solution.boundMin - 1e-6);
      expect(searched.solution.costMin).toBeLessThanOrEqual(bounded.solution.costMin + 1e-6);
      expect(searched.solution.gap).toBeLessThanOrEqual(bounded.solution.gap + 1e-9);
    }
  });

  it('leaves out what is made by two versions, and bounds the rest', async () => {
    const newPaste = versions.flatMap((v) =>
      v.itemId === 'sweet-paste'
        ? [v, { ...v, versionId: 'ver-paste-2', versionNumber: 2, firstServiceDate: '2026-03-12' }]
        : [v],
    );
    const bounded = unwrap(await planSiteTogether(fourDays({ versions: newPaste }), { solver }));
    expect(bounded.solution.boundMin).toBeGreaterThan(0);
    expect(bounded.solution.boundMin).toBeLessThanOrEqual(bounded.solution.costMin);
  });

  it('asks nothing of this kitchen for what another site makes', async () => {
    const here = fourDays();
    const elsewhere = { ...here, madeElsewhere: [{ itemId: 'shell', fromDate: '2026-01-01' }] };
    const setsOf = async (input: SitePlanInput) => [
      ...(await linkedBounds(unwrap(levelByLevel(unwrap(prepare(input)))).draft, solver)).keys(),
    ];
    expect(await setsOf(here)).toContain('shell sweet-paste');
    expect(await setsOf(elsewhere)).toEqual(
      (await setsOf(here)).filter((set) => set !== 'shell sweet-paste'),
    );
  });

  it('refuses what the plan itself refuses', async () => {
    const input = fourDays({ items: [] });
    const refused = await planSiteTogether(input, { solver, search });
    expect(refused.ok ? null : refused.error.kind).toBe('missing-component');
  });
});

describe('a search over all components', () => {
  it('costs no more than choosing level by level, also where nobody says who is on shift', async () => {
    const input = fourDays({ versions: keepingPaste });
    const level = unwrap(planSite(input));
    const searched = unwrap(await planSiteTogether(input, { solver, search }));
    expect(batchesShort(searched)).toBeLessThanOrEqual(batchesShort(level) + 1e-6);
    expect(searched.solution.costMin).toBeLessThanOrEqual(level.solution.costMin + 1e-9);
    expect(searched.solution.gap).toBeLessThan(level.solution.gap);
  });
});
