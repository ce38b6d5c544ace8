import type { YieldKind } from '../../core/yields/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { RecipesRepository } from '../recipes/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** What was weighed: a line before and after its preparation, a whole step, or the batch made. */
export const YIELD_TARGETS = ['line', 'step', 'batch'] as const;
export type YieldTarget = (typeof YIELD_TARGETS)[number];
/** A batch is weighed against what the version says it gives. */
export type MeasuredKind = YieldKind | 'batch';
export type MeasuredStatus = 'recorded' | 'accepted' | 'rejected' | 'withdrawn';

/** A weighing as a cook reports it. */
export interface WeighingInput {
  readonly versionId: string;
  readonly target: YieldTarget;
  readonly lineId: string | null;
  readonly stepId: string | null;
  readonly kind: MeasuredKind;
  /** Left out for a batch: `batches` as written stand for it. */
  readonly before: { readonly value: number; readonly unit: string } | null;
  readonly after: { readonly value: number; readonly unit: string };
  readonly batches: number | null;
  /** Service date. */
  readonly measuredOn: string;
  readonly note: string | null;
}

/** A weighing as kept, both amounts in `unit`. */
export interface MeasuredYieldRow {
  readonly id: string;
  readonly siteId: string;
  readonly recipeId: string;
  readonly versionId: string;
  readonly target: YieldTarget;
  /** Finds the line or step again in other versions; a batch belongs to its own version. */
  readonly targetKey: string;
  /** 'Plum', 'Step 2: Boil down', 'The batch'. */
  readonly label: string;
  readonly kind: MeasuredKind;
  readonly before: number;
  readonly after: number;
  readonly unit: string;
  readonly measuredOn: string;
  readonly measuredBy: string;
  readonly recordedBy: string;
  readonly recordedAt: Date;
  readonly note: string | null;
  readonly status: MeasuredStatus;
  readonly decidedBy: string | null;
  readonly decidedAt: Date | null;
  readonly reason: string | null;
  /** The version whose draft took the yield up. */
  readonly acceptedIn: string | null;
  readonly rev: number;
}

/** A change of a weighing's standing. */
export interface Decision {
  readonly status: MeasuredStatus;
  readonly decidedBy: string;
  readonly decidedAt: Date;
  readonly reason: string | null;
  readonly acceptedIn: string | null;
}

export interface MeasuredYieldsRepository {
  insert(row: MeasuredYieldRow): Promise<void>;
  find(id: string): Promise<MeasuredYieldRow | null>;
  /** Oldest first. */
  ofRecipe(recipeId: string): Promise<readonly MeasuredYieldRow[]>;
  /** Newest first. */
  pageOfSite(siteId: string, request: PageRequest): Promise<Page<MeasuredYieldRow>>;
  /** @returns null when the revision is not current */
  decide(id: string, decision: Decision, rev: number): Promise<MeasuredYieldRow | null>;
}

/** The repositories the service works with, inside one transaction. */
export interface MeasuredYieldsWork {
  readonly measuredYields: MeasuredYieldsRepository;
  readonly recipes: RecipesRepository;
  readonly ingredients: IngredientsRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
