/**
 * How a figure follows from its inputs. The set is closed: each name has one evaluator in
 * `formulas.ts`, and the builder uses the same evaluator to work the figure out, so a figure and
 * its explanation cannot differ. A "term" is `factor × value of the input` (factor 1 when absent).
 *
 * | formula | value | parameters |
 * |---|---|---|
 * | given | a leaf: the value itself | – |
 * | weighted-sum | sum of the terms | – |
 * | product | product of the terms | – |
 * | quotient | first term ÷ second term | – |
 * | maximum, minimum | largest, smallest term | – |
 * | not-below-zero | sum of the terms, or 0 when that is negative | – |
 * | round-up-to-multiple | sum of the terms up to a whole number of multiples | multiple; minimum (optional) |
 * | round-to-step | sum of the terms to the nearest step, halves away from zero | step |
 * | clamp | sum of the terms kept inside the bounds given | lower, upper (either may be absent) |
 * | distribution-quantile | smallest count whose chance of covering demand is `level` | distribution, level, size |
 * | compound-quantile | smallest number of portions that is enough with chance `level`, when covers are a count and each orders the share | level, perCover and the covers (`coversParameters`) |
 */
export type FormulaName =
  | 'given'
  | 'weighted-sum'
  | 'product'
  | 'quotient'
  | 'maximum'
  | 'minimum'
  | 'not-below-zero'
  | 'round-up-to-multiple'
  | 'round-to-step'
  | 'clamp'
  | 'distribution-quantile'
  | 'compound-quantile';

/** One use of another node: its value is taken `factor` times (1 when absent). */
export interface ExplanationInput {
  readonly nodeId: string;
  readonly factor?: number;
  /** What the input is to this figure: 'mean', 'stock', 'trim'; formulas with named inputs need it. */
  readonly role?: string;
}

/** Where a figure comes from in the records: a covers snapshot, a recipe line, a stock count. */
export interface ExplanationSource {
  readonly kind: string;
  readonly id: string;
  readonly note?: string;
}

/** One figure: plain JSON, safe to store and send. */
export interface ExplanationNode {
  readonly id: string;
  /** What the figure is, in plain English for a chef. */
  readonly label: string;
  readonly value: number;
  /** 'g', 'ml', 'each', 'covers', 'portions', 'batches', 'packs', 'fraction' and the like. */
  readonly unit: string;
  readonly formula: FormulaName;
  readonly inputs: readonly ExplanationInput[];
  readonly parameters?: Readonly<Record<string, number | string>>;
  readonly source?: ExplanationSource;
}

/** Nodes in an order in which every input stands before its user. Plain JSON. */
export interface ExplanationGraph {
  readonly nodes: readonly ExplanationNode[];
}
