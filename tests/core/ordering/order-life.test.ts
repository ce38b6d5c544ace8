import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  advanceOrder,
  changeLine,
  checkNumberRun,
  nextOrderNumber,
  orderValue,
  proposeOrder,
  refreshOrder,
  requireNoOpenOrder,
} from '../../../api/core/ordering/index.ts';
import type {
  OrderEvent,
  OrderRecord,
  PlannedLine,
  PlannedOrder,
} from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { offer } from './problem-builder.ts';

const line = (offerId: string, packs: number, pricePerPack = '10'): PlannedLine => ({
  offerId,
  ingredientId: `${offerId}-ingredient`,
  packs,
  pricePerPack,
  cost: String(packs * Number(pricePerPack)),
  quantityBase: packs * 500,
  uses: [],
  usedBase: packs * 500,
  certainBase: 100,
  surplusBase: 0,
  usedLaterBase: 0,
  expectedWasteBase: 0,
  expectedWasteCost: '0',
  surplusFate: 'none',
  packsForMinimum: 0,
});
const planned = (...lines: PlannedLine[]): PlannedOrder => ({
  supplierId: 'A',
  siteId: 'lake',
  deliveryDate: '2026-03-24',
  cutoffMin: 1000,
  lines,
  goodsCost: '0',
  deliveryCharge: '6',
  total: '0',
});
const propose = (...lines: PlannedLine[]): OrderRecord =>
  proposeOrder(planned(...lines), { orderId: 'o1', currency: 'EUR', by: 'plan', atMin: 0 });
const act = (order: OrderRecord, atMin = 900) => ({ by: 'ana', atMin, version: order.version });
const approve = (order: OrderRecord) =>
  unwrap(advanceOrder(order, { kind: 'approve', limit: null, ...act(order) }));
const send = (order: OrderRecord) =>
  unwrap(advanceOrder(order, { kind: 'send', number: 'A-000001', ...act(order) }));
const eur = (amount: string) => ({ amount, currency: 'EUR' });

