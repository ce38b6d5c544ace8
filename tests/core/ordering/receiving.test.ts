import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  advanceOrder,
  goodsDue,
  priceHistory,
  receiveDelivery,
  chargedBefore,
  threeWayCheck,
} from '../../../api/core/ordering/index.ts';
import type {
  DeliveryReceipt,
  OrderRecord,
  ReceiptLine,
  Receiving,
} from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const sent: OrderRecord = {
  orderId: 'o1',
  number: 'A-000001',
  supplierId: 'A',
  siteId: 'lake',
  deliveryDate: '2026-03-24',
  cutoffMin: 0,
  currency: 'EUR',
  deliveryCharge: '6',
  state: 'sent',
  version: 3,
  lines: ['butter', 'cream'].map((lineId) => ({
    lineId,
    offerId: `${lineId}-offer`,
    ingredientId: lineId,
    packBase: 1000,
    plannedPacks: 10,
    packs: 10,
    pricePerPack: lineId === 'butter' ? '8.40' : '3.15',
    certainBase: 0,
    handChange: null,
    confirmedPacks: null,
  })),
  receipts: [],
  history: [],
};
const came = (lineId: string, packs: number, changes: Partial<ReceiptLine> = {}): ReceiptLine => ({
  lineId,
  packs,
  refusedPacks: 0,
  ...changes,
});
const receipt = (
  lines: ReceiptLine[],
  changes: Partial<DeliveryReceipt> = {},
): DeliveryReceipt => ({
  receiptId: 'r1',
  by: 'ben',
  atMin: 1,
  date: '2026-03-24',
  lines,
  final: false,
  ...changes,
});
const receive = (order: OrderRecord, given: DeliveryReceipt, changes: Partial<Receiving> = {}) =>
  receiveDelivery(order, {
    by: 'ben',
    atMin: 1,
    version: order.version,
    receipt: given,
    ...changes,
  });

