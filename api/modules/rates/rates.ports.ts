import type { AuditTrail } from '../platform/index.ts';

/** A rate a person entered: one unit of `from` buys `rate` units of `to`, from the date on. */
export interface RateInput {
  readonly from: string;
  readonly to: string;
  readonly validFrom: string;
  /** Decimal text above zero. */
  readonly rate: string;
}
export interface Rate extends RateInput {
  readonly id: string;
  readonly enteredBy: string;
}

export interface RatesRepository {
  /** Newest first. */
  all(): Promise<readonly Rate[]>;
  insert(id: string, input: RateInput, enteredBy: string): Promise<Rate>;
  delete(id: string): Promise<boolean>;
}

export interface RatesWork {
  readonly rates: RatesRepository;
  readonly audit: AuditTrail;
}