describe('life of an order', () => {
  it('goes from proposed through approved, sent and confirmed, each step in its history', () => {
    const sent = send(approve(propose(line('b', 4))));
    const confirmed = unwrap(
      advanceOrder(sent, { kind: 'confirm', packs: { b: 3 }, ...act(sent), note: 'one short' }),
    );
    expect(confirmed).toMatchObject({ state: 'confirmed', version: 4, number: 'A-000001' });
    expect(confirmed.lines[0]).toMatchObject({ packs: 4, confirmedPacks: 3 });
    expect(confirmed.history.map((h) => h.state)).toEqual([
      'proposed',
      'approved',
      'sent',
      'confirmed',
    ]);
    expect(confirmed.history.at(-1)?.note).toBe('one short');
  });

  it('refuses every step that its state does not allow and every stale version', () => {
    const proposed = propose(line('b', 4));
    const kinds: OrderEvent['kind'][] = ['send', 'confirm', 'close'];
    for (const kind of kinds) {
      const event = { kind, number: 'A-1', limit: null, ...act(proposed) } as OrderEvent;
      expect(advanceOrder(proposed, event)).toMatchObject({
        ok: false,
        error: { kind: 'wrong-state' },
      });
    }
    const stale = { kind: 'approve', limit: null, ...act(proposed), version: 0 } as const;
    expect(advanceOrder(proposed, stale)).toMatchObject({
      ok: false,
      error: { kind: 'stale-version', detail: { expected: 0, actual: 1 } },
    });
    const sent = send(approve(proposed));
    const twice = { kind: 'send', number: 'A-2', ...act(sent) } as const;
    expect(advanceOrder(sent, twice)).toMatchObject({ ok: false, error: { kind: 'wrong-state' } });
  });

  it('approves up to the limit of the person, in the money of the order', () => {
    const order = propose(line('b', 4));
    expect(orderValue(order)).toEqual({ goods: '40', total: '46' });
    const asked = (limit: { amount: string; currency: string }) =>
      advanceOrder(order, { kind: 'approve', limit, ...act(order) });
    expect(asked(eur('46')).ok).toBe(true);
    expect(asked(eur('45.99'))).toMatchObject({ ok: false, error: { kind: 'over-limit' } });
    expect(asked({ amount: '999', currency: 'CHF' })).toMatchObject({
      ok: false,
      error: { kind: 'currency-mismatch' },
    });
  });

  it('sends nothing empty, without number, or after the cutoff unless the supplier agreed', () => {
    const approved = approve(propose(line('b', 4)));
    const sending = (changes: object) =>
      advanceOrder(approved, {
        kind: 'send',
        number: 'A-1',
        ...act(approved),
        ...changes,
      });
    expect(sending({ atMin: 1000 }).ok).toBe(true);
    expect(sending({ atMin: 1001 })).toMatchObject({
      ok: false,
      error: { kind: 'infeasible', detail: { reason: 'past-cutoff' } },
    });
    expect(sending({ atMin: 1001, agreedLate: true }).ok).toBe(true);
    expect(sending({ number: ' ' })).toMatchObject({ ok: false, error: { kind: 'missing-data' } });
    const empty = approve(
      unwrap(
        changeLine(propose(line('b', 4)), {
          offer: offer('b', 'b-ingredient', 500, '10'),
          packs: 0,
          by: 'ana',
          atMin: 1,
          version: 1,
        }),
      ),
    );
    expect(advanceOrder(empty, { kind: 'send', number: 'A-1', ...act(empty) })).toMatchObject({
      ok: false,
      error: { kind: 'missing-data' },
    });
  });

  it('cancels until goods have come, and refuses odd confirmations', () => {
    const sent = send(approve(propose(line('b', 4))));
    expect(unwrap(advanceOrder(sent, { kind: 'cancel', ...act(sent) })).state).toBe('cancelled');
    for (const packs of [{ b: -1 }, { b: 0.5 }, { x: 1 }]) {
      expect(advanceOrder(sent, { kind: 'confirm', packs, ...act(sent) })).toMatchObject({
        ok: false,
        error: { kind: 'out-of-range' },
      });
    }
  });

  it('never changes the order it is given and raises the version by one each time', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('approve', 'send', 'confirm', 'cancel', 'close'), {
          maxLength: 8,
        }),
        (kinds) => {
          let order = propose(line('b', 4));
          for (const kind of kinds) {
            const before = structuredClone(order);
            const event = { kind, number: 'A-1', limit: null, ...act(order) } as OrderEvent;
            const next = advanceOrder(order, event);
            expect(order).toEqual(before);
            if (!next.ok) continue;
            expect(next.value.version).toBe(order.version + 1);
            expect(next.value.history).toHaveLength(order.history.length + 1);
            order = next.value;
          }
        },
      ),
    );
  });
});

describe('changes by hand', () => {
  const priced = offer('b', 'b-ingredient', 500, '10', {
    minPacks: 2,
    priceBreaks: [{ minPacks: 6, price: '9' }],
  });
  const change = (order: OrderRecord, packs: number, given = priced) =>
    changeLine(order, { offer: given, packs, ...act(order), reason: 'party' });

  it('follow the price breaks and send an approved order back for approval', () => {
    const changed = unwrap(change(approve(propose(line('b', 4))), 6));
    expect(changed.state).toBe('proposed');
    expect(changed.lines[0]).toMatchObject({
      packs: 6,
      plannedPacks: 4,
      pricePerPack: '9',
      handChange: { by: 'ana', packs: 6, reason: 'party' },
    });
  });

  it('add a line the plan did not have and keep a line taken off in sight', () => {
    const added = unwrap(change(propose(line('b', 4)), 3, offer('c', 'cream', 1000, '4')));
    expect(added.lines[1]).toMatchObject({ offerId: 'c', plannedPacks: 0, packs: 3 });
    const off = unwrap(change(added, 0));
    expect(off.lines[0]).toMatchObject({ packs: 0, plannedPacks: 4 });
    expect(orderValue(off).goods).toBe('12');
  });

  it('are refused outside what the supplier sells, in other money, and once sent', () => {
    const order = propose(line('b', 4));
    for (const packs of [1, -2, 2.5]) {
      expect(change(order, packs)).toMatchObject({ ok: false, error: { kind: 'out-of-range' } });
    }
    const other = offer('z', 'zest', 1, '1', { supplierId: 'Z' });
    expect(change(order, 2, other)).toMatchObject({ ok: false, error: { kind: 'out-of-range' } });
    const foreign = offer('b', 'b-ingredient', 500, '10', { currency: 'CHF' });
    expect(change(order, 2, foreign)).toMatchObject({
      ok: false,
      error: { kind: 'currency-mismatch' },
    });
    expect(change(send(approve(order)), 6)).toMatchObject({
      ok: false,
      error: { kind: 'wrong-state' },
    });
  });
});

