import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, fromRfc3339, toRfc3339, weekdayOf } from '../../../api/core/calendar/index.ts';
import { assignNeeds, coverPeriods, deliveryOptions } from '../../../api/core/ordering/index.ts';
import type { DeliveryRules } from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const at = (text: string): number => unwrap(fromRfc3339(text));
const rules = (changes: Partial<DeliveryRules> = {}): DeliveryRules => ({
  zone: 'Europe/Zurich',
  deliveryWeekdays: [2, 5],
  cutoff: { daysBefore: 1, time: '11:00' },
  leadDays: 1,
  holidays: [],
  ...changes,
});

describe('deliveries that can still be ordered', () => {
  // 2026-03-23 is a Monday; Zurich is UTC+1 until the clocks go forward on 2026-03-29.
  it('gives each delivery day with its cutoff on the clock of the supplier', () => {
    const options = unwrap(deliveryOptions(rules(), at('2026-03-23T08:00:00Z'), 9));
    expect(options.map((o) => [o.deliveryDate, toRfc3339(o.cutoffMin)])).toEqual([
      ['2026-03-24', '2026-03-23T10:00:00Z'],
      ['2026-03-27', '2026-03-26T10:00:00Z'],
      ['2026-03-31', '2026-03-30T09:00:00Z'],
    ]);
  });

  it('takes an order in the very minute of the cutoff and not one later', () => {
    const first = (text: string) => unwrap(deliveryOptions(rules(), at(text), 9))[0]?.deliveryDate;
    expect(first('2026-03-23T10:00:00Z')).toBe('2026-03-24');
    expect(first('2026-03-23T10:01:00Z')).toBe('2026-03-27');
  });

  it('skips holidays for deliveries and moves the cutoff before them', () => {
    const friday = rules({ holidays: ['2026-03-26', '2026-03-24'] });
    const options = unwrap(deliveryOptions(friday, at('2026-03-22T08:00:00Z'), 6));
    expect(options.map((o) => [o.deliveryDate, toRfc3339(o.cutoffMin)])).toEqual([
      ['2026-03-27', '2026-03-25T10:00:00Z'],
    ]);
  });

  it('counts lead days on working days only', () => {
    const weekly = rules({
      deliveryWeekdays: [2],
      leadDays: 2,
      workingWeekdays: [1, 2, 3, 4, 5],
    });
    // Two working days up to Tuesday the 31st are Tuesday and Monday: the order closes on Friday.
    const options = unwrap(deliveryOptions(weekly, at('2026-03-25T08:00:00Z'), 8));
    expect(options.map((o) => [o.deliveryDate, toRfc3339(o.cutoffMin)])).toEqual([
      ['2026-03-31', '2026-03-27T10:00:00Z'],
    ]);
  });

  it('refuses rules under which nothing can be ordered in time', () => {
    const refused: [Partial<DeliveryRules>, string][] = [
      [{ deliveryWeekdays: [] }, 'missing-data'],
      [{ cutoff: { daysBefore: -1, time: '11:00' } }, 'out-of-range'],
      [{ cutoff: { daysBefore: 0, time: '11:00' }, leadDays: 0 }, 'out-of-range'],
      [
        { cutoff: { daysBefore: 0, time: '11:00' }, leadDays: 0, arrivesBy: '10:00' },
        'out-of-range',
      ],
      [{ cutoff: { daysBefore: 1, time: '25:00' } }, 'invalid-date'],
      [{ zone: 'Europe/Nowhere' }, 'invalid-zone'],
      [{ holidays: ['2026-02-30'] }, 'invalid-date'],
      [{ leadDays: 1.5 }, 'out-of-range'],
      [{ workingWeekdays: [] }, 'out-of-range'],
    ];
    for (const [changes, kind] of refused) {
      expect(deliveryOptions(rules(changes), 0, 7)).toMatchObject({ ok: false, error: { kind } });
    }
    expect(deliveryOptions(rules(), 0, -1)).toMatchObject({ ok: false });
    const sameDay = rules({
      cutoff: { daysBefore: 0, time: '06:00' },
      leadDays: 0,
      arrivesBy: '10:00',
    });
    expect(deliveryOptions(sameDay, 0, 7).ok).toBe(true);
  });

  it('never offers a delivery whose cutoff has passed, that is on a holiday or off its weekdays', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 29_000_000, max: 30_000_000 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { minLength: 1 }),
        fc.integer({ min: 0, max: 4 }),
        fc.integer({ min: 1, max: 3 }),
        fc.array(fc.integer({ min: 0, max: 20 }), { maxLength: 5 }),
        (fromMin, weekdays, leadDays, daysBefore, offsets) => {
          const day = toRfc3339(fromMin).slice(0, 10);
          const holidays = offsets.map((n) => addDays(day, n));
          const given = rules({
            deliveryWeekdays: weekdays as DeliveryRules['deliveryWeekdays'],
            leadDays,
            holidays,
            cutoff: { daysBefore, time: '14:30' },
          });
          const options = unwrap(deliveryOptions(given, fromMin, 21));
          for (const option of options) {
            expect(option.cutoffMin).toBeGreaterThanOrEqual(fromMin);
            expect(weekdays).toContain(weekdayOf(option.deliveryDate));
            expect(holidays).not.toContain(option.deliveryDate);
            const latest = addDays(option.deliveryDate, -Math.max(daysBefore, leadDays));
            expect(toRfc3339(option.cutoffMin).slice(0, 10) <= latest).toBe(true);
          }
        },
      ),
    );
  });
});

