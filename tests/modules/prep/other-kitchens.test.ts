import { describe, expect, it } from 'vitest';
import { planSite } from '../../../api/core/planning/index.ts';
import type { SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { otherKitchens } from '../../../api/modules/prep/other-kitchens.ts';
import { at, both, planInput, service } from '../../core/planning/lake-scenario.ts';

const TOMORROW = '2026-03-11';

/** Shells are missing here, and a kitchen elsewhere would have to begin with the paste. */
async function asked(there: SitePlanInput) {
  const input = planInput([service(TOMORROW, 'Dinner', 40, both)]);
  const lack = {
    itemId: 'shell',
    serviceDate: TOMORROW,
    atMin: at(TOMORROW, '19:00'),
    quantity: 20,
  };
  const before = unwrap(planSite(input));
  const found = await otherKitchens(
    {
      planSite: (one) => Promise.resolve(planSite(one)),
      prep: { inputNow: () => Promise.resolve({ input: there } as never) },
    },
    ['elsewhere'],
    lack,
    { input, before },
  );
  return found[0];
}

describe('another kitchen that could make what is missing', () => {
  it('is told with the hands on the makings it would not make otherwise', async () => {
    const kitchen = await asked(planInput([]));
    expect(kitchen?.quantity).toBeCloseTo(20, 6);
    // Two runs of 20 min getting out and cleaning down; 30 min on the shells, 20 on their paste.
    expect(kitchen?.moreWorkMin).toBeGreaterThanOrEqual(90);
    expect(kitchen?.moreWorkMin).toBeLessThan(180);
  });
});
