import { countFromMoments, meanOf, quantile, varianceOf } from '../distributions/index.ts';
import type { CountDistribution } from '../distributions/index.ts';
import type { ExplanationBuilder, QuantileFunction } from '../explanation/index.ts';
import type { DishOnOffer, PlannedService } from './plan-input.ts';

/** The quantile function that plans are explained with: pass it to `evaluate` as well. */
export const planQuantile: QuantileFunction = (distribution, level) =>
  quantile(
    distribution.kind === 'poisson' || distribution.size === undefined
      ? { kind: 'poisson', mean: distribution.mean }
      : { kind: 'negative-binomial', mean: distribution.mean, size: distribution.size },
    level,
  );

/**
 * Adds the covers of a service: the sum of the forecast's terms.
 * @returns node id
 */
export function explainCovers(builder: ExplanationBuilder, service: PlannedService): string {
  const inputs = service.terms.map((term, index) => ({
    nodeId: builder.given({
      id: `covers:${service.id}:${index}`,
      label: `${term.label}, ${service.name} ${service.serviceDate}`,
      value: term.value,
      unit: 'covers',
      ...(term.source ? { source: term.source } : {}),
    }),
    factor: term.factor,
  }));
  return builder.add({
    id: `covers:${service.id}`,
    label: `Covers expected, ${service.name} ${service.serviceDate}`,
    unit: 'covers',
    formula: 'weighted-sum',
    inputs,
  });
}

/**
 * Adds the count that covers stay at or under with probability `level`: the certain part plus a
 * quantile of the rest. A distribution cut off by the room is a table and is given as it is.
 * @returns node id
 */
export function explainCoversLevel(
  builder: ExplanationBuilder,
  service: PlannedService,
  level: number,
): string {
  const { distribution } = service;
  const id = `covers:${service.id}:level:${level}`;
  const label = `Covers not passed in ${Math.round(level * 100)} of 100 such services, ${service.name} ${service.serviceDate}`;
  const source = { kind: 'forecast', id: distribution.kind };
  if (distribution.kind === 'table' || distribution.kind === 'point') {
    return builder.given({
      id,
      label,
      value: quantile(distribution, level),
      unit: 'covers',
      source,
    });
  }
  const floor = distribution.floor ?? 0;
  const given = (part: string, value: number, words: string): string =>
    builder.given({ id: `${id}:${part}`, label: words, value, unit: 'covers', source });
  const rest = builder.add({
    id: `${id}:rest`,
    label: `${label}, beyond the certain ones`,
    unit: 'covers',
    formula: 'distribution-quantile',
    inputs: [
      {
        nodeId: given('mean', distribution.mean - floor, 'Covers expected beyond the certain ones'),
        role: 'mean',
      },
    ],
    parameters: {
      distribution: distribution.kind,
      level,
      ...(distribution.kind === 'negative-binomial' ? { size: distribution.size } : {}),
    },
  });
  return builder.add({
    id,
    label,
    unit: 'covers',
    formula: 'weighted-sum',
    inputs: [{ nodeId: given('floor', floor, 'Covers that are certain') }, { nodeId: rest }],
  });
}

/**
 * The count of portions a dish sells when each of `covers` guests orders `share` of it.
 *
 * For a share up to 1 each guest orders or not, on their own: the count is the covers thinned, with
 * mean s·m and variance s²·V + s(1 − s)·m. Above 1 (several portions a cover) the spread of the
 * orders themselves is taken as Poisson: variance s²·V + s·m.
 *
 * Source: compound (random-sum) distribution, law of total variance; thinning a negative binomial
 * keeps its size, which these moments reproduce.
 */
export function portionsDistribution(covers: CountDistribution, share: number): CountDistribution {
  const m = meanOf(covers);
  const own = share <= 1 ? share * (1 - share) * m : share * m;
  return countFromMoments(share * m, share * share * varianceOf(covers) + own);
}

/**
 * Adds the portions of a dish to be ready for a service: mean = covers × share; the smallest count
 * that is enough with the dish's level; pre-orders on top, exactly.
 * @returns node id
 */
export function explainPortions(
  builder: ExplanationBuilder,
  service: PlannedService,
  dish: DishOnOffer,
  dishName: string,
  coversNode: string,
): string {
  const at = `${service.name} ${service.serviceDate}`;
  const stem = `portions:${service.id}:${dish.dishId}`;
  const share = builder.given({
    id: `${stem}:share`,
    label: `${dishName}, portions per cover`,
    value: dish.share,
    unit: 'fraction',
    source: dish.shareSource,
  });
  const mean = builder.add({
    id: `${stem}:mean`,
    label: `${dishName}, portions on average, ${at}`,
    unit: 'portions',
    formula: 'product',
    inputs: [{ nodeId: coversNode }, { nodeId: share }],
  });
  const spread = portionsDistribution(service.distribution, dish.share);
  const enough =
    spread.kind === 'negative-binomial' || (spread.kind === 'poisson' && spread.mean > 0)
      ? builder.add({
          id: `${stem}:enough`,
          label: `${dishName}, portions to be ready for chance, ${at}`,
          unit: 'portions',
          formula: 'distribution-quantile',
          inputs: [{ nodeId: mean, role: 'mean' }],
          parameters: {
            distribution: spread.kind,
            level: dish.level,
            ...(spread.kind === 'negative-binomial' ? { size: spread.size } : {}),
          },
        })
      : builder.add({
          id: `${stem}:enough`,
          label: `${dishName}, whole portions, ${at}`,
          unit: 'portions',
          formula: 'round-up-to-multiple',
          inputs: [{ nodeId: mean }],
          parameters: { multiple: 1 },
        });
  const preOrdered = dish.preOrdered ?? 0;
  const ordered = builder.given({
    id: `${stem}:pre-ordered`,
    label: `${dishName}, ordered beforehand, ${at}`,
    value: preOrdered,
    unit: 'portions',
  });
  return builder.add({
    id: stem,
    label: `${dishName}, portions to have ready, ${at}`,
    unit: 'portions',
    formula: 'weighted-sum',
    inputs: preOrdered > 0 ? [{ nodeId: enough }, { nodeId: ordered }] : [{ nodeId: enough }],
  });
}
