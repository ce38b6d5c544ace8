import { describe, expect, it } from 'vitest';
import {
  planSite,
  remediesFor,
  remedyEffect,
  shortOn,
  type Missing,
  type RemedyKind,
  type SitePlanInput,
} from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { curdInMoulds, at, both, planInput, service, versions } from './lake-scenario.ts';

const plan = (input: SitePlanInput) => unwrap(planSite(input));
const withPeople = (input: SitePlanInput, people: number): SitePlanInput => ({
  ...input,
  shifts: input.open.map((open) => ({ ...open, people })),
});
/** Each remedy's effect, by its kind (and equipment). */
function effects(input: SitePlanInput, missing: Missing) {
  const before = plan(input);
  return new Map(
    remediesFor(input, missing).map(({ kind, equipmentKind, dishId, input: changed }) => [
      [kind, equipmentKind, dishId].filter((part) => part !== undefined).join(' '),
      remedyEffect(before, plan(changed), missing),
    ]),
  );
}

describe('remedies for a shortage', () => {
  // Five in the morning; the kitchen opens at seven; the curd takes six and a half hours; lunch is at noon.
  const early = () =>
    withPeople(
      planInput([service('2026-03-09', 'Lunch', 40, [{ dishId: 'tart', share: 0.4 }])], {
        nowMin: at('2026-03-09', '05:00'),
      }),
      9,
    );
  const curd = { itemId: 'curd', serviceDate: '2026-03-09', atMin: at('2026-03-09', '12:00') };

  it('of what sets too long for the hours: opening earlier mends it, more people do not', () => {
    const short = shortOn(plan(early()), curd);
    expect(short).toBeGreaterThan(0);
    const found = effects(early(), curd);
    expect(found.get('start-earlier')).toMatchObject({ shortAfter: 0, shortagesAfter: 0 });
    expect(found.get('one-more-pair-of-hands')?.shortAfter).toBe(short);
  });

  it('are none of them an hour that has been: today opens when it does once the day is near', () => {
    const at629 = { ...early(), nowMin: at('2026-03-09', '06:29') };
    const offered = remediesFor(at629, curd).find(({ kind }) => kind === 'start-earlier');
    const today = at629.open.find(({ date }) => date === '2026-03-09');
    expect(today?.fromMin).toBe(at('2026-03-09', '07:00'));
    expect(offered?.input.open.find(({ date }) => date === '2026-03-09')?.fromMin).toBe(
      today?.fromMin,
    );
  });

  it('always counts planning for fewer guests among them, and what it leaves short', () => {
    const short = shortOn(plan(early()), curd);
    const even = effects(early(), curd).get('even-chance');
    expect(even?.shortAfter).toBeGreaterThan(0);
    expect(even?.shortAfter).toBeLessThan(short);
  });

  it('of what hands are missing for: one more pair leaves less short', () => {
    const heavy = versions.map((v) =>
      v.itemId === 'shell' ? { ...v, steps: [{ id: 'line', workingMin: 600, waitingMin: 0 }] } : v,
    );
    const input = withPeople(
      planInput([service('2026-03-10', 'Lunch', 200, both)], { versions: heavy }),
      1,
    );
    const before = plan(input);
    const short = before.shortages.find(({ itemId }) => itemId === 'shell');
    if (!short) throw new Error('Nothing is short.');
    const missing = { itemId: 'shell', serviceDate: short.serviceDate, atMin: short.atMin };
    const found = effects(input, missing);
    const hands = found.get('one-more-pair-of-hands');
    expect(hands?.shortAfter).toBeLessThan(shortOn(before, missing));
  });

  it('of what equipment is full for: borrowing one more of that very kind leaves less short', () => {
    const input = withPeople(
      planInput([service('2026-03-09', 'Dinner', 300, [{ dishId: 'tart', share: 0.6 }])], {
        versions: curdInMoulds,
        equipment: [
          { kind: 'mould set', name: 'Moulds', units: 1 },
          { kind: 'oven deck', name: 'Deck', units: 1 },
        ],
      }),
      9,
    );
    const before = plan(input);
    const missing = { itemId: 'curd', serviceDate: '2026-03-09', atMin: at('2026-03-09', '19:00') };
    expect(shortOn(before, missing)).toBeGreaterThan(0);
    const found = effects(input, missing);
    expect(found.get('borrow-equipment mould set')?.shortAfter).toBeLessThan(
      shortOn(before, missing),
    );
    // A deck that the curd never sees is not offered.
    expect(found.has('borrow-equipment oven deck')).toBe(false);
  });

  it('of a dish whose component cannot be there: without it nothing is short, and its guests choose another', () => {
    const two = withPeople(
      planInput([service('2026-03-09', 'Lunch', 40, both)], { nowMin: at('2026-03-09', '05:00') }),
      9,
    );
    const found = effects(two, curd);
    expect(found.get('another-dish tart')).toMatchObject({ shortAfter: 0 });
    // Alone on the menu it cannot be replaced.
    expect([...effects(early(), curd).keys()].some((key) => key.startsWith('another'))).toBe(false);
    const [remedy] = remediesFor(two, curd).filter(({ kind }) => kind === 'another-dish');
    const shares = (input: SitePlanInput): number =>
      input.services.flatMap(({ dishes }) => dishes).reduce((sum, { share }) => sum + share, 0);
    expect(shares(remedy?.input ?? two)).toBeCloseTo(shares(two), 9);
  });

  it('cuts a par of what is missing, and offers it only where there is one', () => {
    const par = {
      kind: 'quantity' as const,
      itemId: 'curd',
      fromDate: '2026-03-09',
      toDate: '2026-03-09',
      quantity: 20_000,
      source: { kind: 'par', id: 'par-curd' },
    };
    const input = { ...early(), componentPars: [par] };
    const cut = effects(input, curd).get('cut-the-par');
    expect(cut?.shortAfter).toBeLessThan(shortOn(plan(input), curd));
    expect(effects(early(), curd).has('cut-the-par')).toBe(false);
  });

  it('of a run that hands leave no room for on its day: says which of them leave it room', () => {
    const heavy = versions.map((v) =>
      v.itemId === 'shell' ? { ...v, steps: [{ id: 'line', workingMin: 400, waitingMin: 0 }] } : v,
    );
    const days = ['2026-03-10', '2026-03-11'];
    const input = withPeople(
      planInput(
        days.map((date) => service(date, 'Dinner', 60, both)),
        { versions: heavy },
      ),
      1,
    );
    const before = plan(input);
    const run = before.tight.find(({ itemId }) => itemId === 'shell');
    if (!run) throw new Error('Nothing is tight.');
    const dueOn = (dueMin: number): boolean => dueMin === run.dueMin;
    const missing = { itemId: 'shell', serviceDate: '2026-03-10', atMin: run.dueMin };
    const now = remedyEffect(before, before, missing, dueOn);
    expect(now).toMatchObject({ tightAfter: true });
    const [hands] = remediesFor(input, missing);
    expect(hands?.kind).toBe('one-more-pair-of-hands');
    const after = remedyEffect(before, plan(hands?.input ?? input), missing, dueOn);
    expect([after.tightAfter, after.lateAfterMin <= now.lateAfterMin]).toEqual([false, true]);
  });

  it('never touch shelf life, stock, recipes or what lies after the need', () => {
    const input = withPeople(
      planInput([
        service('2026-03-09', 'Lunch', 40, both),
        service('2026-03-10', 'Lunch', 40, both),
      ]),
      2,
    );
    const kinds: RemedyKind[] = [];
    for (const { kind, input: changed } of remediesFor(input, curd)) {
      kinds.push(kind);
      expect(changed.versions).toBe(input.versions);
      expect(changed.lots).toBe(input.lots);
      expect(changed.nowMin).toBe(input.nowMin);
      expect(changed.services[1]).toEqual(input.services[1]);
      const later = ({ fromMin }: { fromMin: number }) => fromMin > curd.atMin;
      expect(changed.open.filter(later)).toEqual(input.open.filter(later));
      expect(changed.shifts?.filter(later)).toEqual(input.shifts?.filter(later));
    }
    expect(kinds).toEqual([
      'one-more-pair-of-hands',
      'start-earlier',
      'even-chance',
      'another-dish',
    ]);
  });
});