describe('the period a delivery covers', () => {
  const slot = (deliveryDate: string, usableFromDate = deliveryDate) => ({
    deliveryDate,
    usableFromDate,
    cutoffMin: 0,
  });

  it('runs to the eve of the next delivery, the last to the end of the plan', () => {
    const periods = coverPeriods([slot('2026-03-27'), slot('2026-03-24')], '2026-03-29');
    expect(periods.map((p) => [p.deliveryDate, p.fromDate, p.toDate])).toEqual([
      ['2026-03-24', '2026-03-24', '2026-03-26'],
      ['2026-03-27', '2026-03-27', '2026-03-29'],
    ]);
  });

  it('starts when the goods are usable, and leaves out a delivery too late for the plan', () => {
    const periods = coverPeriods(
      [slot('2026-03-24', '2026-03-25'), slot('2026-03-28', '2026-03-29')],
      '2026-03-28',
    );
    expect(periods.map((p) => [p.fromDate, p.toDate])).toEqual([['2026-03-25', '2026-03-28']]);
  });

  it('names the need that no delivery reaches and the delivery that comes next', () => {
    const needs = ['2026-03-23', '2026-03-24', '2026-03-28'].map((needDate) => ({ needDate }));
    const periods = coverPeriods([slot('2026-03-24'), slot('2026-03-27')], '2026-03-29');
    const placed = assignNeeds(needs, periods);
    expect(placed.periods.map((p) => p.needs.length)).toEqual([1, 1]);
    expect(placed.late).toMatchObject([
      {
        need: { needDate: '2026-03-23' },
        reason: 'past-cutoff',
        nextDelivery: { deliveryDate: '2026-03-24' },
      },
    ]);
    expect(assignNeeds(needs, []).late.map((l) => l.reason)).toEqual(Array(3).fill('no-delivery'));
  });

  it('leaves no date between the first delivery and the end uncovered or covered twice', () => {
    const dates = fc.uniqueArray(fc.integer({ min: 0, max: 25 }), { minLength: 1, maxLength: 9 });
    fc.assert(
      fc.property(dates, (days) => {
        const deliveries = days.map((n) => slot(addDays('2026-03-01', n)));
        const lastDate = '2026-03-26';
        const periods = coverPeriods(deliveries, lastDate);
        const first = addDays('2026-03-01', Math.min(...days));
        let expected = first;
        for (const period of periods) {
          expect(period.fromDate).toBe(expected);
          expected = addDays(period.toDate, 1);
        }
        expect(expected).toBe(addDays(lastDate, 1));
      }),
    );
  });
});
