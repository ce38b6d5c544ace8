import { addDays } from '../../api/core/calendar/index.ts';
import type { Composition } from '../../api/modules/ingredients/index.ts';
import type { Db } from '../../api/persistence/database.ts';
import { inChunks } from '../../api/persistence/chunks.ts';
import {
  fromOptionalDate,
  fromServiceDate,
  toJson,
  toNullableJson,
} from '../../api/persistence/row-values.ts';
import type { DemoData, DemoIngredient } from '../generator/types.ts';
import { ingredientId, packId, serviceId, siteId, supplierId } from './demo-keys.ts';

const CHUNK = 300;

/** Sites with their services, equipment and stated covers. */
export async function loadSites(db: Db, data: DemoData): Promise<void> {
  for (const site of data.sites) {
    await db.site.create({
      data: {
        id: siteId(site.key),
        name: site.name,
        zone: site.zone,
        addressLines: [site.place, site.lake],
        currency: site.currency,
        ruleSet: site.ruleSet,
        hours: toJson(site.hours),
      },
    });
    await db.service.createMany({
      data: site.services.map((service) => ({
        id: serviceId(site.key, service.key),
        siteId: siteId(site.key),
        name: service.name,
        startsAt: service.startTime,
        endsAt: service.endTime,
        weekdays: [...service.weekdays],
        // The files state the most covers of a service; the service's seats turn at most twice.
        seats: Math.ceil(service.maxCovers / 2),
      })),
    });
    await db.statedCovers.createMany({
      data: site.services.flatMap((service) =>
        service.weekdays.map((weekday) => ({
          serviceId: serviceId(site.key, service.key),
          weekday,
          covers: service.statedCovers,
        })),
      ),
    });
    await db.equipment.createMany({
      data: site.equipment.map((equipment, i) => ({
        id: `eqp_${site.key}-${i + 1}`,
        siteId: siteId(site.key),
        kind: equipment.kind,
        name: equipment.name,
        units: equipment.count,
      })),
    });
  }
}

/** Ingredients with measures; parts after the pieces they come from. */
export async function loadIngredients(db: Db, data: DemoData, today: string): Promise<void> {
  const pieces = data.ingredients.filter((ingredient) => ingredient.partOf === undefined);
  const parts = data.ingredients.filter((ingredient) => ingredient.partOf !== undefined);
  for (const group of [pieces, parts]) {
    await db.ingredient.createMany({ data: group.map((row) => ingredientRow(row, today)) });
  }
  await db.householdMeasure.createMany({
    data: data.ingredients.flatMap((ingredient) =>
      (ingredient.measures ?? []).map((measure, i) => ({
        id: `msr_${ingredient.key}-${i + 1}`,
        ingredientId: ingredientId(ingredient.key),
        ...measure,
      })),
    ),
  });
}

function ingredientRow(row: DemoIngredient, today: string) {
  return {
    id: ingredientId(row.key),
    name: row.name,
    category: row.category,
    baseUnit: row.baseUnit,
    densityGPerMl: row.density?.gPerMl ?? null,
    densitySource: row.density?.source ?? null,
    pieceMassG: row.pieceMass?.massG ?? null,
    pieceMassSource: row.pieceMass?.source ?? null,
    trimYield: row.trimYield?.fraction ?? 1,
    trimYieldSource: row.trimYield?.source ?? null,
    seasonMonths: [...(row.months ?? [])],
    withdrawnFrom: row.withdrawn
      ? fromOptionalDate(addDays(today, row.withdrawn.daysFromToday))
      : null,
    withdrawnReason: row.withdrawn?.reason ?? null,
    shelfLifeDays: row.shelfLifeDays,
    storage: row.storage,
    bloom: row.gelatine?.bloom ?? null,
    sheetMassG: row.gelatine?.sheetMassG ?? null,
    allergens: toNullableJson(row.allergens && { ...row.allergens, sulphitesMgPerKg: null }),
    composition: toNullableJson(compositionRow(row)),
    nutrition: toNullableJson(row.nutrition ? nutritionRow(row.nutrition) : null),
    partOfId: row.partOf ? ingredientId(row.partOf.piece) : null,
    partGroup: row.partOf?.group ?? null,
    partOrder: row.partOf?.order ?? null,
    partYield: row.partOf?.yieldPerPiece ?? null,
    partYieldSource: row.partOf?.source ?? null,
    notBought: row.notBought ?? false,
    note: row.note ?? null,
  };
}

