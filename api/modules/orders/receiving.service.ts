import { keepsDays } from '../supply-terms/index.ts';
import { endOfServiceDate } from './end-of-date.ts';
import { addDays, serviceDateOf } from '../../core/calendar/index.ts';
import {
  chargedBefore,
  receiveDelivery,
  receivingLimitC,
  RECEIVING_NOTICE,
  threeWayCheck,
} from '../../core/ordering/index.ts';
import type { ReceiptLine, ReceivingFinding, ReceivingRule } from '../../core/ordering/index.ts';
import { err, type CoreError } from '../../core/shared/index.ts';
import { invalid, orRefuse, Refusal, type Actor } from '../platform/index.ts';

import { findOrder, orderToChange, saveOrder } from './order-access.ts';
import { loadOrderBook, type OrderBook } from './order-book.ts';
import { afterStep, toRecord } from './order-record.ts';
import type { Delivery, Order, OrderInvoice, OrdersWork } from './orders.ports.ts';
import type { OrdersDependencies } from './orders.service.ts';

/** A delivery as it is put in; lines are named by the order's line ids. */
export interface DeliveryInput {
  readonly date: string | null;
  readonly lines: readonly ReceiptLine[];
  readonly final: boolean;
  readonly note: string | null;
  /** Lines of which more than ordered is taken in on purpose. */
  readonly takeOver: readonly string[];
  /** Lines taken in although too warm or out of date by the label. */
  readonly takeDespite: readonly string[];
}

export interface InvoiceInput {
  readonly number: string;
  readonly date: string;
  readonly currency: string;
  readonly deliveryCharge: string;
  readonly lines: readonly { lineId: string; packs: number; pricePerPack: string }[];
}

/** What a delivery did: the order now, the delivery, and the lots it put on the shelf. */
export interface Received {
  readonly order: Order;
  readonly delivery: Delivery;
  readonly lotIds: readonly string[];
  readonly notice: string;
}

/** Goods at the door and the invoices that follow. */
export class ReceivingService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  /**
   * Puts in a delivery: checks it against the order, and makes dated stock lots of what is taken in.
   * @throws Refusal with the line for more than ordered, goods too warm or past their date
   */
  async receive(actor: Actor, id: string, rev: number, input: DeliveryInput): Promise<Received> {
    const { clock, newId, work } = this.#deps;
    const now = clock.now();
    const atMin = Math.floor(now.getTime() / 60_000);
    return work.run(async (inside) => {
      const { order, deliveries } = await orderToChange(inside, actor, id, rev);
      const book = await loadOrderBook(inside);
      const site = book.sites.get(order.siteId);
      const today = orRefuse(serviceDateOf(atMin, site?.zone ?? 'UTC'));
      const date = input.date ?? today;
      if (date > today) throw invalid('/date', 'A delivery cannot have come in the future.');
      if (input.lines.every((line) => line.packs + line.refusedPacks === 0) && !input.final) {
        throw invalid('/lines', 'Nothing came in. Write what came, or say that nothing more will.');
      }
      const lines = namedByPack(order, input.lines);
      const packIds = (lineIds: readonly string[]) =>
        lineIds.map((lineId) => order.lines.find((line) => line.id === lineId)?.packId ?? lineId);
      const deliveryId = newId('dlv');
      const received = receiveDelivery(toRecord(order, deliveries), {
        by: actor.name,
        atMin,
        version: rev,
        receipt: {
          receiptId: deliveryId,
          by: actor.name,
          atMin,
          date,
          lines,
          final: input.final,
        },
        rules: rulesOf(order, book),
        takeOver: packIds(input.takeOver),
        takeDespite: packIds(input.takeDespite),
      });
      const step = orRefuse(received.ok ? received : err(asSent(received.error)));
      const undated = undatedFindings(order, lines, book);
      const delivery: Delivery = {
        id: deliveryId,
        orderId: id,
        siteId: order.siteId,
        date,
        receivedAt: now,
        actorId: actor.id,
        actorName: actor.name,
        lines,
        findings: [...step.findings, ...undated],
        final: input.final,
        note: input.note,
      };
      await inside.orders.insertDelivery(delivery);
      const counted = withReceived(afterStep(order, step.order, now), lines);
      const saved = await saveOrder(inside, counted, order.rev);
      const lotIds = await this.#putOnShelf(inside, actor, { order, delivery, book, now });
      await inside.audit.append({
        actor,
        action: 'receive',
        subjectKind: 'order',
        subjectId: id,
        siteId: order.siteId,
        detail: { deliveryId, lots: lotIds.length, findings: delivery.findings.map((f) => f.kind) },
      });
      return { order: saved, delivery, lotIds, notice: RECEIVING_NOTICE };
    });
  }

  async #putOnShelf(
    work: OrdersWork,
    actor: Actor,
    given: {
      readonly order: Order;
      readonly delivery: Delivery;
      readonly book: OrderBook;
      readonly now: Date;
    },
  ): Promise<readonly string[]> {
    const { order, delivery, book, now } = given;
    const { newId } = this.#deps;
    const zone = book.sites.get(order.siteId)?.zone ?? 'UTC';
    const entries = delivery.lines.flatMap((receipt) => {
      const line = order.lines.find((own) => own.packId === receipt.lineId);
      if (!line || receipt.packs === 0) return [];
      const quantity = receipt.packs * line.packQuantity;
      return [
        {
          lot: {
            id: newId('lot'),
            siteId: order.siteId,
            itemKind: 'ingredient' as const,
            itemId: line.ingredientId,
            quantity,
            madeAt: now,
            useBy: endOfServiceDate(useByOf(receipt, line.packId, delivery.date, book), zone),
            sourceKind: 'received',
            sourceId: delivery.id,
            supplierLot: receipt.supplierLot ?? null,
            note: null,
          },
          movement: {
            id: newId('mov'),
            kind: 'received',
            quantity,
            at: now,
            actorId: actor.id,
            reason: null,
          },
        },
      ];
    });
    await work.stock.lockSite(order.siteId);
    await work.stock.insertLots(entries);
    return entries.map(({ lot }) => lot.id);
  }

  async deliveries(actor: Actor, id: string): Promise<readonly Delivery[]> {
    await findOrder(this.#deps.work.read, actor, id);
    return this.#deps.work.read.orders.deliveriesOf([id]);
  }

  async invoices(actor: Actor, id: string): Promise<readonly OrderInvoice[]> {
    await findOrder(this.#deps.work.read, actor, id);
    return this.#deps.work.read.orders.invoicesOf(id);
  }

  /**
   * Checks a supplier's invoice against order and deliveries and keeps it with what is due back.
   * @throws Refusal `wrong-state` before anything came, `conflict` for a number put in already
   */
  async invoice(actor: Actor, id: string, input: InvoiceInput): Promise<OrderInvoice> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      const order = await findOrder(work, actor, id);
      const earlier = await work.orders.invoicesOf(id);
      if (earlier.some((known) => known.number === input.number)) {
        throw new Refusal('conflict', `Invoice ${input.number} has been put in already.`, {
          issues: [{ pointer: '/number', message: 'This invoice has been put in already.' }],
        });
      }
      const deliveries = await work.orders.deliveriesOf([id]);
      const lines = input.lines.map((line) => ({
        ...line,
        lineId: order.lines.find((own) => own.id === line.lineId)?.packId ?? line.lineId,
      }));
      const check = orRefuse(
        threeWayCheck(
          toRecord(order, deliveries),
          { currency: input.currency, lines, deliveryCharge: input.deliveryCharge },
          chargedBefore(earlier),
        ),
      );
      const invoice: OrderInvoice = {
        ...input,
        id: this.#deps.newId('inv'),
        orderId: id,
        lines,
        findings: check.findings,
        creditDue: check.creditDue.amount,
        enteredAt: now,
        actorName: actor.name,
      };
      await work.orders.insertInvoice(invoice);
      await work.audit.append({
        actor,
        action: 'invoice',
        subjectKind: 'order',
        subjectId: id,
        siteId: order.siteId,
        detail: { number: input.number, creditDue: invoice.creditDue, currency: input.currency },
      });
      return invoice;
    });
  }
}

