import { describe, expect, it } from 'vitest';
import { chain, evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile, planSite, timesNodeOf } from '../../../api/core/planning/index.ts';
import type { SitePlan, SitePlanInput } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { curdInMoulds, both, planInput, service, versions } from './lake-scenario.ts';

const days = ['2026-03-10', '2026-03-11', '2026-03-12'];
const kitchen = (people: number, more: Partial<SitePlanInput> = {}): SitePlan => {
  const input = planInput(
    days.map((date) => service(date, 'Lunch', 70, both)),
    more,
  );
  const shifts = input.open.map((open) => ({ ...open, people }));
  return unwrap(planSite({ ...input, shifts }));
};
const linesOf = (plan: SitePlan, itemId: string): string[] =>
  plan.tasks
    .filter((task) => task.itemId === itemId && task.neededBy.length > 0)
    .flatMap((task) => unwrap(chain(plan.explanation, timesNodeOf(task.quantityNode))));

describe('why a run is begun when it is', () => {
  it('adds up to the minutes between its start and the first thing that needs it', () => {
    for (const people of [1, 2, 9]) {
      const plan = kitchen(people);
      let explained = 0;
      for (const task of plan.tasks) {
        if (task.neededBy.length === 0) continue;
        const node = timesNodeOf(task.quantityNode);
        const minutes = unwrap(evaluate(plan.explanation, node, { quantile: planQuantile }));
        expect(minutes).toBe(task.firstNeedMin - task.startMin);
        explained += 1;
      }
      expect(explained).toBeGreaterThan(3);
    }
  });

  it('names the service, and how long which step waits', () => {
    const lines = linesOf(kitchen(9), 'curd').join('\n');
    expect(lines).toMatch(/begun before Lemon tart, Lunch|begun before .*Lunch/);
    expect(lines).toMatch(/Waiting: .*: 360 min \(recipe version [^,]+, step \d: 360 min\)/);
  });

  it('names the people or the equipment that keep it from being later, and nothing where nobody does', () => {
    const heavy = versions.map((v) =>
      v.itemId === 'shell'
        ? {
            ...v,
            steps: [{ id: 'line', workingMin: 150, waitingMin: 0 }],
          }
        : v,
    );
    expect(linesOf(kitchen(9, { versions: heavy }), 'shell').join('\n')).not.toMatch(/Pushed/);
    expect(linesOf(kitchen(1, { versions: heavy }), 'shell').join('\n')).toMatch(
      /Pushed: not enough people on shift/,
    );
  });

  it('names the equipment that one making after the other goes through', () => {
    const plan = kitchen(9, {
      versions: curdInMoulds,
      equipment: [{ kind: 'mould set', name: 'Moulds', units: 1 }],
    });
    expect(plan.tasks.some(({ itemId, makings }) => itemId === 'curd' && makings > 1)).toBe(true);
    expect(linesOf(plan, 'curd').join('\n')).toMatch(/Pushed: Moulds in use: \d+ min/);
  });
});
