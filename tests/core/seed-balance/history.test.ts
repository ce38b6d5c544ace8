import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';

import { addDays, daysBetween, weekdayOf } from '../../../api/core/calendar/index.ts';
import { SNAPSHOT_DAYS } from '../../../seed/generator/covers.ts';
import { baseUnitOf } from '../../../seed/generator/demo-index.ts';
import { generateHistory } from '../../../seed/generator/history.ts';
import type { DemoHistory, DemoSite, DishSale } from '../../../seed/generator/types.ts';
import { data, index } from './balance.ts';

// One day in each season; two of them just after the clocks change.
const TODAYS = ['2026-03-31', '2026-07-08', '2026-10-27', '2027-02-10'] as const;
const histories = TODAYS.map((today) => generateHistory(data, { today, seed: 7 }));

const siteOf = (key: string): DemoSite => {
  const site = index.sites.get(key);
  if (site === undefined) throw new Error(`No site ${key}`);
  return site;
};
const serviceOf = (site: string, key: string): DemoSite['services'][number] => {
  const service = siteOf(site).services.find((candidate) => candidate.key === key);
  if (service === undefined) throw new Error(`${site} does not serve ${key}`);
  return service;
};
const serviceKey = (row: {
  readonly site: string;
  readonly service: string;
  readonly serviceDate: string;
}): string => `${row.site} ${row.service} ${row.serviceDate}`;
const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
const loadedAt = (site: string, today: string): string =>
  DateTime.fromISO(`${today}T05:30`, { zone: siteOf(site).zone })
    .toUTC()
    .toISO() ?? '';

describe('the same seed and day give the same history', () => {
  it('over any day and seed', () => {
    const day = fc.integer({ min: 0, max: 1500 }).map((offset) => addDays('2025-06-01', offset));
    fc.assert(
      fc.property(day, fc.integer({ min: 0, max: 2 ** 31 }), (today, seed) => {
        const first = generateHistory(data, { today, seed });
        expect(JSON.stringify(generateHistory(data, { today, seed }))).toBe(JSON.stringify(first));
      }),
      { numRuns: 2 },
    );
  });

  it('another seed gives another one', () => {
    const [one] = histories;
    const other = generateHistory(data, { today: TODAYS[0], seed: 8 });
    expect(other.actuals).not.toEqual(one?.actuals);
  });

  it('a day later the past is the same and one day longer', () => {
    // Events are dated by today itself, so they stay out of this.
    const still = { ...data, events: [] };
    const today = '2026-09-17';
    const before = generateHistory(still, { today, seed: 3 });
    const after = generateHistory(still, { today: addDays(today, 1), seed: 3 });
    const first = addDays(today, 1 - 26 * 7);
    const shared = <T extends { readonly serviceDate: string }>(rows: readonly T[]): T[] =>
      rows.filter((row) => row.serviceDate >= first);
    expect(after.actuals.filter((row) => row.serviceDate < today)).toEqual(shared(before.actuals));
    expect(after.sales.filter((row) => row.serviceDate < today)).toEqual(shared(before.sales));
    const rowKey = (row: DemoHistory['snapshots'][number]): string => JSON.stringify(row);
    const known = new Set(after.snapshots.map(rowKey));
    expect(shared(before.snapshots).filter((row) => !known.has(rowKey(row)))).toEqual([]);
    expect(after.actuals.length).toBeGreaterThan(shared(before.actuals).length);
  });

  it('refuses a today that is no date', () => {
    expect(() => generateHistory(data, { today: '2026-02-30', seed: 1 })).toThrow(RangeError);
  });
});

