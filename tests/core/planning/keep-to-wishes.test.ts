import { describe, expect, it } from 'vitest';
import type { WishedRun } from '../../../api/core/planning/component-runs.ts';
import { keepingTo } from '../../../api/core/planning/keep-to-wishes.ts';
import { levelByLevel, prepare } from '../../../api/core/planning/plan-site.ts';
import type { Drafted } from '../../../api/core/planning/plan-site.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { at, both, planInput, service, versions } from './lake-scenario.ts';

const days = ['2026-03-10', '2026-03-11', '2026-03-12'];
const prepared = unwrap(
  prepare(
    planInput(
      days.map((date) => service(date, 'Dinner', 40, both)),
      { versions },
    ),
  ),
);
const level = unwrap(levelByLevel(prepared));
const sets = [['curd'], ['roast-plums'], ['sponge'], ['shell', 'sweet-paste']];
const costOf = ({ draft }: Drafted, itemId: string): number =>
  draft.methods.find((method) => method.itemId === itemId)?.costMin ?? NaN;
const everyDay = (batches: number): readonly WishedRun[] =>
  days.map((makeDate) => ({ makeDate, startMin: at(makeDate, '09:00'), batches }));
const asInPlan = ({ draft }: Drafted, itemId: string): readonly WishedRun[] =>
  draft.tasks.filter((task) => task.itemId === itemId);

/** What stands makes curd every day, where once would do. */
const dear = unwrap(levelByLevel({ ...prepared, wishes: new Map([['curd', everyDay(3)]]) }));

describe('keeping to what a search wished for', () => {
  it('takes all of it where the whole plan gains', () => {
    const wishes = new Map([['curd', asInPlan(level, 'curd')]]);
    const kept = unwrap(keepingTo(prepared, wishes, sets, dear));
    expect(costOf(dear, 'curd')).toBeGreaterThan(costOf(level, 'curd'));
    expect(kept && costOf(kept, 'curd')).toBeCloseTo(costOf(level, 'curd'), 9);
  });

  it('takes only what gains where something else wished for would cost more than that', () => {
    const wishes = new Map([
      ['curd', asInPlan(level, 'curd')],
      ['roast-plums', everyDay(9)],
    ]);
    const kept = unwrap(keepingTo(prepared, wishes, sets, dear));
    expect(kept && costOf(kept, 'curd')).toBeCloseTo(costOf(level, 'curd'), 9);
    expect(kept && costOf(kept, 'roast-plums')).toBeCloseTo(costOf(level, 'roast-plums'), 9);
    const all = unwrap(levelByLevel({ ...prepared, wishes }));
    expect(costOf(all, 'roast-plums')).toBeGreaterThan(costOf(dear, 'curd'));
  });

  it('leaves the plan that stands where nothing wished for gains', () => {
    const wishes = new Map([['roast-plums', everyDay(9)]]);
    expect(unwrap(keepingTo(prepared, wishes, sets, level))).toBeNull();
  });

  it('begins a run as early as it was wished for, not as late as it could be', () => {
    const shells = asInPlan(level, 'shell');
    const early = shells.map((run) => ({ ...run, startMin: at(run.makeDate, '07:00') }));
    const kept = unwrap(levelByLevel({ ...prepared, wishes: new Map([['shell', early]]) }));
    expect(shells.length).toBeGreaterThan(0);
    for (const { makeDate, startMin } of shells) {
      expect(startMin).toBeGreaterThan(at(makeDate, '12:00'));
    }
    for (const { makeDate, startMin } of asInPlan(kept, 'shell')) {
      expect(startMin).toBeLessThan(at(makeDate, '09:00'));
    }
  });
});
