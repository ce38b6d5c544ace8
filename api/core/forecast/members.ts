import type { CurvePoint } from './pickup-model.ts';

/** The forecasts that are weighed against each other. */
export type ForecastMember = 'level' | 'additive-pickup' | 'multiplicative-pickup' | 'curve';

/** The members in the order their values and weights are kept. */
export const MEMBERS: readonly ForecastMember[] = [
  'level',
  'additive-pickup',
  'multiplicative-pickup',
  'curve',
];

/** The members' forecasts of one service, and the factors they are made of. */
export interface MemberForecasts {
  /** In the order of MEMBERS; undefined where there is no curve or no booking. */
  readonly values: readonly (number | undefined)[];
  /** Additive pickup: covers still to come. */
  readonly pickup: number;
  /** Multiplicative pickup: final covers per cover booked. */
  readonly ratio: number;
}

/** Bookings usual below this many covers make the ratio of the multiplicative pickup meaningless. */
const LEAST_USUAL_BOOKED = 0.5;
/** A ratio above this says more about an empty book than about the service. */
const MOST_RATIO = 12;

/**
 * Forecasts of one service from its usual level (covers), its bookings and the usual curve:
 * - level: the usual level itself
 * - additive pickup: booked × kept + pickup, pickup = (usual final − kept × usual booked) × level
 * - multiplicative pickup: booked × (usual final ÷ usual booked)
 * - curve: usual final + slope × (booked − usual booked)
 */
export function memberForecasts(
  level: number,
  booked: number,
  kept: number,
  curve: CurvePoint | undefined,
): MemberForecasts {
  if (curve === undefined || booked < 0) {
    return { values: [level, undefined, undefined, undefined], pickup: 0, ratio: 0 };
  }
  const pickup = (curve.finalFraction - kept * curve.bookedFraction) * level;
  const usualBooked = curve.bookedFraction * level;
  const ratio = usualBooked > 0 ? curve.finalFraction / curve.bookedFraction : Infinity;
  const usable = usualBooked >= LEAST_USUAL_BOOKED && ratio <= MOST_RATIO;
  return {
    values: [
      level,
      Math.max(0, booked * kept + pickup),
      usable ? booked * ratio : undefined,
      Math.max(0, curve.finalFraction * level + curve.slope * (booked - usualBooked)),
    ],
    pickup,
    ratio: usable ? ratio : 0,
  };
}
