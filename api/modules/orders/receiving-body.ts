import type { z } from 'zod';
import { rounded } from './order-body.ts';
import type { Delivery, Order, OrderInvoice } from './orders.ports.ts';
import type { DeliverySchema, InvoiceSchema } from './receiving.schema.ts';

/** Lines are kept by pack; on the wire they go by the order's line ids. */
function lineIdOf(order: Order): (packId: string) => string {
  const ids = new Map(order.lines.map((line) => [line.packId, line.id]));
  return (packId) => ids.get(packId) ?? packId;
}

export function toDeliveryBody(delivery: Delivery, order: Order): z.infer<typeof DeliverySchema> {
  const lineId = lineIdOf(order);
  return {
    id: delivery.id,
    date: delivery.date,
    receivedAt: delivery.receivedAt.toISOString(),
    by: delivery.actorName,
    final: delivery.final,
    note: delivery.note,
    lines: delivery.lines.map((line) => ({
      lineId: lineId(line.lineId),
      packs: line.packs,
      refusedPacks: line.refusedPacks,
      refusedReason: line.refusedReason ?? null,
      useByDate: line.useByDate ?? null,
      temperatureC: line.temperatureC ?? null,
      pricePerPack:
        line.pricePerPack === undefined
          ? null
          : { amount: rounded(line.pricePerPack), currency: order.currency },
      supplierLot: line.supplierLot ?? null,
    })),
    findings: delivery.findings.map((finding) => ({ ...finding, lineId: lineId(finding.lineId) })),
  };
}

export function toInvoiceBody(invoice: OrderInvoice, order: Order): z.infer<typeof InvoiceSchema> {
  const lineId = lineIdOf(order);
  const money = (amount: string) => ({ amount: rounded(amount), currency: invoice.currency });
  return {
    id: invoice.id,
    number: invoice.number,
    date: invoice.date,
    by: invoice.actorName,
    deliveryCharge: money(invoice.deliveryCharge),
    lines: invoice.lines.map((line) => ({
      lineId: lineId(line.lineId),
      packs: line.packs,
      pricePerPack: money(line.pricePerPack),
    })),
    findings: invoice.findings.map((finding) => ({
      lineId: finding.lineId === null ? null : lineId(finding.lineId),
      kind: finding.kind,
      packs: finding.packs,
      creditDue: money(finding.creditDue),
    })),
    creditDue: money(invoice.creditDue),
  };
}
