import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { SitePlanInput } from './plan-input.ts';

/**
 * What could mend a shortage or a tight run. Shelf life is never among them: it is set for safety.
 * `start-earlier`: the kitchen is open longer; `even-chance`: dishes that need it are planned to last
 * every second time only; `cut-the-par`: so is what somebody asked to have there; `another-dish`: one
 * dish is off the menu that day.
 */
export type RemedyKind =
  | 'one-more-pair-of-hands'
  | 'start-earlier'
  | 'borrow-equipment'
  | 'even-chance'
  | 'cut-the-par'
  | 'another-dish';

/** A way to mend, and the site as it would then be planned. */
export interface Remedy {
  readonly kind: RemedyKind;
  /** The equipment to borrow, where it is that. */
  readonly equipmentKind?: string;
  /** The dish that comes off the menu, where it is that. */
  readonly dishId?: string;
  readonly input: SitePlanInput;
}

/** The shortage or tight run to mend; `atMin` is when it is needed. */
export interface Missing {
  readonly itemId: string;
  readonly serviceDate: ServiceDate;
  readonly atMin: EpochMin;
}
