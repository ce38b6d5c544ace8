import { quantile } from '../distributions/index.ts';
import { coversMean, coversParameters } from '../explanation/index.ts';
import type {
  ExplanationBuilder,
  ExplanationInput,
  QuantileFunction,
} from '../explanation/index.ts';
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
 * The covers that would come if the room had no limit: of a count cut off by the room the mean
 * before the cut, else the expected covers themselves.
 */
function coversBefore(
  builder: ExplanationBuilder,
  service: PlannedService,
  coversNode: string,
): string {
  const { distribution } = service;
  if (distribution.kind !== 'table' || distribution.cutFrom === undefined) return coversNode;
  return builder.given({
    id: `covers:${service.id}:unlimited`,
    label: `Covers expected if the room had no limit, ${service.name} ${service.serviceDate}`,
    value: coversMean(distribution),
    unit: 'covers',
    source: { kind: 'forecast', id: distribution.cutFrom.count.kind },
  });
}

/**
 * Adds the count that covers stay at or under with probability `level`: the certain part plus a
 * quantile of the rest, at most what the room takes. A table that was not cut off by the room is
 * given as it is.
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
  const cut = distribution.kind === 'table' ? distribution.cutFrom : undefined;
  const count = cut?.count ?? distribution;
  if (count.kind === 'table' || count.kind === 'point') {
    return builder.given({ id, label, value: quantile(count, level), unit: 'covers', source });
  }
  const floor = count.floor ?? 0;
  const given = (part: string, value: number, words: string): string =>
    builder.given({ id: `${id}:${part}`, label: words, value, unit: 'covers', source });
  const rest = builder.add({
    id: `${id}:rest`,
    label: `${label}, beyond the certain ones`,
    unit: 'covers',
    formula: 'distribution-quantile',
    inputs: [
      {
        nodeId: given('mean', count.mean - floor, 'Covers expected beyond the certain ones'),
        role: 'mean',
      },
    ],
    parameters: {
      distribution: count.kind,
      level,
      ...(count.kind === 'negative-binomial' ? { size: count.size } : {}),
    },
  });
  const inputs = [{ nodeId: given('floor', floor, 'Covers that are certain') }, { nodeId: rest }];
  return cut === undefined
    ? builder.add({ id, label, unit: 'covers', formula: 'weighted-sum', inputs })
    : builder.add({
        id,
        label,
        unit: 'covers',
        formula: 'clamp',
        inputs,
        parameters: { upper: cut.ceiling },
      });
}

/**
 * Adds the portions of a dish to be ready for a service: the smallest count that is enough with the
 * dish's level, of the compound of how many come and how many of them order it (`dishDemand` of
 * core/demand); pre-orders on top, exactly.
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
  const inputs: ExplanationInput[] = [
    { nodeId: coversBefore(builder, service, coversNode), role: 'covers' },
    { nodeId: share, role: 'share' },
  ];
  const known = (role: string, label: string, unit: string, value: number | undefined): void => {
    if (value === undefined || value === 0) return;
    const nodeId = builder.given({
      id: `${stem}:${role}`,
      label: `${dishName}, ${label}`,
      value,
      unit,
      ...(unit === 'covers' ? {} : { source: dish.shareSource }),
    });
    inputs.push({ nodeId, role });
  };
  known('strength', 'covers of experience behind that', 'covers', dish.shareStrength);
  known('day-variation', 'what that varies from day to day', 'fraction', dish.shareDayVariation);
  known('exact-covers', 'covers who ordered beforehand', 'covers', dish.preOrderedCovers);
  const enough = builder.add({
    id: `${stem}:enough`,
    label: `${dishName}, portions to be ready for chance, ${at}`,
    unit: 'portions',
    formula: 'compound-quantile',
    inputs,
    parameters: {
      ...coversParameters(service.distribution),
      level: dish.level,
      perCover: dish.perCover ?? 'several',
    },
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
