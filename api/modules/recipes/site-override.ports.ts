/** What one site may do otherwise: of a line its ingredient or yield, of a step its oven or its times. */
export const OVERRIDE_KINDS = ['ingredient', 'yield', 'temperature', 'time'] as const;
export type OverrideKind = (typeof OVERRIDE_KINDS)[number];
/** A waiting one adds an allergen and holds nowhere until a second person confirms it. */
export type OverrideStatus = 'waiting' | 'standing' | 'refused';

/** What one site does otherwise than the group's recipe, on service dates from a first to a last. */
export interface SiteOverride {
  readonly id: string;
  readonly siteId: string;
  readonly recipeId: string;
  readonly what: OverrideKind;
  /** Finds the line or step again in another version (`lineKeys`, `stepKeys`). */
  readonly targetKey: string;
  /** 'Whipping cream', 'Step 3: Bake blind'. */
  readonly label: string;
  readonly ingredientId: string | null;
  readonly trimYield: number | null;
  readonly cookingYield: number | null;
  readonly temperatureC: number | null;
  readonly workingMin: number | null;
  readonly waitingMin: number | null;
  readonly fromDate: string;
  /** First service date on which it holds no more; null while nobody has ended it. */
  readonly endsBefore: string | null;
  readonly reason: string;
  readonly status: OverrideStatus;
  /** What it adds to dishes of the site: why a second person is asked. */
  readonly allergens: readonly string[];
  readonly enteredBy: string;
  readonly enteredAt: Date;
  readonly confirmedBy: string | null;
  readonly confirmedAt: Date | null;
  readonly endedBy: string | null;
  readonly endReason: string | null;
  readonly rev: number;
}

/** What everybody who works a recipe out for a site reads. */
export interface SiteOverridesRead {
  /** Of one site, or of every site; oldest first. */
  standing(siteId?: string): Promise<readonly SiteOverride[]>;
}

export interface SiteOverridesRepository extends SiteOverridesRead {
  insert(override: SiteOverride): Promise<void>;
  find(id: string): Promise<SiteOverride | null>;
  /** Of a site, of a recipe, or both; newest first. */
  list(of: {
    readonly siteId?: string;
    readonly recipeId?: string;
  }): Promise<readonly SiteOverride[]>;
  /** @returns null when the revision is not current */
  change(
    id: string,
    change: Partial<
      Pick<
        SiteOverride,
        | 'status'
        | 'fromDate'
        | 'endsBefore'
        | 'confirmedBy'
        | 'confirmedAt'
        | 'endedBy'
        | 'endReason'
      >
    >,
    rev: number,
  ): Promise<SiteOverride | null>;
}
