import { addDays } from '../../api/core/calendar/index.ts';
import type {
  DeliverySlot,
  IngredientNeed,
  LaterUse,
  PackOffer,
  PackProblem,
  SupplierTerms,
} from '../../api/core/ordering/index.ts';

/** Synthetic sites for the benchmark: repeatable, from a seeded linear congruential generator. */
function generator(seed: number): () => number {
  let state = (seed * 2654435761 + 12345) % 2147483647;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

const DAYS = 14;
const FIRST = '2026-03-02';

interface Good {
  readonly id: string;
  /** Use of a middling site a day, base unit. */
  readonly perDayBase: number;
  readonly lifeDays: number;
  readonly offers: readonly PackOffer[];
}

const SUPPLIERS: readonly (SupplierTerms & { readonly weekdays: readonly number[] })[] = [
  { supplierId: 'dairy', minOrderValue: '60', weekdays: [0, 1, 2, 3, 4] },
  { supplierId: 'fruit', minOrderValue: '50', deliveryCharge: '6', weekdays: [0, 2, 4] },
  {
    supplierId: 'dry',
    minOrderValue: '150',
    deliveryCharge: '15',
    freeDeliveryFrom: '400',
    weekdays: [1],
  },
  { supplierId: 'dry-2', minOrderValue: '120', deliveryCharge: '9', weekdays: [3] },
  { supplierId: 'chocolate', minOrderValue: '200', deliveryCharge: '12', weekdays: [2] },
  { supplierId: 'market', minOrderValue: '0', weekdays: [0, 1, 2, 3, 4, 5] },
];

/** 110 goods with 150 packs between them: fresh, chilled and dry, some from two suppliers. */
export function benchGoods(): readonly Good[] {
  const random = generator(7);
  return Array.from({ length: 110 }, (_, i): Good => {
    const id = `g${i}`;
    const kind = i % 10;
    const fresh = kind < 3;
    const chilled = kind >= 3 && kind < 5;
    const perDayBase = Math.round(200 + 4000 * random() ** 2);
    const lifeDays = fresh
      ? 4 + Math.floor(3 * random())
      : chilled
        ? 10 + Math.floor(20 * random())
        : 180;
    const supplierId = fresh
      ? kind === 2
        ? 'market'
        : 'fruit'
      : chilled
        ? 'dairy'
        : kind === 9
          ? 'chocolate'
          : 'dry';
    const perKg = 1.5 + 14 * random();
    const pack = [1000, 2500, 5000, 10000][Math.floor(4 * random())] ?? 1000;
    const priced = (
      name: string,
      quantityBase: number,
      factor: number,
      supplier: string,
    ): PackOffer => ({
      id: `${id}-${name}`,
      supplierId: supplier,
      ingredientId: id,
      quantityBase,
      price: ((quantityBase / 1000) * perKg * factor).toFixed(2),
      currency: 'EUR',
      shelfLifeDays: lifeDays,
      ...(name === 'a' ? { isDefault: true } : {}),
      ...(name === 'b' && i % 3 === 0
        ? {
            priceBreaks: [
              { minPacks: 3, price: ((quantityBase / 1000) * perKg * factor * 0.94).toFixed(2) },
            ],
          }
        : {}),
    });
    const offers = [priced('a', pack, 1, supplierId)];
    if (i % 11 < 3) offers.push(priced('b', pack / 2.5, 1.06, supplierId));
    if (i % 11 === 3)
      offers.push(priced('c', pack * 2, 0.93, supplierId === 'dry' ? 'dry-2' : supplierId));
    return { id, perDayBase, lifeDays, offers };
  });
}

/** One site over 14 days: needs drawn around its size, deliveries of every supplier. */
export function benchSite(siteNumber: number, goods = benchGoods()): PackProblem {
  const random = generator(1000 + siteNumber);
  const siteId = `site-${siteNumber}`;
  const size = 0.5 + random();
  const needs: IngredientNeed[] = [];
  const laterUse: LaterUse[] = [];
  for (const good of goods) {
    if (random() < 0.25) continue;
    const own = good.perDayBase * size * (0.5 + random());
    laterUse.push({ siteId, ingredientId: good.id, perDayBase: own * 0.6 });
    for (let d = 1; d < DAYS; d += 1) {
      if (random() < 0.35) continue;
      const quantityBase = Math.round(own * (0.6 + 0.8 * random()));
      needs.push({
        ingredientId: good.id,
        siteId,
        needDate: addDays(FIRST, d),
        quantityBase,
        certainBase: Math.round(quantityBase * 0.4),
        refs: [{ nodeId: `${siteId}:${good.id}:${d}` }],
      });
    }
  }
  const slots: DeliverySlot[] = SUPPLIERS.flatMap(({ supplierId, weekdays }) =>
    Array.from({ length: DAYS }, (_, d) => d)
      .filter((d) => weekdays.includes(d % 7))
      .map((d) => ({
        supplierId,
        siteId,
        deliveryDate: addDays(FIRST, d),
        usableFromDate: addDays(FIRST, d),
        cutoffMin: 0,
      })),
  );
  return {
    currency: 'EUR',
    horizonEnd: addDays(FIRST, DAYS - 1),
    needs,
    offers: goods.flatMap((good) => good.offers),
    suppliers: SUPPLIERS.map(({ weekdays: _, ...terms }) => terms),
    slots,
    laterUse,
  };
}
