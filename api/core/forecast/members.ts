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
export const MEMBER_COUNT = 4;

/** The members' forecasts of one service, and the factors they are made of. Filled in place. */
export interface MemberForecasts {
  /** Covers, in the order of MEMBERS; −1 where one could not be made. */
  readonly values: Float64Array;
  /** Additive pickup: covers still to come. */
  pickup: number;
  /** Multiplicative pickup: final covers per cover booked; 0 where it could not be made. */
  ratio: number;
}

/** Bookings usual below this many covers make the ratio of the multiplicative pickup meaningless. */
export const LEAST_USUAL_BOOKED = 0.5;
/** A ratio above this says more about an empty book than about the service. */
export const MOST_RATIO = 12;

export function emptyMembers(): MemberForecasts {
  return { values: new Float64Array(MEMBER_COUNT), pickup: 0, ratio: 0 };
}

/**
 * Fills `out` with the forecasts of one service from its usual level (covers), its bookings (−1
 * where unknown) and the usual curve:
 * - level: the usual level itself
 * - additive pickup: booked × kept + pickup, pickup = (usual final − kept × usual booked) × level
 * - multiplicative pickup: booked × (usual final ÷ usual booked)
 * - curve: usual final + slope × (booked − usual booked)
 */
export function memberForecasts(
  level: number,
  booked: number,
  kept: number,
  curve: CurvePoint,
  out: MemberForecasts,
): void {
  const { values } = out;
  values[0] = level;
  if (!curve.known || booked < 0) {
    values[1] = -1;
    values[2] = -1;
    values[3] = -1;
    out.pickup = 0;
    out.ratio = 0;
    return;
  }
  out.pickup = (curve.finalFraction - kept * curve.bookedFraction) * level;
  const usualBooked = curve.bookedFraction * level;
  const usable =
    usualBooked >= LEAST_USUAL_BOOKED && curve.finalFraction <= MOST_RATIO * curve.bookedFraction;
  out.ratio = usable ? curve.finalFraction / curve.bookedFraction : 0;
  values[1] = Math.max(0, booked * kept + out.pickup);
  values[2] = usable ? booked * out.ratio : -1;
  values[3] = Math.max(0, curve.finalFraction * level + curve.slope * (booked - usualBooked));
}
