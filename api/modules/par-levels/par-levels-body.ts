import type { z } from 'zod';
import { roundMoney, type Money } from '../../core/money/index.ts';
import type { ParOutcome, ParVariant } from '../../core/par/index.ts';
import { codeOfBase, type BaseUnit } from '../../core/quantity/index.ts';
import type { ParAnswer } from './par-answer.ts';
import type { ParOverride } from './par-levels.ports.ts';
import type { ParAnswerSchema, ParSchema } from './par-levels.schema.ts';
import type { ParView } from './par-levels.service.ts';
import type { ScoredParOverride } from './par-overrides.service.ts';

// How pars look on the wire: portions for the expected figures, the item's own unit for quantities.

const leaving = (money: Money | null) => money && roundMoney(money);
const amount = (baseUnit: BaseUnit, value: number) => ({ value, unit: codeOfBase(baseUnit) });

function toAnswer(answer: ParAnswer, baseUnit: BaseUnit): z.infer<typeof ParAnswerSchema> {
  const { level, demand } = answer;
  const outcome = (one: ParOutcome) => ({
    quantity: amount(baseUnit, one.quantity * demand.portionSize),
    portions: one.quantity,
    chanceEnough: one.chanceEnough,
    expectedShortfall: one.expectedShortfall,
    expectedCarriedOver: one.expectedCarriedOver,
    expectedWaste: one.expectedWaste,
    expectedCost: leaving(one.expectedCost),
  });
  const variant = (one: ParVariant) => ({ ...outcome(one), extraCost: leaving(one.extraCost) });
  return {
    ...outcome(level),
    portionSize: demand.portionSize,
    fromDate: demand.window[0]?.sitting.serviceDate ?? demand.lastDate,
    toDate: demand.lastDate,
    meanDemand: level.parts.meanDemand,
    spreadDemand: level.parts.spreadDemand,
    criticalFraction: level.criticalFraction,
    costOfShort: leaving(answer.costs?.short ?? null),
    costOfWaste: leaving(answer.costs?.waste ?? null),
    perServiceLevel: answer.perServiceLevel,
    keepsMin: answer.keepsMin,
    tenPercentLess: variant(level.tenPercentLess),
    tenPercentMore: variant(level.tenPercentMore),
    services: demand.window.map(({ sitting, distribution }) => ({
      serviceId: sitting.serviceId,
      serviceName: sitting.serviceName,
      serviceDate: sitting.serviceDate,
      forecastId: sitting.forecast.id,
      portions: distribution.mean,
    })),
    notes: [...answer.notes],
  };
}

export function toPar(view: ParView): z.infer<typeof ParSchema> {
  const { par, answer, baseUnit } = view;
  const { rule, ...rest } = par;
  return {
    id: rest.id,
    siteId: rest.siteId,
    recipeId: rest.recipeId,
    name: view.name,
    kind: view.kind,
    rule: rule.kind,
    fixed: rule.kind === 'fixed' ? amount(baseUnit, rule.quantity) : null,
    serviceLevel: rule.kind === 'service_level' ? rule.level : null,
    reviewDays: rest.reviewDays,
    leadDays: rest.leadDays,
    validFrom: rest.validFrom,
    validTo: rest.validTo,
    reason: rest.reason,
    enteredBy: rest.enteredBy,
    archived: rest.archived,
    rev: rest.rev,
    answer: typeof answer === 'string' ? null : toAnswer(answer, baseUnit),
    cannotSay: typeof answer === 'string' ? answer : null,
    overrides: view.overrides.map((override) => toParOverride(override, baseUnit)),
  };
}

export const toParOverride = (override: ParOverride, baseUnit: BaseUnit) => ({
  id: override.id,
  parId: override.parId,
  serviceDate: override.serviceDate,
  quantity: amount(baseUnit, override.quantity),
  reason: override.reason,
  parQuantity: override.parQuantity === null ? null : amount(baseUnit, override.parQuantity),
  enteredBy: override.enteredBy,
  enteredAt: override.enteredAt.toISOString(),
});

export const toScored = ({ override, baseUnit, score }: ScoredParOverride) => ({
  ...toParOverride(override, baseUnit),
  score: score && { ...score, sold: amount(baseUnit, score.sold) },
});