describe('receiving', () => {
  it('is in part until every line is accounted for', () => {
    const first = unwrap(receive(sent, receipt([came('butter', 10), came('cream', 4)]))).order;
    expect(first).toMatchObject({ state: 'part-delivered', version: 4 });
    expect(goodsDue([first], () => 5)).toEqual([
      {
        id: 'o1:cream',
        siteId: 'lake',
        ingredientId: 'cream',
        quantityBase: 6000,
        usableFromDate: '2026-03-24',
        useByDate: '2026-03-29',
      },
    ]);
    const rest = receipt([came('cream', 5, { refusedPacks: 1, refusedReason: 'torn' })], {
      receiptId: 'r2',
    });
    const second = unwrap(receive(first, rest)).order;
    expect(second.state).toBe('received');
    expect(goodsDue([second], () => null)).toEqual([]);
  });

  it('is done when the supplier brings nothing more, and then the order can be closed', () => {
    const done = unwrap(receive(sent, receipt([came('butter', 2)], { final: true }))).order;
    expect(done.state).toBe('received');
    const closed = advanceOrder(done, {
      kind: 'close',
      by: 'ana',
      atMin: 2,
      version: done.version,
    });
    expect(unwrap(closed).state).toBe('closed');
  });

  it('takes in more than ordered only on purpose', () => {
    const tooMany = receipt([came('butter', 11)]);
    expect(receive(sent, tooMany)).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range', path: ['receipt', 'lines', 0, 'packs'] },
    });
    const onPurpose = unwrap(receive(sent, tooMany, { takeOver: ['butter'] }));
    expect(onPurpose.findings).toMatchObject([{ lineId: 'butter', kind: 'more-than-ordered' }]);
    const inParts = unwrap(receive(sent, receipt([came('butter', 6)]))).order;
    const over = receipt([came('butter', 5)], { receiptId: 'r2' });
    expect(receive(inParts, over)).toMatchObject({ ok: false });
  });

  it('never takes warm or outdated goods in silently', () => {
    const rules = [{ lineId: 'cream', limitC: 5, shelfLifeDays: 10 }];
    const at = (temperatureC: number, useByDate = '2026-04-10') =>
      receipt([came('cream', 1, { temperatureC, useByDate })]);
    expect(unwrap(receive(sent, at(5), { rules })).findings).toEqual([]);
    expect(receive(sent, at(5.1), { rules })).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range', path: ['receipt', 'lines', 0, 'temperatureC'] },
    });
    const despite = unwrap(receive(sent, at(7), { rules, takeDespite: ['cream'] }));
    expect(despite.findings.map((f) => f.kind)).toEqual(['too-warm']);
    expect(despite.notice).toContain('rules');
    expect(receive(sent, at(4, '2026-03-23'), { rules })).toMatchObject({
      ok: false,
      error: { path: ['receipt', 'lines', 0, 'useByDate'] },
    });
    expect(unwrap(receive(sent, at(4, '2026-03-30'), { rules })).findings).toMatchObject([
      { kind: 'short-dated' },
    ]);
    const unmeasured = unwrap(receive(sent, receipt([came('cream', 1)]), { rules }));
    expect(unmeasured.findings).toMatchObject([{ kind: 'no-temperature' }]);
    const sentBack = receipt([came('cream', 0, { refusedPacks: 10, temperatureC: 12 })]);
    expect(unwrap(receive(sent, sentBack, { rules })).findings).toEqual([]);
  });

  it('refuses strangers, repeats, odd numbers and states', () => {
    expect(receive(sent, receipt([came('salt', 1)]))).toMatchObject({ ok: false });
    for (const bad of [
      came('butter', 1.5),
      came('butter', -1),
      came('butter', 1, { temperatureC: NaN }),
      came('butter', 1, { pricePerPack: '8,4' }),
      came('butter', 1, { useByDate: '2026-02-30' }),
    ]) {
      expect(receive(sent, receipt([bad])).ok).toBe(false);
    }
    const once = unwrap(receive(sent, receipt([came('butter', 1)]))).order;
    expect(receive(once, receipt([came('butter', 1)]))).toMatchObject({ ok: false });
    expect(receive({ ...sent, state: 'proposed' }, receipt([]))).toMatchObject({
      ok: false,
      error: { kind: 'wrong-state' },
    });
    expect(receive(sent, receipt([]), { version: 1 })).toMatchObject({
      ok: false,
      error: { kind: 'stale-version' },
    });
  });

  it('keeps the history of paid prices, only where they changed', () => {
    const priced = (id: string, date: string, pricePerPack: string): OrderRecord => ({
      ...sent,
      receipts: [receipt([came('butter', 1, { pricePerPack })], { receiptId: id, date })],
    });
    const history = priceHistory([
      priced('b', '2026-03-10', '8.40'),
      priced('a', '2026-03-03', '8'),
      priced('c', '2026-03-17', '8.4'),
    ]);
    expect(history).toEqual([
      { offerId: 'butter-offer', date: '2026-03-03', pricePerPack: '8', changeFraction: null },
      { offerId: 'butter-offer', date: '2026-03-10', pricePerPack: '8.40', changeFraction: 0.05 },
    ]);
  });
});

