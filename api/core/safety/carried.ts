import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { guidance, SAFETY_NOTICE, type Grounds } from './grounds.ts';
import type { RuleSet } from './rule-sets.ts';
import { limitText, upperBoundC, type TemperatureLimit } from './temperature.ts';
import { keepsText, ruleSetReasons } from './use-by.ts';
import type { Storage, UseBy, UseByReason } from './use-by.ts';

/** How long food keeps once it is carried to another site. */
export interface CarriedKeeping {
  readonly minutes: number;
  /** Counted from when it was made, or from when it arrived. */
  readonly after: 'making' | 'transfer';
}

/** A lot that came from another site of the group. */
export interface CarriedFood {
  readonly madeAtMin: number;
  readonly arrivedAtMin: number;
  /** The use-by it left with. */
  readonly useByMin: number;
  /** The lot it was taken from. */
  readonly lotId: string;
  /** Null: nothing beyond its own use-by. */
  readonly keeping: CarriedKeeping | null;
  readonly storage: Storage;
  /** Of the receiving site, with its zone. */
  readonly rules: RuleSet;
  readonly zone: string;
}

/**
 * The use-by of what came from another site: the earliest of the use-by it left with, what the lead
 * says it keeps once carried, and the last day the receiving site's rule set allows. Never later than
 * the use-by it left with. Error `invalid-zone`.
 */
export function useByOfCarried(food: CarriedFood): Result<UseBy> {
  const { keeping, madeAtMin, arrivedAtMin, useByMin, lotId } = food;
  const reasons: UseByReason[] = [
    { kind: 'input', atMin: useByMin, text: 'It left with this use-by.', lotId, grounds: null },
  ];
  if (keeping !== null) {
    const from = keeping.after === 'making' ? madeAtMin : arrivedAtMin;
    reasons.push({
      kind: 'transfer',
      atMin: from + keeping.minutes,
      text: `Once carried it keeps for ${keepsText(keeping.minutes)} after ${
        keeping.after === 'making' ? 'it was made' : 'it came'
      }.`,
      lotId: null,
      grounds: null,
    });
  }
  const cap = ruleSetReasons(food);
  if (!cap.ok) return cap;
  reasons.push(...cap.value);
  reasons.sort((a, b) => a.atMin - b.atMin);
  return ok({ useByMin: reasons[0]?.atMin ?? useByMin, reasons, notice: SAFETY_NOTICE });
}

/** What a temperature read at the door of a van says of the food. */
export interface CarriedJudgement {
  /** `not-judged`: food that keeps at room temperature has no limit here. */
  readonly verdict: 'within' | 'warm' | 'not-judged';
  readonly limit: TemperatureLimit | null;
  readonly message: string;
  readonly grounds: Grounds | null;
  readonly notice: string;
}

/**
 * How much warmer than -18 degC quick-frozen food may be for short while it is carried.
 * Source: Council Directive 89/108/EEC, articles 4 and 5 (from memory).
 */
const FROZEN: TemperatureLimit = { celsius: -15 };

/**
 * Judges food when it leaves or arrives. What a rule forgives for service or display is not forgiven
 * here: the lot is held, and a lead decides.
 */
export function judgeCarried(celsius: number, storage: Storage, rules: RuleSet): CarriedJudgement {
  if (storage === 'ambient') {
    return {
      verdict: 'not-judged',
      limit: null,
      message: 'It keeps at room temperature: no limit.',
      grounds: null,
      notice: SAFETY_NOTICE,
    };
  }
  const frozen = storage === 'frozen';
  const limit = frozen ? FROZEN : rules.cold.limit;
  const grounds = frozen
    ? guidance(
        'Council Directive 89/108/EEC: -18 °C, up to 3 °C warmer for short while carried (from memory)',
      )
    : rules.cold.grounds;
  const warm = celsius > upperBoundC(limit);
  return {
    verdict: warm ? 'warm' : 'within',
    limit,
    message: warm
      ? `${readable(celsius)} °C when it was carried: ${limitText(limit)} or colder is the limit.`
      : `Carried at ${limitText(limit)} or colder.`,
    grounds,
    notice: SAFETY_NOTICE,
  };
}

function readable(celsius: number): string {
  return String(Math.round(celsius * 10) / 10);
}
