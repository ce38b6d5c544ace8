/** What the forecast of a service is worked out from, as rows. */
export interface SeriesRows {
  readonly snapshots: readonly {
    readonly id: string;
    readonly serviceId: string;
    readonly serviceDate: string;
    readonly takenAt: Date;
    readonly booked: number;
    readonly cancelled: number | null;
  }[];
  readonly outcomes: readonly {
    readonly serviceId: string;
    readonly serviceDate: string;
    readonly covers: number;
    readonly walkIns: number | null;
    readonly noShows: number | null;
    readonly cancelled: number | null;
    readonly closed: boolean;
    readonly note: string | null;
  }[];
  readonly events: readonly {
    readonly id: string;
    readonly serviceId: string;
    readonly serviceDate: string;
    readonly kind: string;
    readonly factor: number | null;
    readonly covers: number | null;
    readonly reason: string;
    /** When it was said. */
    readonly createdAt: Date;
  }[];
  readonly stated: readonly {
    readonly serviceId: string;
    readonly weekday: number;
    readonly covers: number;
  }[];
}

/** A party that ordered beforehand or eats a set menu: its guests choose nothing any more. */
export interface PreOrderRow {
  readonly id: string;
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly party: string;
  readonly covers: number;
  readonly lines: readonly { readonly dishId: string; readonly portions: number }[];
}

/** What was sold of each dish. */
export interface SaleRow {
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly dishId: string;
  readonly portions: number;
  readonly soldOut: boolean;
}