describe('a refreshed plan', () => {
  it('keeps lines changed by hand, tells the difference and moves the others', () => {
    const start = propose(line('b', 4), line('c', 2), line('d', 1));
    const byHand = unwrap(
      changeLine(start, { offer: offer('b', 'b-ingredient', 500, '10'), packs: 9, ...act(start) }),
    );
    const { order, differences } = unwrap(
      refreshOrder(byHand, planned(line('b', 5), line('c', 3), line('e', 1)), act(byHand)),
    );
    expect(order.lines.map((l) => [l.offerId, l.packs, l.plannedPacks])).toEqual([
      ['b', 9, 5],
      ['c', 3, 3],
      ['e', 1, 1],
    ]);
    expect(differences.map((d) => [d.lineId, d.what, d.packsBefore, d.packsNow])).toEqual([
      ['b', 'kept-by-hand', 9, 9],
      ['c', 'changed', 2, 3],
      ['d', 'dropped', 1, 0],
      ['e', 'new', 0, 1],
    ]);
  });

  it('leaves an approved order approved only when nothing moves', () => {
    const approved = approve(propose(line('b', 4)));
    const same = unwrap(refreshOrder(approved, planned(line('b', 4)), act(approved)));
    expect(same.order.state).toBe('approved');
    expect(same.differences).toEqual([]);
    const moved = unwrap(refreshOrder(approved, null, act(approved)));
    expect(moved.order).toMatchObject({ state: 'proposed', lines: [] });
    const sent = send(approved);
    expect(refreshOrder(sent, null, act(sent))).toMatchObject({
      ok: false,
      error: { kind: 'wrong-state' },
    });
  });
});

describe('order numbers and open orders', () => {
  it('run without gaps for each supplier', () => {
    expect(unwrap(nextOrderNumber('DB', 16))).toEqual({ sequence: 17, number: 'DB-000017' });
    expect(unwrap(nextOrderNumber('DB', 999_999)).number).toBe('DB-1000000');
    for (const [code, last] of [
      ['d', 1],
      ['DB', -1],
      ['DB', 1.5],
    ] as const) {
      expect(nextOrderNumber(code, last).ok).toBe(false);
    }
    expect(checkNumberRun([1, 2, 4, 4, 6])).toEqual({ missing: [3, 5], repeated: [4] });
    expect(checkNumberRun([])).toEqual({ missing: [], repeated: [] });
  });

  it('are one to a supplier, site and delivery', () => {
    const order = propose(line('b', 4));
    const key = { supplierId: 'A', siteId: 'lake', deliveryDate: '2026-03-24' };
    expect(requireNoOpenOrder([order], key)).toMatchObject({
      ok: false,
      error: { kind: 'wrong-state', detail: { orderId: 'o1' } },
    });
    expect(requireNoOpenOrder([order], { ...key, deliveryDate: '2026-03-27' }).ok).toBe(true);
    const cancelled = unwrap(advanceOrder(order, { kind: 'cancel', ...act(order) }));
    expect(requireNoOpenOrder([cancelled], key).ok).toBe(true);
  });
});