describe.each(histories)('seen on $today', (history: DemoHistory) => {
  const { today } = history;

  it('covers reach 26 weeks back and bookings 28 days ahead', () => {
    const dates = history.snapshots.map((row) => row.serviceDate).sort();
    expect(dates[0]).toBe(addDays(today, -26 * 7));
    expect(dates.at(-1)).toBe(addDays(today, 28));
    expect(history.actuals.every((row) => row.serviceDate < today)).toBe(true);
  });

  it('each morning at 05:00 local sends the bookings once, none later than today 05:30', () => {
    const wrong = history.snapshots.filter((row) => {
      const local = DateTime.fromISO(row.takenAt, { zone: siteOf(row.site).zone });
      return (
        local.toFormat('HH:mm') !== '05:00' ||
        daysBetween(local.toFormat('yyyy-MM-dd'), row.serviceDate) !== row.daysBefore ||
        !SNAPSHOT_DAYS.some((day) => day === row.daysBefore) ||
        local.toFormat('yyyy-MM-dd') > today
      );
    });
    expect(wrong).toEqual([]);
    const seen = history.snapshots.map((row) => `${serviceKey(row)} ${row.takenAt}`);
    expect(new Set(seen).size).toBe(history.snapshots.length);
  });

  it('nobody is booked or seated past the room, nor on a day the site is shut', () => {
    const shut = new Set(
      history.events
        .filter((event) => event.kind === 'closed')
        .flatMap((event) => event.services.map((key) => `${event.site} ${key} ${event.date}`)),
    );
    expect(shut.size).toBeGreaterThan(0);
    const rows = [
      ...history.snapshots.map((row) => ({ ...row, covers: row.booked })),
      ...history.actuals,
    ];
    const wrong = rows.filter((row) => {
      const { maxCovers, weekdays } = serviceOf(row.site, row.service);
      return (
        !Number.isInteger(row.covers) ||
        row.covers < 0 ||
        row.covers > maxCovers ||
        !weekdays.includes(weekdayOf(row.serviceDate)) ||
        shut.has(serviceKey(row))
      );
    });
    expect(wrong).toEqual([]);
  });

  it('sales are dishes of that day’s card, no more than the guests, and sell out within service', () => {
    const covers = new Map(history.actuals.map((row) => [serviceKey(row), row.covers]));
    const sold = new Map<string, number>();
    const carded = (row: DishSale): boolean =>
      history.menus.some(
        (menu) =>
          menu.site === row.site &&
          menu.services.includes(row.service) &&
          menu.from <= row.serviceDate &&
          row.serviceDate <= menu.to &&
          menu.lines.some((line) => line.dish === row.dish),
      ) ||
      history.events.some(
        (e) => e.site === row.site && e.date === row.serviceDate && e.dish === row.dish,
      );
    for (const row of history.sales) {
      sold.set(serviceKey(row), (sold.get(serviceKey(row)) ?? 0) + row.portions);
    }
    expect(history.sales.filter((row) => !carded(row))).toEqual([]);
    expect([...sold].filter(([key, portions]) => portions > (covers.get(key) ?? -1))).toEqual([]);
    const soldOut = history.sales.filter((row) => row.soldOutAt !== undefined);
    expect(soldOut.length).toBeGreaterThan(20);
    const outside = soldOut.filter((row) => {
      const service = serviceOf(row.site, row.service);
      const zone = siteOf(row.site).zone;
      const at = DateTime.fromISO(row.soldOutAt ?? '', { zone }).toFormat('HH:mm');
      return at < service.startTime || at > service.endTime;
    });
    expect(outside).toEqual([]);
  });

  it('cards follow each other without gap or overlap, from the first day to the last booking', () => {
    for (const { key } of data.menus) {
      const runs = history.menus.filter((menu) => menu.menu === key);
      expect(runs[0]?.from.localeCompare(addDays(today, -26 * 7))).toBeLessThanOrEqual(0);
      for (const [i, run] of runs.entries()) {
        const next = runs[i + 1];
        if (next === undefined) expect(run.to >= addDays(today, 28)).toBe(true);
        else expect(next.from).toBe(addDays(run.to, 1));
      }
    }
  });

  it('stock is positive, in base units, made on working days before today, some near its date', () => {
    expect(history.lots.length).toBeGreaterThan(200);
    for (const lot of history.lots) {
      const local = DateTime.fromISO(lot.madeAt, { zone: siteOf(lot.site).zone });
      const hours = siteOf(lot.site).hours.map((worked) => worked.weekday as number);
      expect(lot.quantityBase).toBeGreaterThan(0);
      expect(lot.unit).toBe(baseUnitOf(index, lot.itemKind, lot.itemKey));
      expect(local.toISODate()?.localeCompare(today)).toBe(-1);
      expect(hours).toContain(local.weekday);
      expect(lot.useBy > lot.madeAt).toBe(true);
    }
    for (const site of data.sites) {
      const here = history.lots.filter((lot) => lot.site === site.key);
      const now = loadedAt(site.key, today);
      const soon = loadedAt(site.key, addDays(today, 1));
      expect(here.length, site.key).toBeGreaterThan(25);
      expect(
        here.some((lot) => lot.useBy > now && lot.useBy < soon),
        site.key,
      ).toBe(true);
    }
    const past = history.lots.filter((lot) => lot.useBy <= loadedAt(lot.site, today));
    expect(past.length).toBeGreaterThan(0);
    expect(past.length).toBeLessThan(history.lots.length / 15);
  });

  it('orders under way were placed before a cutoff that has passed and reach the minimum', () => {
    for (const order of history.openOrders) {
      const supplier = data.suppliers.find((candidate) => candidate.key === order.supplier);
      if (supplier === undefined) throw new Error(`No supplier ${order.supplier}`);
      const cutoff = DateTime.fromISO(`${order.deliveryDate}T${supplier.cutoff.time}`, {
        zone: supplier.zone,
      }).minus({ days: supplier.cutoff.daysBefore });
      expect(supplier.sites).toContain(order.site);
      expect(supplier.deliveryWeekdays).toContain(weekdayOf(order.deliveryDate));
      expect(order.deliveryDate >= today).toBe(true);
      expect(DateTime.fromISO(order.placedAt) < cutoff).toBe(true);
      expect((cutoff.toUTC().toISO() ?? '') <= loadedAt(order.site, today)).toBe(true);
      const total = order.lines.reduce((sum, line) => {
        const pack = data.packs.find((p) => p.supplier === supplier.key && p.sku === line.sku);
        const price = pack?.prices.filter((p) => p.fromDaysAgo >= 0).at(-1);
        return sum + Number(price?.amount ?? NaN) * line.packs;
      }, 0);
      expect(total).toBeGreaterThanOrEqual(Number(supplier.minimumOrder));
    }
  });

  it('orders of the week before came on delivery days, one each, and reached the minimum', () => {
    const keys = history.pastOrders.map(
      (order) => `${order.site} ${order.supplier} ${order.deliveryDate}`,
    );
    expect(new Set(keys).size).toBe(keys.length);
    for (const site of data.sites) {
      const own = history.pastOrders.filter((order) => order.site === site.key);
      expect(own.length, site.key).toBeGreaterThan(1);
    }
    for (const order of history.pastOrders) {
      const supplier = data.suppliers.find((candidate) => candidate.key === order.supplier);
      expect(supplier?.sites).toContain(order.site);
      expect(supplier?.deliveryWeekdays).toContain(weekdayOf(order.deliveryDate));
      expect(daysBetween(order.deliveryDate, today)).toBeGreaterThan(0);
      expect(daysBetween(order.deliveryDate, today)).toBeLessThanOrEqual(8);
      expect(order.placedAt < `${order.deliveryDate}T23:59`).toBe(true);
      const total = order.lines.reduce((sum, line) => {
        const pack = data.packs.find((p) => p.supplier === order.supplier && p.sku === line.sku);
        return sum + Number(pack?.prices.at(-1)?.amount ?? NaN) * line.packs;
      }, 0);
      expect(total).toBeGreaterThanOrEqual(Number(supplier?.minimumOrder) * 0.9);
    }
  });

  it('waste is small, past and of what was on the card', () => {
    expect(history.wastes.length).toBeGreaterThan(20);
    for (const waste of history.wastes) {
      expect(waste.quantityBase).toBeGreaterThan(0);
      expect(waste.unit).toBe(baseUnitOf(index, waste.itemKind, waste.itemKey));
      expect(waste.at < loadedAt(waste.site, today)).toBe(true);
      expect(daysBetween(waste.at.slice(0, 10), today)).toBeLessThanOrEqual(28);
    }
  });
});

