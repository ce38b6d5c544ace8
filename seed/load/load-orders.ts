import { Decimal } from '../../api/core/money/index.ts';
import type { ReceiptLine } from '../../api/core/ordering/index.ts';
import type { Db } from '../../api/persistence/database.ts';
import { fromServiceDate, toJson } from '../../api/persistence/row-values.ts';
import type { DemoData, DemoHistory, OpenOrder } from '../generator/types.ts';
import { ingredientId, packId, siteId, supplierId } from './demo-keys.ts';

/** How the states of an order follow one another, as far as the demo's orders have come. */
const SENT = ['proposed', 'approved', 'sent'] as const;
const DONE = [...SENT, 'received', 'closed'] as const;
/** When a delivery of the past is written down, on its day. */
const RECEIVED_AT = 'T07:30:00Z';

/** Orders that came last week, and those that are with the suppliers on the morning of loading. */
export async function loadOrders(db: Db, data: DemoData, history: DemoHistory): Promise<void> {
  const numbers = new Map<string, number>();
  for (const [orders, states] of [
    [history.pastOrders, DONE],
    [history.openOrders, SENT],
  ] as const) {
    for (const order of orders) {
      const number = (numbers.get(order.supplier) ?? 0) + 1;
      numbers.set(order.supplier, number);
      await loadOrder(db, data, order, { number, states });
    }
  }
}

async function loadOrder(
  db: Db,
  data: DemoData,
  order: OpenOrder,
  { number, states }: { readonly number: number; readonly states: readonly string[] },
): Promise<void> {
  const isDone = states === DONE;
  const supplier = data.suppliers.find(({ key }) => key === order.supplier);
  const id = `ord_${order.site}-${order.supplier}-${order.deliveryDate}`;
  const lines = order.lines.map((line, i) => {
    const pack = data.packs.find(
      ({ supplier: of, sku }) => of === order.supplier && sku === line.sku,
    );
    const unitPrice = pack?.prices.at(-1)?.amount;
    if (!pack || unitPrice === undefined) throw new Error(`${line.sku} has no pack or price.`);
    return {
      id: `ol_${id.slice(4)}-${i + 1}`,
      packId: packId(order.supplier, line.sku),
      ingredientId: ingredientId(pack.ingredient),
      packQuantity: pack.quantityBase,
      proposedPacks: line.packs,
      packs: line.packs,
      unitPrice,
      needQuantity: line.packs * pack.quantityBase,
      certainQuantity: 0,
      surplusQuantity: 0,
      receivedPacks: isDone ? line.packs : 0,
    };
  });
  const total = lines.reduce(
    (sum, line) => sum.plus(new Decimal(line.unitPrice).times(line.packs)),
    new Decimal(0),
  );
  const placedAt = new Date(order.placedAt);
  const receivedAt = new Date(`${order.deliveryDate}${RECEIVED_AT}`);
  const came = lines.map((line): ReceiptLine => ({
    lineId: line.id,
    packs: line.packs,
    refusedPacks: 0,
  }));
  await db.order.create({
    data: {
      id,
      number,
      supplierId: supplierId(order.supplier),
      siteId: siteId(order.site),
      deliveryDate: fromServiceDate(order.deliveryDate),
      cutoffAt: placedAt,
      status: states.at(-1) ?? 'sent',
      currency: supplier?.currency ?? 'EUR',
      total: total.toFixed(4),
      deliveryCharge: supplier?.deliveryCharge ?? '0',
      history: toJson(
        states.map((state, i) => ({
          state,
          by: 'demo',
          at: (i < SENT.length ? placedAt : receivedAt).toISOString(),
          note: null,
        })),
      ),
      notes: [],
      approvedBy: 'demo',
      approvedAt: placedAt,
      sentAt: placedAt,
      lines: { create: lines },
      ...(isDone
        ? {
            deliveries: {
              create: {
                id: `dlv_${id.slice(4)}`,
                siteId: siteId(order.site),
                date: fromServiceDate(order.deliveryDate),
                receivedAt,
                actorId: 'demo',
                actorName: 'demo',
                lines: toJson(came),
              },
            },
          }
        : {}),
    },
  });
}
