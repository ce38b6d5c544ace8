import { checkGln, checkGtin } from '../../core/codes/index.ts';
import { checkDeliveryRules, type DeliveryRules } from '../../core/ordering/index.ts';
import { zoneNamed, type Weekday } from '../../core/calendar/index.ts';
import { isCurrencyCode } from '../../core/money/index.ts';
import { measuresOf, toBaseOrRefuse, type Ingredient } from '../ingredients/index.ts';
import { invalid, orRefuse, Refusal } from '../platform/index.ts';
import type { PackInput, PackToSave, SupplierInput } from './suppliers.ports.ts';

/** A supplier's delivery rules as core/ordering takes them. */
export function deliveryRulesOf(supplier: SupplierInput): DeliveryRules {
  return {
    zone: supplier.zone,
    deliveryWeekdays: supplier.deliveryWeekdays.map((day) => day as Weekday),
    cutoff: supplier.cutoff,
    leadDays: supplier.leadDays,
    holidays: supplier.holidays,
    ...(supplier.workingWeekdays.length > 0
      ? { workingWeekdays: supplier.workingWeekdays.map((day) => day as Weekday) }
      : {}),
    ...(supplier.arrivesBy === null ? {} : { arrivesBy: supplier.arrivesBy }),
    usableAfterDays: supplier.usableAfterDays,
  };
}

/** @throws Refusal with a pointer into the supplier */
export function checkSupplier(input: SupplierInput): void {
  orRefuse(zoneNamed(input.zone), '/zone');
  if (!isCurrencyCode(input.currency)) {
    throw invalid('/currency', `${input.currency} is not a currency code such as EUR.`);
  }
  for (const field of ['deliveryWeekdays', 'workingWeekdays', 'holidays', 'siteIds'] as const) {
    const values: readonly (string | number)[] = input[field];
    const again = values.findIndex((value, i) => values.indexOf(value) !== i);
    if (again >= 0) throw invalid(`/${field}/${again}`, `${values[again]} is listed twice.`);
  }
  orRefuse(checkDeliveryRules(deliveryRulesOf(input)));
  if (input.gln !== null) orRefuse(checkGln(input.gln), '/gln');
}

/**
 * Checks a pack and converts what it holds.
 * @throws Refusal `missing-ingredient`, unit refusals of core/quantity, `invalid-code` for the GTIN
 */
export function packToSave(input: PackInput, ingredient: Ingredient | null): PackToSave {
  if (!ingredient || ingredient.archived) {
    throw new Refusal('missing-ingredient', 'The ingredient of this pack is not there.', {
      issues: [
        { pointer: '/ingredientId', message: `There is no ingredient ${input.ingredientId}.` },
      ],
    });
  }
  if (ingredient.partOf !== null) {
    throw invalid(
      '/ingredientId',
      `${ingredient.name} is taken from a piece; the piece is bought.`,
    );
  }
  if (ingredient.notBought) {
    throw invalid('/ingredientId', `${ingredient.name} is marked as not bought.`);
  }
  if (input.gtin !== null) orRefuse(checkGtin(input.gtin), '/gtin');
  if (input.maxPacks !== null && input.maxPacks < input.minPacks) {
    throw invalid('/maxPacks', 'The most packs are fewer than the fewest.');
  }
  if (input.backOn !== null && !input.outOfStock) {
    throw invalid('/backOn', 'Only a pack that is out of stock comes back on a day.');
  }
  const quantityBase = toBaseOrRefuse(input.content, measuresOf(ingredient), '/content');
  return { ...input, quantityBase };
}
