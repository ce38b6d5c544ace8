import { addDays, MIN_PER_DAY, serviceDateOf, serviceInstant } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { practice, SAFETY_NOTICE, type Grounds } from './grounds.ts';
import type { RuleSet } from './rule-sets.ts';
import { limitText } from './temperature.ts';

export type Storage = 'chilled' | 'frozen' | 'ambient';

/** Something that went in, with its own use-by. */
export interface InputUseBy {
  readonly name: string;
  readonly lotId: string;
  readonly useByMin: number;
}

export interface UseByInput {
  /** When it was really made, absolute minutes. */
  readonly madeAtMin: number;
  /** How long the recipe says it keeps, minutes. */
  readonly shelfLifeMin: number;
  readonly storage: Storage;
  readonly rules: RuleSet;
  /** IANA zone of the site: days of the rule set are its days. */
  readonly zone: string;
  readonly inputs: readonly InputUseBy[];
  /** Baked or cooked after everything went in: then the inputs' dates no longer bind. */
  readonly cookedAfter: boolean;
}

/** One bound of a use-by. */
export interface UseByReason {
  readonly kind: 'shelf-life' | 'rule-set' | 'input' | 'transfer';
  readonly atMin: number;
  readonly text: string;
  readonly lotId: string | null;
  readonly grounds: Grounds | null;
}

export interface UseBy {
  readonly useByMin: number;
  /** Every bound, the earliest first: the first one decides. */
  readonly reasons: readonly UseByReason[];
  readonly notice: string;
}

/**
 * The use-by of what was made: the earliest of the recipe's shelf life, the last day the rule set
 * allows for chilled food, and the use-by of what went in uncooked.
 *
 * Source of the days: FDA Food Code 3-501.17 for the US; that the earliest input governs is
 * 3-501.17(D) and common practice elsewhere.
 *
 * @returns error `out-of-range` for a shelf life of nothing, `invalid-zone`
 */
export function useByOf(input: UseByInput): Result<UseBy> {
  const { madeAtMin, shelfLifeMin } = input;
  if (!(shelfLifeMin > 0)) {
    return err(
      coreError('out-of-range', 'The recipe says that it keeps for no time at all.', {
        path: ['shelfLifeMin'],
        detail: { shelfLifeMin },
      }),
    );
  }
  const reasons: UseByReason[] = [
    {
      kind: 'shelf-life',
      atMin: madeAtMin + shelfLifeMin,
      text: `The recipe keeps for ${keepsText(shelfLifeMin)}.`,
      lotId: null,
      grounds: null,
    },
  ];
  const cap = ruleSetReasons(input);
  if (!cap.ok) return cap;
  reasons.push(...cap.value);
  if (!input.cookedAfter) {
    for (const { name, lotId, useByMin } of input.inputs) {
      reasons.push({
        kind: 'input',
        atMin: useByMin,
        text: `${name} went in and has its own use-by.`,
        lotId,
        grounds: practice(),
      });
    }
  }
  reasons.sort((a, b) => a.atMin - b.atMin);
  return ok({ useByMin: reasons[0]?.atMin ?? madeAtMin, reasons, notice: SAFETY_NOTICE });
}

/** What the rule set says of the use-by of chilled food: the end of the last day it permits. */
export function ruleSetReasons({
  madeAtMin,
  storage,
  rules,
  zone,
}: Pick<UseByInput, 'madeAtMin' | 'storage' | 'rules' | 'zone'>): Result<readonly UseByReason[]> {
  if (rules.dateCap === null || storage !== 'chilled') return ok([]);
  const { days, heldAtMost, grounds } = rules.dateCap;
  const madeOn = serviceDateOf(madeAtMin, zone);
  if (!madeOn.ok) return madeOn;
  const last = serviceInstant(addDays(madeOn.value, days - 1), '24:00', zone);
  if (!last.ok) return last;
  return ok([
    {
      kind: 'rule-set',
      atMin: last.value,
      text: `At most ${days} days at ${limitText(heldAtMost)} or colder, the day of making counted.`,
      lotId: null,
      grounds,
    },
  ]);
}

/**
 * The shelf life a plan may count on before anything is made: the rule set's days less the day of
 * making, which may be nearly over. Minutes.
 */
export function plannedShelfLifeMin(
  shelfLifeMin: number,
  storage: Storage,
  rules: RuleSet,
): number {
  if (rules.dateCap === null || storage !== 'chilled') return shelfLifeMin;
  return Math.min(shelfLifeMin, (rules.dateCap.days - 1) * MIN_PER_DAY);
}

/** '3 days', '6 h' or '90 min'. */
export function keepsText(minutes: number): string {
  if (minutes % MIN_PER_DAY === 0) {
    const days = minutes / MIN_PER_DAY;
    return days === 1 ? '1 day' : `${days} days`;
  }
  const hours = minutes / 60;
  return Number.isInteger(hours) ? `${hours} h` : `${minutes} min`;
}
