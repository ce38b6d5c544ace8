import {
  correctionsFor,
  judgeCooling,
  judgeHolding,
  ruleSetOf,
  SAFETY_NOTICE,
  type BreachKind,
  type CoolingCourse,
  type CoolingJudgement,
  type Correction,
  type HoldingJudgement,
  type RuleSet,
  type RuleSetId,
} from '../../core/safety/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { Breach, Reading } from './safety.ports.ts';

const MS_PER_MIN = 60_000;

/** One cooling of a task, or the readings of a lot held cold or hot. */
export interface JudgedRound {
  readonly kind: BreachKind;
  readonly round: number;
  readonly readings: readonly Reading[];
  readonly judgement: CoolingJudgement | HoldingJudgement;
}

/** A record as it is shown: the limits, every reading, how it stands, and what can be done. */
export interface SafetyRecord {
  readonly siteId: string;
  readonly rules: RuleSet;
  readonly kind: BreachKind;
  readonly course: CoolingCourse;
  readonly rounds: readonly JudgedRound[];
  readonly struck: readonly Reading[];
  readonly breaches: readonly Breach[];
  readonly corrections: readonly Correction[];
  readonly notice: string;
}

/** Absolute minutes, with their seconds: a reading of the same minute is not in the future. */
export const minutesOf = (at: Date): number => at.getTime() / MS_PER_MIN;

/** The readings of one round, judged by the service's own clock. */
export function judgeRound(
  rules: RuleSet,
  kind: BreachKind,
  course: CoolingCourse,
  readings: readonly Reading[],
  now: Date,
): CoolingJudgement | HoldingJudgement {
  const given = readings.map(({ at, celsius }) => ({ atMin: minutesOf(at), celsius }));
  if (kind !== 'cooling') return orRefuse(judgeHolding(kind, rules[kind], given, minutesOf(now)));
  const offHeat = readings.flatMap(({ offHeatAt }) => (offHeatAt ? [minutesOf(offHeatAt)] : []));
  return orRefuse(
    judgeCooling(
      rules.cooling[course],
      { readings: given, ...(offHeat.length > 0 ? { offHeatMin: Math.min(...offHeat) } : {}) },
      minutesOf(now),
    ),
  );
}

/**
 * What the readings themselves show: judged at the last of them. That a limit falls due while more
 * readings may still be on their way (a tablet without a network sends them one by one) is shown, and
 * is no breach on record until a reading says so.
 */
export function shownBy(
  rules: RuleSet,
  kind: BreachKind,
  course: CoolingCourse,
  readings: readonly Reading[],
  now: Date,
): CoolingJudgement | HoldingJudgement {
  const last = readings.reduce((latest, { at }) => Math.max(latest, at.getTime()), 0);
  return judgeRound(rules, kind, course, readings, last > 0 ? new Date(last) : now);
}

/** The message of a breach, one sentence or two. */
export function messageOf(judgement: CoolingJudgement | HoldingJudgement): string {
  if ('message' in judgement) return judgement.message;
  const broken = judgement.targets.filter(
    ({ state }) => state === 'missed' || state === 'not-shown',
  );
  return [...broken.map(({ message }) => message), ...judgement.remarks].join(' ');
}

/** Puts a record together from its rows. */
export function recordOf(
  input: {
    readonly siteId: string;
    readonly ruleSet: RuleSetId;
    readonly kind: BreachKind;
    readonly course: CoolingCourse;
    readonly readings: readonly Reading[];
    readonly breaches: readonly Breach[];
  },
  now: Date,
): SafetyRecord {
  const rules = ruleSetOf(input.ruleSet);
  const valid = input.readings.filter(
    (reading) => reading.struckAt === null && reading.kind === input.kind,
  );
  const numbers = [...new Set(valid.map((reading) => reading.round))].sort((a, b) => a - b);
  return {
    siteId: input.siteId,
    rules,
    kind: input.kind,
    course: input.course,
    rounds: numbers.map((round) => {
      const readings = valid.filter((reading) => reading.round === round);
      return {
        kind: input.kind,
        round,
        readings,
        judgement: judgeRound(rules, input.kind, input.course, readings, now),
      };
    }),
    struck: input.readings.filter((reading) => reading.struckAt !== null),
    breaches: input.breaches,
    corrections: correctionsFor(input.kind, rules),
    notice: SAFETY_NOTICE,
  };
}

/** The round new readings belong to: one more once the food was heated or chilled anew. */
export function currentRound(
  breaches: readonly Breach[],
  rules: RuleSet,
  kind: BreachKind,
): number {
  const anew = new Set(
    correctionsFor(kind, rules)
      .filter((choice) => choice.beginsAnew)
      .map((choice) => choice.id),
  );
  return (
    1 +
    breaches.filter((b) => b.kind === kind && b.correction !== null && anew.has(b.correction))
      .length
  );
}
