import { Decimal } from 'decimal.js';
import type { Db } from '../../api/persistence/database.ts';
import { inChunks } from '../../api/persistence/chunks.ts';
import { fromServiceDate, toJson } from '../../api/persistence/row-values.ts';
import type { DemoData, DemoHistory } from '../generator/types.ts';
import { ingredientId, packId, recipeId, serviceId, siteId, supplierId } from './demo-keys.ts';

const CHUNK = 1000;
/** Events are told about two months ahead. */
const TOLD_BEFORE_MS = 60 * 86_400_000;

/** The cards of every site with their dates. Prices on the files include tax; ours are before tax. */
export async function loadMenus(db: Db, data: DemoData, history: DemoHistory): Promise<void> {
  const currencyOf = new Map(data.sites.map((site) => [site.key, site.currency]));
  const dishes = new Map(data.recipes.map((recipe) => [recipe.key, recipe]));
  for (const menu of history.menus) {
    const id = `menu_${menu.key}`;
    await db.menu.create({
      data: {
        id,
        siteId: siteId(menu.site),
        name: menu.name,
        activeFrom: fromServiceDate(menu.from),
        activeTo: fromServiceDate(menu.to),
      },
    });
    await db.menuLine.createMany({
      data: menu.services.flatMap((service) =>
        menu.lines.map((line) => {
          const dish = dishes.get(line.dish);
          const price = dish?.prices?.find((p) => p.currency === currencyOf.get(menu.site));
          if (!dish || !price) throw new Error(`${line.dish} has no price at ${menu.site}.`);
          return {
            id: `ml_${menu.key}-${service}-${line.dish}`,
            menuId: id,
            dishId: recipeId(line.dish),
            serviceId: serviceId(menu.site, service),
            share: line.share,
            priceAmount: new Decimal(price.amount).div(1 + price.taxRateFraction).toFixed(4),
            taxRate: price.taxRateFraction,
            targetCost: dish.targetFoodCostFraction ?? null,
          };
        }),
      ),
    });
  }
}

/** Bookings as they came in, guests served, dishes sold, and what is known ahead. */
export async function loadCovers(db: Db, history: DemoHistory): Promise<void> {
  const key = (row: { site: string; service: string; serviceDate: string }) =>
    `${row.site}-${row.service}-${row.serviceDate}`;
  const common = (row: { site: string; service: string; serviceDate: string }) => ({
    siteId: siteId(row.site),
    serviceId: serviceId(row.site, row.service),
    serviceDate: fromServiceDate(row.serviceDate),
  });
  for (const chunk of inChunks(history.snapshots, CHUNK)) {
    await db.coversSnapshot.createMany({
      data: chunk.map((row) => ({
        id: `snap_${key(row)}-${row.daysBefore}`,
        ...common(row),
        takenAt: new Date(row.takenAt),
        booked: row.booked,
      })),
    });
  }
  for (const chunk of inChunks(history.actuals, CHUNK)) {
    await db.serviceOutcome.createMany({
      data: chunk.map((row) => ({ id: `out_${key(row)}`, ...common(row), covers: row.covers })),
    });
  }
  for (const chunk of inChunks(history.sales, CHUNK)) {
    await db.dishSale.createMany({
      data: chunk.map((row) => ({
        id: `sale_${key(row)}-${row.dish}`,
        ...common(row),
        dishId: recipeId(row.dish),
        portions: row.portions,
        soldOutAt: row.soldOutAt === undefined ? null : new Date(row.soldOutAt),
      })),
    });
  }
  const KIND = { closed: 'closed', 'private-hire': 'private_hire', event: 'factor' } as const;
  await db.coversEvent.createMany({
    data: history.events.flatMap((event) =>
      event.services.map((service) => ({
        id: `evt_${event.site}-${service}-${event.date}`,
        siteId: siteId(event.site),
        serviceId: serviceId(event.site, service),
        serviceDate: fromServiceDate(event.date),
        kind: KIND[event.kind],
        factor: event.coversFactor ?? null,
        covers: event.guests ?? null,
        reason: event.name,
        enteredBy: 'demo',
        createdAt: new Date(Date.parse(event.date) - TOLD_BEFORE_MS),
      })),
    ),
  });
}

/** What is in the fridges on the morning of loading, and what is on order. */
export async function loadStock(db: Db, data: DemoData, history: DemoHistory): Promise<void> {
  await db.stockLot.createMany({
    data: history.lots.map((lot, i) => ({
      id: `lot_${lot.site}-${lot.itemKey}-${i + 1}`,
      siteId: siteId(lot.site),
      itemKind: lot.itemKind === 'ingredient' ? 'ingredient' : 'component',
      itemId: lot.itemKind === 'ingredient' ? ingredientId(lot.itemKey) : recipeId(lot.itemKey),
      quantity: lot.quantityBase,
      madeAt: new Date(lot.madeAt),
      useBy: new Date(lot.useBy),
      sourceKind: 'opening count',
      supplierLot: lot.supplierLot ?? null,
    })),
  });
  await db.stockMovement.createMany({
    data: history.lots.map((lot, i) => ({
      id: `mov_${lot.site}-${lot.itemKey}-${i + 1}`,
      lotId: `lot_${lot.site}-${lot.itemKey}-${i + 1}`,
      kind: 'counted',
      quantity: lot.quantityBase,
      at: new Date(lot.madeAt),
      actorId: 'demo',
    })),
  });
  const numbers = new Map<string, number>();
  const packs = new Map(data.packs.map((pack) => [packId(pack.supplier, pack.sku), pack]));
  const currencyOf = new Map(data.suppliers.map((supplier) => [supplier.key, supplier.currency]));
  const chargeOf = new Map(
    data.suppliers.map((supplier) => [supplier.key, supplier.deliveryCharge]),
  );
  for (const order of history.openOrders) {
    const number = (numbers.get(order.supplier) ?? 0) + 1;
    numbers.set(order.supplier, number);
    const id = `ord_${order.site}-${order.supplier}-${order.deliveryDate}`;
    const lines = order.lines.map((line, i) => {
      const pack = packs.get(packId(order.supplier, line.sku));
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
      };
    });
    const total = lines.reduce(
      (sum, l) => sum.plus(new Decimal(l.unitPrice).times(l.packs)),
      new Decimal(0),
    );
    await db.order.create({
      data: {
        id,
        number,
        supplierId: supplierId(order.supplier),
        siteId: siteId(order.site),
        deliveryDate: fromServiceDate(order.deliveryDate),
        cutoffAt: new Date(order.placedAt),
        status: 'sent',
        currency: currencyOf.get(order.supplier) ?? 'EUR',
        total: total.toFixed(4),
        deliveryCharge: chargeOf.get(order.supplier) ?? '0',
        history: toJson(
          (['proposed', 'approved', 'sent'] as const).map((state) => ({
            state,
            by: 'demo',
            at: new Date(order.placedAt).toISOString(),
            note: null,
          })),
        ),
        notes: [],
        approvedBy: 'demo',
        approvedAt: new Date(order.placedAt),
        sentAt: new Date(order.placedAt),
        lines: { create: lines },
      },
    });
  }
}
