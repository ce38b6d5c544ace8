/** Cooling, holding and use-by by the rules of the UK, the EU and the US. Local codes decide. */
export { judgeCarried, useByOfCarried } from './carried.ts';
export type { CarriedFood, CarriedJudgement, CarriedKeeping } from './carried.ts';
export { judgeCooling, lengthText, MOST_READINGS } from './cooling.ts';
export type {
  CoolingJudgement,
  CoolingRecord,
  JudgedTarget,
  TemperatureReading,
} from './cooling.ts';
export { BREACH_KINDS, CORRECTION_IDS, correctionsFor } from './corrections.ts';
export type { BreachKind, Correction, CorrectionId } from './corrections.ts';
export { SAFETY_NOTICE } from './grounds.ts';
export type { Grounds } from './grounds.ts';
export { judgeHolding } from './holding.ts';
export type { Excursion, HoldingJudgement } from './holding.ts';
export { COOLING_COURSES, RULE_SET_IDS, ruleSetOf } from './rule-sets.ts';
export type {
  CoolingCourse,
  CoolingLimit,
  CoolingTarget,
  DateCap,
  HoldingLimit,
  HoldingTolerance,
  RuleSet,
  RuleSetId,
} from './rule-sets.ts';
export { celsiusOf, limitText } from './temperature.ts';
export type { Temperature, TemperatureLimit } from './temperature.ts';
export { plannedShelfLifeMin, useByOf } from './use-by.ts';
export type { InputUseBy, Storage, UseBy, UseByInput, UseByReason } from './use-by.ts';
