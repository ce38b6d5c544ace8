import type { DishOnOffer, PlannedService, SitePlanInput } from './plan-input.ts';
import type { Missing, Remedy } from './remedy.ts';
import { takersOf } from './takers.ts';

const EVEN_CHANCE = 0.5;
/** Dishes to try, those that most guests take first. */
const MOST_DISHES = 2;

/**
 * Each dish that needs what is missing, off the menu for the services of that day: its guests choose
 * among what else is on offer, as they do of each now. Portions promised beforehand stay. A service
 * with nothing else on offer keeps its dish.
 */
export function otherDishes(input: SitePlanInput, missing: Missing): readonly Remedy[] {
  const takers = takersOf(input.versions, missing.itemId);
  const shares = new Map<string, number>();
  for (const { serviceDate, startMin, dishes } of input.services) {
    if (serviceDate !== missing.serviceDate || startMin < missing.atMin) continue;
    for (const { dishId, share } of dishes) {
      const replaceable = dishes.some((other) => other.dishId !== dishId && other.share > 0);
      if (!takers.has(dishId) || share <= 0 || !replaceable) continue;
      shares.set(dishId, (shares.get(dishId) ?? 0) + share);
    }
  }
  return [...shares]
    .sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))
    .slice(0, MOST_DISHES)
    .map(([dishId]) => ({
      kind: 'another-dish',
      dishId,
      input: {
        ...input,
        services: input.services.map((service) =>
          service.serviceDate === missing.serviceDate && service.startMin >= missing.atMin
            ? withoutDish(service, dishId)
            : service,
        ),
      },
    }));
}

function withoutDish(service: PlannedService, dishId: string): PlannedService {
  const off = service.dishes.find((dish) => dish.dishId === dishId);
  const others = service.dishes
    .filter((dish) => dish.dishId !== dishId)
    .reduce((sum, { share }) => sum + share, 0);
  if (!off || others <= 0) return service;
  const more = 1 + off.share / others;
  const promised = (off.preOrdered ?? 0) > 0;
  return {
    ...service,
    dishes: service.dishes.flatMap((dish): DishOnOffer[] => {
      if (dish.dishId !== dishId) return [{ ...dish, share: dish.share * more }];
      const { fixedPortions: _, ...rest } = dish;
      return promised ? [{ ...rest, share: 0 }] : [];
    }),
  };
}

/**
 * The pars that ask for more of what is missing than an even chance does, cut to that: of the item
 * itself, of what it goes into, and the portions that somebody fixed of a dish that needs it. A
 * quantity to be there falls away, because services bring their own need.
 */
export function cutPars(input: SitePlanInput, missing: Missing): readonly Remedy[] {
  const takers = takersOf(input.versions, missing.itemId);
  const pars = input.componentPars ?? [];
  const kept = pars.flatMap((par) => {
    if (!takers.has(par.itemId)) return [par];
    if (par.kind === 'quantity') return par.fromDate > missing.serviceDate ? [par] : [];
    return [par.level > EVEN_CHANCE ? { ...par, level: EVEN_CHANCE } : par];
  });
  const isFixed = (service: PlannedService, dish: DishOnOffer): boolean =>
    service.serviceDate <= missing.serviceDate &&
    takers.has(dish.dishId) &&
    dish.fixedPortions !== undefined;
  const fixed = input.services.some((service) =>
    service.dishes.some((dish) => isFixed(service, dish)),
  );
  const isCut = kept.length < pars.length || kept.some((par, i) => par !== pars[i]);
  if (!isCut && !fixed) return [];
  return [
    {
      kind: 'cut-the-par',
      input: {
        ...input,
        componentPars: kept,
        services: input.services.map((service) => ({
          ...service,
          dishes: service.dishes.map((dish) => {
            if (!isFixed(service, dish)) return dish;
            const { fixedPortions: _, ...rest } = dish;
            return { ...rest, level: EVEN_CHANCE };
          }),
        })),
      },
    },
  ];
}
