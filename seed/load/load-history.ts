import { Decimal } from 'decimal.js';
import type { Db } from '../../api/persistence/database.ts';
import { inChunks } from '../../api/persistence/chunks.ts';
import { fromServiceDate } from '../../api/persistence/row-values.ts';
import type { DemoData, DemoHistory } from '../generator/types.ts';
import { ingredientId, recipeId, serviceId, siteId } from './demo-keys.ts';

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

/** What is in the fridges on the morning of loading. */
export async function loadStock(db: Db, history: DemoHistory): Promise<void> {
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
}
