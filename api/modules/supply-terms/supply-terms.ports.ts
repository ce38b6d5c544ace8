import type { IngredientsRepository } from '../ingredients/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { SuppliersRepository } from '../suppliers/index.ts';

/** `withdrawn`: the supplier has given it up; `out-of-stock`: it comes back, perhaps on a known day. */
export const GAP_KINDS = ['out-of-stock', 'withdrawn'] as const;
export type GapKind = (typeof GAP_KINDS)[number];

/** Delivery dates on which a supplier cannot give something, first and last included. */
export interface SupplyGapInput {
  /** One pack; without it any pack of the ingredient; without either anything. */
  readonly packId: string | null;
  readonly ingredientId: string | null;
  readonly kind: GapKind;
  readonly fromDate: string;
  /** Null: until further notice. */
  readonly toDate: string | null;
  readonly note: string | null;
}
export interface SupplyGap extends SupplyGapInput {
  readonly id: string;
  readonly supplierId: string;
  readonly enteredBy: string;
  readonly rev: number;
}

/** Which supplier a site must buy from, for delivery dates from the first to the last, both included. */
export interface ContractInput {
  readonly siteId: string;
  readonly supplierId: string;
  /** One ingredient; or all of a category; without either everything. */
  readonly ingredientId: string | null;
  readonly category: string | null;
  readonly fromDate: string;
  readonly toDate: string | null;
  readonly note: string | null;
}
export interface Contract extends ContractInput {
  readonly id: string;
  readonly enteredBy: string;
  readonly rev: number;
}

/** What may stand in for an ingredient: `ratio` base units of it, prepared, for one of the original. */
export interface Substitute {
  readonly ingredientId: string;
  readonly substituteId: string;
  readonly ratio: number;
  readonly note: string | null;
  readonly enteredBy: string;
  readonly rev: number;
}

export interface ContractFilter {
  readonly siteIds: 'all' | readonly string[];
  readonly supplierId?: string;
}

export interface SupplyTermsRepository {
  /** Gaps that are not over before `from`; of all suppliers where none is named. */
  gaps(filter: {
    readonly from?: string;
    readonly supplierId?: string;
  }): Promise<readonly SupplyGap[]>;
  findGap(id: string): Promise<SupplyGap | null>;
  insertGap(gap: SupplyGap): Promise<void>;
  /** @returns false when the revision is not current */
  updateGap(id: string, input: SupplyGapInput, rev: number): Promise<boolean>;
  removeGap(id: string): Promise<boolean>;

  contracts(filter: ContractFilter): Promise<readonly Contract[]>;
  findContract(id: string): Promise<Contract | null>;
  insertContract(contract: Contract): Promise<void>;
  updateContract(id: string, input: ContractInput, rev: number): Promise<boolean>;
  removeContract(id: string): Promise<boolean>;

  substitutesOf(ingredientIds: readonly string[]): Promise<readonly Substitute[]>;
  /** Puts it in the place of what stood for the two ingredients. */
  putSubstitute(id: string, input: Omit<Substitute, 'rev'>): Promise<void>;
  removeSubstitute(ingredientId: string, substituteId: string): Promise<boolean>;
}

/** The repositories these services work with, inside one transaction. */
export interface SupplyTermsWork {
  readonly supplyTerms: SupplyTermsRepository;
  readonly suppliers: SuppliersRepository;
  readonly ingredients: IngredientsRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
