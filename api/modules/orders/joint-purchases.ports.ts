import type { CentralProductionRepository } from '../central-production/index.ts';

/** A dated need at the other end of a carry, base units. */
export interface CarryUse {
  readonly needDate: string;
  readonly quantity: number;
  readonly certain: number;
}

export const CARRY_STATES = ['planned', 'carried', 'dropped'] as const;

/** Goods of an ingredient that one site buys for another and that go on with a trip. */
export interface GoodsCarry {
  readonly id: string;
  readonly jointPurchaseId: string;
  readonly fromSiteId: string;
  readonly toSiteId: string;
  readonly ingredientId: string;
  /** The date the trip leaves. */
  readonly tripDate: string;
  /** First day the goods can be used at the other end. */
  readonly usableFrom: string;
  readonly useBy: string | null;
  /** Base units: the sum of its uses. */
  readonly quantity: number;
  readonly uses: readonly CarryUse[];
  readonly status: (typeof CARRY_STATES)[number];
  readonly carried: {
    readonly quantity: number;
    readonly celsius: number | null;
    readonly by: string;
    readonly at: string;
  } | null;
  readonly reason: string | null;
  readonly rev: number;
}

/** One order of one of the two ways of buying. Amounts are decimal texts. */
export interface JointOrder {
  readonly siteId: string;
  readonly supplierId: string;
  readonly deliveryDate: string;
  readonly goods: string;
  readonly deliveryCharge: string;
  readonly lines: readonly {
    readonly packId: string;
    readonly ingredientId: string;
    readonly packs: number;
    /** What each site gets of the line, base units. */
    readonly sites: readonly { readonly siteId: string; readonly quantity: number }[];
  }[];
}

export interface JointPlans {
  readonly separate: readonly JointOrder[];
  readonly together: readonly JointOrder[];
  readonly carries: readonly (Omit<
    GoodsCarry,
    'id' | 'jointPurchaseId' | 'status' | 'carried' | 'reason' | 'rev'
  > & { readonly tripCost: string })[];
}

export interface JointPurchase {
  readonly id: string;
  readonly siteIds: readonly string[];
  readonly currency: string;
  readonly days: number;
  readonly status: 'proposed' | 'accepted' | 'declined';
  readonly choice: 'separate' | 'together';
  /** What is paid either way, trips included: decimal texts. */
  readonly separateCost: string;
  readonly togetherCost: string;
  readonly saving: string;
  /** The plan and the orders of each site that it was worked out from. */
  readonly inputs: readonly {
    readonly siteId: string;
    readonly planId: string;
    readonly orders: readonly string[];
  }[];
  readonly plans: JointPlans;
  readonly workedOutAt: Date;
  readonly workedOutBy: string;
  readonly decidedAt: Date | null;
  readonly decidedBy: string | null;
  readonly reason: string | null;
  readonly rev: number;
}

export interface JointPurchasesRepository {
  /** The latest first. */
  latest(limit: number): Promise<readonly JointPurchase[]>;
  find(id: string): Promise<JointPurchase | null>;
  insert(purchase: JointPurchase): Promise<void>;
  /** @returns false when the revision is not current or it was decided already */
  decide(
    id: string,
    rev: number,
    decision: Pick<JointPurchase, 'status' | 'decidedAt' | 'decidedBy' | 'reason'>,
  ): Promise<boolean>;

  /** Carries from or to any of the sites, the next trip first. */
  carries(filter: {
    readonly siteIds: 'all' | readonly string[];
    readonly statuses?: readonly GoodsCarry['status'][];
    readonly purchaseId?: string;
  }): Promise<readonly GoodsCarry[]>;
  findCarry(id: string): Promise<GoodsCarry | null>;
  insertCarries(carries: readonly GoodsCarry[]): Promise<void>;
  /** @returns false when it is not as it was read any more */
  changeCarry(
    id: string,
    rev: number,
    change: Partial<Pick<GoodsCarry, 'quantity' | 'uses' | 'status' | 'carried' | 'reason'>>,
  ): Promise<boolean>;
}

/** The ways between sites and what goes on them already, for whoever carries goods on. */
export type WaysRead = Pick<CentralProductionRepository, 'routes' | 'leaving'>;
