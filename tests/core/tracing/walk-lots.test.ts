import fc from 'fast-check';
import { expect, it } from 'vitest';
import { walkLots, type LotLink } from '../../../api/core/tracing/index.ts';

const lots = ['a', 'b', 'c', 'd', 'e', 'f', 'g'];
const links = fc
  .array(
    fc.record({
      fromLotId: fc.constantFrom(...lots),
      toLotId: fc.constantFrom(...lots),
      quantity: fc.integer({ min: 1, max: 9 }),
      taskId: fc.constant(null),
    }),
    { maxLength: 20 },
  )
  .map((all): readonly LotLink[] => all.filter((link) => link.fromLotId !== link.toLotId));
const walk = (all: readonly LotLink[], start: string, way: 'forward' | 'back') =>
  walkLots(start, way, async (ids) =>
    all.filter((link) => ids.includes(way === 'forward' ? link.fromLotId : link.toLotId)),
  );

it('what a lot reaches leads back to it, in as many steps, circles or not', async () => {
  await fc.assert(
    fc.asyncProperty(links, async (all) => {
      const forward = await walk(all, 'a', 'forward');
      for (const [id, steps] of forward.steps) {
        expect((await walk(all, id, 'back')).steps.get('a')).toBe(steps);
      }
    }),
  );
});

it('every lot it names but the start is at the end of a link from one a step nearer', async () => {
  await fc.assert(
    fc.asyncProperty(links, async (all) => {
      const { steps, links: used } = await walk(all, 'a', 'forward');
      for (const [id, step] of steps) {
        const near = used.some((l) => l.toLotId === id && steps.get(l.fromLotId) === step - 1);
        expect(id === 'a' || near).toBe(true);
      }
    }),
  );
});
