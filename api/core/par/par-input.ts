import type { CountDistribution } from '../distributions/index.ts';
import type { Money } from '../money/index.ts';

/** What running out and what throwing away cost, a portion; from the costing. */
export interface PortionCosts {
  /** Cu: margin lost on a portion that was asked for and not there. */
  readonly short: Money;
  /** Co: cost of a portion thrown away. */
  readonly waste: Money;
}

/** How the par is set. */
export type ParPolicy =
  | { readonly kind: 'newsvendor' }
  /** At least this chance of not running out before the next chance to make more. */
  | { readonly kind: 'service-level'; readonly level: number }
  /** A number a person set. */
  | { readonly kind: 'fixed'; readonly quantity: number };

export interface ParInput {
  readonly policy: ParPolicy;
  /**
   * Demand, portions, until more can be ready: review period plus lead time (`demandOver`).
   */
  readonly demand: CountDistribution;
  /**
   * Demand after that while what is left over is still in date; absent: leftover is thrown away.
   */
  readonly laterDemand?: CountDistribution;
  /** Needed by the newsvendor; without it the other policies say nothing of money. */
  readonly costs?: PortionCosts;
}

/** What a stock of a given size is expected to lead to. */
export interface ParOutcome {
  readonly quantity: number;
  readonly chanceEnough: number;
  /** Portions asked for and not there, expected. */
  readonly expectedShortfall: number;
  /** Portions still in date and used later, expected. */
  readonly expectedCarriedOver: number;
  /** Portions thrown away, expected. */
  readonly expectedWaste: number;
  /** Expected cost of running out and of waste; null without costs. */
  readonly expectedCost: Money | null;
}

export interface ParLevel extends ParOutcome {
  readonly policy: ParPolicy['kind'];
  /** Chance of having enough that pays: Cu ÷ (Cu + Co); null without costs. */
  readonly criticalFraction: number | null;
  /** The same with 10% less and 10% more made, and what that would cost over this par. */
  readonly tenPercentLess: ParVariant;
  readonly tenPercentMore: ParVariant;
  readonly parts: {
    readonly meanDemand: number;
    readonly spreadDemand: number;
    /** Portions held above the mean demand. */
    readonly margin: number;
  };
  /** Σ value × factor = quantity. */
  readonly terms: readonly {
    readonly label: string;
    readonly value: number;
    readonly factor: number;
  }[];
}

export interface ParVariant extends ParOutcome {
  /** Expected cost above that of the par (below it: negative); null without costs. */
  readonly extraCost: Money | null;
}
