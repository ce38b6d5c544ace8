/** One figure of a balance. Null is not known: what is missing is named, or the reason is given. */
export interface BalanceFigure {
  /** Stable: 'brix', 'freezing-point', 'sugar:dextrose'. */
  readonly id: string;
  readonly label: string;
  /** Rounded to `decimals`, for reading. */
  readonly value: number | null;
  /** UCUM where there is a code; °Bx and °Bé by their signs. */
  readonly unit: string;
  readonly decimals: number;
  readonly method: string;
  /** Names of the ingredients whose make-up is not known. */
  readonly missing: readonly string[];
  readonly reason: string | null;
}

/** What a kind of making is judged by. */
export interface BalanceSection {
  readonly kind: 'syrup' | 'frozen-base' | 'dough';
  /** Which of the recipe's own data this section follows from. */
  readonly because: string;
  readonly figures: readonly BalanceFigure[];
  /** Baker's percentages, for doughs. */
  readonly percentages: readonly {
    readonly itemId: string;
    readonly name: string;
    readonly percent: number;
    readonly isFlour: boolean;
  }[];
  readonly notes: readonly string[];
}

export interface FigureShape {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly decimals: number;
  readonly method: string;
}

/** A figure that is known. The one place where balances are rounded. */
export function known(shape: FigureShape, value: number): BalanceFigure {
  const rounded = Number(value.toFixed(shape.decimals));
  // A rounded −0 would be printed with its sign.
  return { ...shape, value: rounded === 0 ? 0 : rounded, missing: [], reason: null };
}

/** A figure that is not known. */
export function notKnown(
  shape: FigureShape,
  missing: readonly string[],
  reason: string | null = null,
): BalanceFigure {
  return { ...shape, value: null, missing, reason };
}

/** A figure that is known only where nothing is missing. */
export function figureOf(
  shape: FigureShape,
  missing: readonly string[],
  value: () => number,
): BalanceFigure {
  return missing.length > 0 ? notKnown(shape, [...new Set(missing)]) : known(shape, value());
}