/** A delivery as it is sent has its lines at the top, not in a receipt of its own. */
const asSent = (error: CoreError): CoreError =>
  error.path?.[0] === 'receipt' ? { ...error, path: error.path.slice(1) } : error;

/** Lines of the order are known to core/ordering by their pack. @throws Refusal for a line twice or unknown */
function namedByPack(order: Order, lines: readonly ReceiptLine[]): readonly ReceiptLine[] {
  const seen = new Set<string>();
  return lines.map((line, i) => {
    const own = order.lines.find((known) => known.id === line.lineId);
    if (!own) throw invalid(`/lines/${i}/lineId`, 'The order has no such line.');
    if (seen.has(line.lineId)) throw invalid(`/lines/${i}/lineId`, 'This line is there twice.');
    seen.add(line.lineId);
    return { ...line, lineId: own.packId };
  });
}

function rulesOf(order: Order, book: OrderBook): readonly ReceivingRule[] {
  const ruleSet = book.sites.get(order.siteId)?.ruleSet ?? 'eu';
  return order.lines.map((line) => {
    const limitC = receivingLimitC(
      ruleSet,
      book.ingredients.get(line.ingredientId)?.storage ?? 'chilled',
    );
    const shelfLifeDays = book.packs.get(line.packId)?.shelfLifeDays ?? null;
    return {
      lineId: line.packId,
      ...(limitC === null ? {} : { limitC }),
      ...(shelfLifeDays === null ? {} : { shelfLifeDays }),
    };
  });
}

/** The use-by on the goods, else the delivery date and the days the goods keep. */
function useByOf(receipt: ReceiptLine, packId: string, date: string, book: OrderBook): string {
  const pack = book.packs.get(packId);
  const ingredient = book.ingredients.get(pack?.ingredientId ?? '');
  return receipt.useByDate ?? addDays(date, keepsDays(pack, ingredient));
}

/** Goods without a use-by whose days in date nobody states: somebody must look at the label. */
function undatedFindings(
  order: Order,
  lines: readonly ReceiptLine[],
  book: OrderBook,
): readonly ReceivingFinding[] {
  return lines.flatMap((receipt): ReceivingFinding[] => {
    if (receipt.packs === 0 || receipt.useByDate !== undefined) return [];
    const line = order.lines.find((own) => own.packId === receipt.lineId);
    const pack = book.packs.get(receipt.lineId);
    const ingredient = book.ingredients.get(line?.ingredientId ?? '');
    if ((pack?.shelfLifeDays ?? ingredient?.shelfLifeDays ?? null) !== null) return [];
    const days = keepsDays(pack, ingredient);
    const message = `No use-by was given and none is known: counted as ${days} days. Look at the label.`;
    return [{ lineId: receipt.lineId, kind: 'no-use-by', message }];
  });
}

function withReceived(order: Order, lines: readonly ReceiptLine[]): Order {
  const got = new Map(lines.map((line) => [line.lineId, line]));
  return {
    ...order,
    lines: order.lines.map((line) => ({
      ...line,
      receivedPacks: line.receivedPacks + (got.get(line.packId)?.packs ?? 0),
      refusedPacks: line.refusedPacks + (got.get(line.packId)?.refusedPacks ?? 0),
    })),
  };
}
