import type { Amount, Money } from './types.ts';

// The orders part of the contract, until the committed OpenAPI document carries it.

interface Named {
  readonly id: string;
  readonly name: string;
}

export interface OrderHeader {
  readonly id: string;
  readonly number: number | null;
  readonly supplier: Named;
  readonly site: Named;
  readonly deliveryDate: string;
  readonly cutoffAt: string;
  readonly status: string;
  readonly total: Money;
  readonly lineCount: number;
  readonly method: string | null;
  readonly gap: number | null;
  readonly notes: readonly string[];
  readonly rev: number;
}

export interface OrderLine {
  readonly id: string;
  readonly pack: Named & {
    readonly sku: string | null;
    readonly gtin: string | null;
    readonly quantity: Amount;
  };
  readonly ingredient: Named;
  readonly proposedPacks: number;
  readonly packs: number;
  readonly changedByHand: boolean;
  readonly unitPrice: Money;
  readonly lineTotal: Money;
  readonly need: Amount;
  readonly certain: Amount;
  readonly surplus: Amount;
  readonly receivedPacks: number;
  readonly note: string | null;
  readonly explained: boolean;
}

export interface Order extends OrderHeader {
  readonly lines: readonly OrderLine[];
}

export interface Shortfall {
  readonly site: Named;
  readonly ingredient: Named;
  readonly amount: Amount;
  readonly needDate: string;
  readonly reason: string;
  readonly message: string;
}

export interface OrderRun {
  readonly orders: readonly OrderHeader[];
  readonly shortfalls: readonly Shortfall[];
}

export interface OrderPage {
  readonly items: readonly OrderHeader[];
  readonly nextCursor?: string;
}