describe('guests come as guests do', () => {
  const [history] = histories;
  if (history === undefined) throw new Error('no history');
  const covers = (site: string, service: string, weekday?: number): number[] =>
    history.actuals
      .filter((row) => row.site === site && row.service === service)
      .filter((row) => weekday === undefined || weekdayOf(row.serviceDate) === weekday)
      .map((row) => row.covers);
  const bookedAt = (site: string, service: string, daysBefore: number): number =>
    mean(
      history.snapshots
        .filter((row) => row.site === site && row.service === service)
        .filter((row) => row.daysBefore === daysBefore && row.serviceDate < history.today)
        .map((row) => row.booked),
    );

  it('Saturday dinner draws more than Tuesday or Wednesday at every site with both', () => {
    for (const site of data.sites) {
      const dinner = site.services.find((service) => service.key === 'dinner');
      if (dinner === undefined) continue;
      const quiet = dinner.weekdays.includes(2) ? 2 : 3;
      expect(mean(covers(site.key, 'dinner', 6))).toBeGreaterThan(
        1.1 * mean(covers(site.key, 'dinner', quiet)),
      );
    }
  });

  it('bookings build up as the date nears; hotels book earlier than the café', () => {
    for (const site of data.sites) {
      for (const { key } of site.services) {
        const curve = [28, 14, 7, 3, 1].map((day) => bookedAt(site.key, key, day));
        expect(
          [...curve].sort((a, b) => a - b),
          `${site.key} ${key}`,
        ).toEqual(curve);
      }
    }
    const early = (site: string, service: string): number =>
      bookedAt(site, service, 7) / mean(covers(site, service));
    expect(early('serafina', 'dinner')).toBeGreaterThan(0.5);
    expect(early('lungolago', 'lunch')).toBeLessThan(0.15);
  });

  it('walk-ins make up what is not booked', () => {
    expect(bookedAt('lungolago', 'tea', 0)).toBeLessThan(0.3 * mean(covers('lungolago', 'tea')));
    expect(bookedAt('isola-corva', 'dinner', 0)).toBeGreaterThan(
      0.85 * mean(covers('isola-corva', 'dinner')),
    );
  });

  it('covers spread more than single guests arriving by chance would', () => {
    // A Poisson count has variance equal to its mean; parties, weather and good days add to it.
    const sameDays = covers('ferry-house', 'dinner', 5);
    const level = mean(sameDays);
    const variance = mean(sameDays.map((value) => (value - level) ** 2));
    expect(variance).toBeGreaterThan(1.3 * level);
  });

  it('the lake is busier in summer than in deep winter', () => {
    const [, summer, , winter] = histories;
    const recent = (seen: DemoHistory | undefined): number =>
      mean(
        (seen?.actuals ?? [])
          .filter(
            (row) => row.site === 'molo' && row.serviceDate >= addDays(seen?.today ?? '', -28),
          )
          .map((row) => row.covers),
      );
    expect(recent(summer)).toBeGreaterThan(1.3 * recent(winter));
  });

  it('a hired room seats its guests and they eat the dish agreed', () => {
    for (const seen of histories) {
      const hire = seen.events.find((e) => e.kind === 'private-hire' && e.date < seen.today);
      if (hire === undefined) throw new Error('no hire in the past');
      const came = seen.actuals.find(
        (row) =>
          row.site === hire.site && row.serviceDate === hire.date && row.service === 'dinner',
      );
      expect(came?.covers).toBeGreaterThanOrEqual((hire.guests ?? 0) - 2);
      expect(came?.covers).toBeLessThanOrEqual(hire.guests ?? 0);
      const sold = seen.sales.filter(
        (row) =>
          row.site === hire.site && row.serviceDate === hire.date && row.service === 'dinner',
      );
      expect(sold.map((row) => [row.dish, row.portions])).toEqual([[hire.dish, came?.covers]]);
    }
  });
});
