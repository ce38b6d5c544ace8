import { ok, type Result } from '../shared/result.ts';
import { checkReadings, lengthText, type TemperatureReading } from './cooling.ts';
import type { HoldingLimit } from './rule-sets.ts';
import { limitText, lowerBoundC, upperBoundC } from './temperature.ts';

/** A stretch outside the limit, as long as the readings allow it to have been. */
export interface Excursion {
  readonly fromMin: number;
  readonly toMin: number;
  /** The worst reading in it, degC. */
  readonly worstCelsius: number;
  /** Whether a later reading shows it over. */
  readonly over: boolean;
}

export interface HoldingJudgement {
  /** `tolerated`: outside, once, for less than the rule forgives. */
  readonly verdict: 'no-readings' | 'within' | 'tolerated' | 'breach';
  readonly excursions: readonly Excursion[];
  readonly message: string;
}

/**
 * Judges readings of food held cold or hot. A stretch outside the limit lasts from the last reading
 * inside before it to the first reading inside after it, or to now while none shows it over.
 *
 * @param nowMin the service's own clock, absolute minutes
 * @returns error `out-of-range` for a reading that is no number or lies after `nowMin`
 */
export function judgeHolding(
  kind: 'cold' | 'hot',
  rule: HoldingLimit,
  given: readonly TemperatureReading[],
  nowMin: number,
): Result<HoldingJudgement> {
  const checked = checkReadings(given, nowMin);
  if (!checked.ok) return checked;
  const readings = checked.value;
  if (readings.length === 0) {
    return ok({ verdict: 'no-readings', excursions: [], message: 'No temperature taken yet.' });
  }
  const isOut = ({ celsius }: TemperatureReading): boolean =>
    kind === 'cold' ? celsius > upperBoundC(rule.limit) : celsius < lowerBoundC(rule.limit);
  const excursions = stretches(readings, isOut, kind, nowMin);
  const bound = `${limitText(rule.limit)} or ${kind === 'cold' ? 'colder' : 'hotter'}`;
  const [only] = excursions;
  if (!only) return ok({ verdict: 'within', excursions, message: `Held at ${bound}.` });
  const lasted = excursions.map(({ fromMin, toMin }) => lengthText(toMin - fromMin)).join(' and ');
  const { tolerance } = rule;
  if (
    tolerance !== null &&
    excursions.length === 1 &&
    only.toMin - only.fromMin < tolerance.lessThanMin
  ) {
    const most = lengthText(tolerance.lessThanMin);
    return ok({
      verdict: 'tolerated',
      excursions,
      message: `Not held at ${bound} for up to ${lasted}. Less than ${most}, once, is forgiven for service or display; it must not happen to this food again.`,
    });
  }
  return ok({
    verdict: 'breach',
    excursions,
    message: `Not held at ${bound} for up to ${lasted}.`,
  });
}

function stretches(
  readings: readonly TemperatureReading[],
  isOut: (reading: TemperatureReading) => boolean,
  kind: 'cold' | 'hot',
  nowMin: number,
): readonly Excursion[] {
  const worse = kind === 'cold' ? Math.max : Math.min;
  const found: Excursion[] = [];
  let lastInside: number | null = null;
  let before: TemperatureReading | null = null;
  for (const reading of readings) {
    const { atMin, celsius } = reading;
    const last = found.at(-1);
    const goesOn = last !== undefined && before !== null && isOut(before);
    if (isOut(reading)) {
      const fromMin: number = goesOn ? last.fromMin : (lastInside ?? atMin);
      const worstCelsius = goesOn ? worse(last.worstCelsius, celsius) : celsius;
      if (goesOn) found.pop();
      found.push({ fromMin, toMin: nowMin, worstCelsius, over: false });
    } else {
      if (goesOn) found.splice(-1, 1, { ...last, toMin: atMin, over: true });
      lastInside = atMin;
    }
    before = reading;
  }
  return found;
}