/** What balances are drawn up from; null where the files say nothing of it. */
function compositionRow({ composition, makeup }: DemoIngredient): Composition | null {
  if (!composition && !makeup) return null;
  const sources = [composition?.source, makeup?.source].filter((source) => source !== undefined);
  return {
    waterFraction: composition?.waterFraction ?? null,
    fatFraction: composition?.fatFraction ?? null,
    sugarsFraction: composition?.sugarsFraction ?? null,
    milkSolidsFraction: makeup?.milkSolidsFraction ?? 0,
    alcoholFraction: makeup?.alcoholFraction ?? 0,
    saltFraction: makeup?.saltFraction ?? null,
    sugars: makeup?.sugars ?? null,
    ph: makeup?.ph ?? null,
    inMix: makeup?.inMix ?? null,
    source: [...new Set(sources)].join('; '),
  };
}

/** Unknown members become null, never zero. */
function nutritionRow(nutrition: NonNullable<DemoIngredient['nutrition']>) {
  return {
    energyKcal: null,
    fatG: null,
    saturatesG: null,
    carbohydrateByDifferenceG: null,
    sugarsG: null,
    fibreG: null,
    proteinG: null,
    sodiumMg: null,
    waterG: null,
    alcoholG: null,
    ...nutrition,
  };
}

/** Suppliers with the sites they serve, their packs and price history. */
export async function loadSuppliers(db: Db, data: DemoData, today: string): Promise<void> {
  await db.supplier.createMany({
    data: data.suppliers.map((supplier) => ({
      id: supplierId(supplier.key),
      name: supplier.name,
      zone: supplier.zone,
      currency: supplier.currency,
      language: supplier.language,
      deliveryWeekdays: [...supplier.deliveryWeekdays],
      cutoffDaysBefore: supplier.cutoff.daysBefore,
      cutoffTime: supplier.cutoff.time,
      leadDays: supplier.leadDays,
      minimumOrder: supplier.minimumOrder,
      deliveryCharge: supplier.deliveryCharge,
      holidays: [],
    })),
  });
  await db.supplierSite.createMany({
    data: data.suppliers.flatMap((supplier) =>
      supplier.sites.map((site) => ({
        supplierId: supplierId(supplier.key),
        siteId: siteId(site),
      })),
    ),
  });
  const unitOf = new Map(data.ingredients.map((row) => [row.key, row.baseUnit]));
  const UCUM = { g: 'g', ml: 'mL', each: '{each}' } as const;
  await db.pack.createMany({
    data: data.packs.map((pack) => ({
      id: packId(pack.supplier, pack.sku),
      supplierId: supplierId(pack.supplier),
      ingredientId: ingredientId(pack.ingredient),
      name: pack.name,
      sku: pack.sku,
      gtin: pack.gtin,
      value: pack.quantityBase,
      unit: UCUM[unitOf.get(pack.ingredient) ?? 'g'],
      quantity: pack.quantityBase,
    })),
  });
  const prices = data.packs.flatMap((pack) =>
    pack.prices.flatMap((price, i) => {
      const common = {
        packId: packId(pack.supplier, pack.sku),
        validFrom: fromServiceDate(addDays(today, -price.fromDaysAgo)),
        source: 'price list',
      };
      const stem = `price_${pack.supplier}-${pack.sku}-${i + 1}`;
      return [
        { ...common, id: stem, minPacks: 1, amount: price.amount },
        ...(price.breaks ?? []).map((step) => ({
          ...common,
          id: `${stem}-from${step.minPacks}`,
          minPacks: step.minPacks,
          amount: step.amount,
        })),
      ];
    }),
  );
  for (const chunk of inChunks(prices, CHUNK)) await db.packPrice.createMany({ data: [...chunk] });
}