describe('order, delivery and invoice', () => {
  const delivered = unwrap(
    receive(
      sent,
      receipt([came('butter', 8, { refusedPacks: 1 }), came('cream', 10)], { final: true }),
    ),
  ).order;
  const invoice = {
    currency: 'EUR',
    deliveryCharge: '9',
    lines: [
      { lineId: 'butter', packs: 10, pricePerPack: '8.90' },
      { lineId: 'cream', packs: 10, pricePerPack: '3.15' },
      { lineId: 'vanilla', packs: 1, pricePerPack: '12' },
    ],
  };

  it('give the credit due, each finding with its part', () => {
    const check = unwrap(threeWayCheck(delivered, invoice));
    expect(check.findings.map((f) => [f.lineId, f.kind, f.packs, f.creditDue])).toEqual([
      ['vanilla', 'not-ordered', 1, '12'],
      ['butter', 'short-delivered', 1, '0'],
      ['butter', 'sent-back', 1, '0'],
      ['butter', 'invoiced-not-received', 2, '17.8'],
      ['butter', 'price-above-order', 8, '4'],
      [null, 'charge-above-order', 0, '3'],
    ]);
    expect(check.creditDue).toEqual({ amount: '36.80', currency: 'EUR' });
  });

  it('owe an invoice only what those before it left, so that one sent twice is all due back', () => {
    const part = (packs: number, deliveryCharge: string) => ({
      currency: 'EUR',
      deliveryCharge,
      lines: [{ lineId: 'butter', packs, pricePerPack: '8.40' }],
    });
    type Check = Extract<ReturnType<typeof threeWayCheck>, { ok: true }>['value'];
    const check = (
      invoice: ReturnType<typeof part>,
      before: readonly ReturnType<typeof part>[],
    ): Check =>
      unwrap(
        threeWayCheck(
          delivered,
          invoice,
          chargedBefore(before.map((one, i) => ({ ...one, ...check(one, before.slice(0, i)) }))),
        ),
      );
    const [first, rest] = [part(5, '6'), part(3, '0')];
    expect(check(rest, [first]).creditDue.amount).toBe('0.00');
    expect(check(rest, [first]).findings.map((f) => f.kind)).not.toContain('invoiced-before');
    const twice = check(first, [first, rest]);
    expect(twice.creditDue.amount).toBe('48.00');
    expect(twice.findings).toContainEqual({
      lineId: 'butter',
      kind: 'invoiced-before',
      packs: 5,
      creditDue: '42',
    });
    // What was charged before it came, and credited, is owed once it comes and is charged anew.
    expect(check(part(3, '0'), [part(10, '6'), part(3, '0')]).creditDue.amount).toBe('25.20');
  });

  it('owe nothing when they agree, and never a negative credit', () => {
    const fair = {
      currency: 'EUR',
      deliveryCharge: '6',
      lines: [
        { lineId: 'butter', packs: 8, pricePerPack: '8.4' },
        { lineId: 'cream', packs: 9, pricePerPack: '3.00' },
      ],
    };
    const check = unwrap(threeWayCheck(delivered, fair));
    expect(check.creditDue.amount).toBe('0.00');
    expect(check.findings.map((f) => f.kind)).toEqual([
      'short-delivered',
      'sent-back',
      'not-invoiced',
      'price-below-order',
    ]);
  });

  it('credit exactly what is charged above what is owed', () => {
    const count = fc.integer({ min: 0, max: 15 });
    const price = fc.integer({ min: 1, max: 2000 }).map((n) => (n / 100).toFixed(2));
    fc.assert(
      fc.property(count, price, count, (packs, pricePerPack, taken) => {
        const order = unwrap(
          receive(sent, receipt([came('butter', taken)], { final: true }), {
            takeOver: ['butter'],
          }),
        ).order;
        const lines = [{ lineId: 'butter', packs, pricePerPack }];
        const check = unwrap(threeWayCheck(order, { currency: 'EUR', deliveryCharge: '6', lines }));
        const owed = Math.min(packs, taken) * Math.min(Number(pricePerPack), 8.4);
        expect(Number(check.creditDue.amount)).toBeCloseTo(packs * Number(pricePerPack) - owed, 6);
      }),
    );
  });

  it('refuse other money, odd lines and orders of which nothing came', () => {
    expect(threeWayCheck(delivered, { ...invoice, currency: 'CHF' })).toMatchObject({
      ok: false,
      error: { kind: 'currency-mismatch' },
    });
    for (const line of [
      { lineId: 'butter', packs: -1, pricePerPack: '1' },
      { lineId: 'butter', packs: 1, pricePerPack: '-1' },
      { lineId: 'butter', packs: 1, pricePerPack: 'x' },
    ]) {
      expect(threeWayCheck(delivered, { ...invoice, lines: [line] }).ok).toBe(false);
    }
    expect(threeWayCheck(delivered, { ...invoice, deliveryCharge: '' }).ok).toBe(false);
    expect(threeWayCheck(sent, invoice)).toMatchObject({
      ok: false,
      error: { kind: 'wrong-state' },
    });
  });
});
