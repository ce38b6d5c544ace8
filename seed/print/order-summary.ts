import type { RunningServer } from '../../api/start-server.ts';
import type { DemoData } from '../generator/types.ts';
import { table } from './table.ts';

/** The open orders of the group with their delivery charges, by delivery day and supplier. */
export async function orderSummary(
  server: Pick<RunningServer, 'database'>,
  data: DemoData,
): Promise<string> {
  const { prisma } = server.database;
  const orders = await prisma.order.findMany({
    where: { status: { in: ['proposed', 'approved', 'sent'] } },
    include: { lines: true },
    orderBy: [{ deliveryDate: 'asc' }, { supplierId: 'asc' }, { siteId: 'asc' }],
  });
  const suppliers = new Map(
    (await prisma.supplier.findMany()).map((supplier) => [supplier.id, supplier.name]),
  );
  const siteName = new Map((await prisma.site.findMany()).map((site) => [site.id, site.name]));
  const zoneOf = new Map((await prisma.supplier.findMany()).map((s) => [s.id, s.zone]));
  const rows = orders.map((order) => [
    order.deliveryDate.toISOString().slice(0, 10),
    suppliers.get(order.supplierId) ?? order.supplierId,
    siteName.get(order.siteId) ?? order.siteId,
    String(order.lines.length),
    `${order.total.plus(order.lines.some((line) => line.packs > 0) ? order.deliveryCharge : 0).toFixed(2)} ${order.currency}`,
    order.status,
    new Intl.DateTimeFormat('en-GB', {
      timeZone: zoneOf.get(order.supplierId) ?? 'UTC',
      weekday: 'short',
      hour: '2-digit',
      minute: '2-digit',
    }).format(order.cutoffAt),
  ]);
  return `${data.group.name}: orders\n\n${table(
    ['Delivery', 'Supplier', 'Site', 'Lines', 'Total', 'Status', 'Cutoff'],
    rows,
    [3, 4],
  )}`;
}
