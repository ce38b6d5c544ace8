/** A dish on the menu and what the lead expects of it. */
export interface StatedShare {
  readonly dishId: string;
  /** Portions per cover: 0.3 = three guests in ten order it. May be above 1. */
  readonly share: number;
  /** How sure that is: the number of covers' experience it is worth. */
  readonly strength: number;
  /** Dishes of one course compete for the same guests; absent: it competes with none. */
  readonly course?: string;
}

/** What one past service sold. */
export interface ServiceSales {
  readonly serviceDate: string;
  /** 1 Monday … 7 Sunday. */
  readonly weekday: 1 | 2 | 3 | 4 | 5 | 6 | 7;
  /** Covers that could choose, without those on set menus or pre-orders. */
  readonly covers: number;
  /** Portions by dish on the menu that day; a dish without an entry was not on the menu. */
  readonly portions: Readonly<Record<string, number>>;
  /** Dishes that ran out: their portions say "at least so many". */
  readonly soldOut?: readonly string[];
}

export interface DishSharesInput {
  readonly prior: readonly StatedShare[];
  readonly sales: readonly ServiceSales[];
  /** Part of a service's weight that is left one service later (0 < value ≤ 1, default 0.98). */
  readonly forgetting?: number;
  /** Covers of all-weekday experience that one weekday's share starts from (default 150). */
  readonly weekdayStrength?: number;
}

/** What is known of a dish's share. */
export interface ShareEstimate {
  /** Portions per cover, mean. */
  readonly mean: number;
  /** How sure: covers' experience behind it. */
  readonly strength: number;
}

export interface DishShare extends ShareEstimate {
  readonly dishId: string;
  /** Relative variance of the share from day to day beyond chance. */
  readonly dayVariation: number;
  /** By weekday, 1 Monday … 7 Sunday. */
  readonly byWeekday: Readonly<Record<1 | 2 | 3 | 4 | 5 | 6 | 7, ShareEstimate>>;
  readonly servicesSeen: number;
  /** Services on which it ran out: counted as "at least". */
  readonly servicesSoldOut: number;
  /** Σ value × factor = mean: the stated share and what sales showed. */
  readonly terms: readonly {
    readonly label: string;
    readonly value: number;
    readonly factor: number;
  }[];
}
