import { contentId } from './content-id.ts';
import type {
  ExplanationGraph,
  ExplanationInput,
  ExplanationNode,
  ExplanationSource,
  FormulaName,
} from './explanation-node.ts';
import type { EvaluationOptions } from './formulas.ts';
import { applyFormula } from './formulas.ts';

/** A leaf to add: a figure taken from the records. */
export interface GivenFigure {
  /** Chosen by the caller, or worked out from the content when absent. */
  readonly id?: string;
  readonly label: string;
  readonly value: number;
  readonly unit: string;
  readonly source?: ExplanationSource;
}

/** A figure to work out from nodes already in the builder. */
export interface DerivedFigure {
  readonly id?: string;
  readonly label: string;
  readonly unit: string;
  readonly formula: Exclude<FormulaName, 'given'>;
  readonly inputs: readonly ExplanationInput[];
  readonly parameters?: Readonly<Record<string, number | string>>;
  readonly source?: ExplanationSource;
}

/**
 * Append-only: adds figures and works out their values with the evaluators that `evaluate` uses.
 * Inputs must be there before their user, so a graph built here has no cycle and stands in order.
 * Adding the same node again returns the same id; another node under a used id is a mistake of the
 * caller and throws, as does a formula that cannot be worked out.
 */
export class ExplanationBuilder {
  readonly #nodes = new Map<string, ExplanationNode>();
  readonly #options: EvaluationOptions;

  constructor(options: EvaluationOptions = {}) {
    this.#options = options;
  }

  /**
   * Adds a leaf.
   * @returns its id
   * @throws Error on a value that is not finite, or an id used for another node
   */
  given(figure: GivenFigure): string {
    if (!Number.isFinite(figure.value)) {
      throw new Error(`"${figure.label}" is not a finite number.`);
    }
    return this.#append({ ...figure, formula: 'given', inputs: [] });
  }

  /**
   * Works a figure out and adds it.
   * @returns its id
   * @throws Error on an unknown input, a formula that cannot be worked out, or an id used for another node
   */
  add(figure: DerivedFigure): string {
    const values = figure.inputs.map((input) => this.value(input.nodeId));
    const result = applyFormula(
      {
        formula: figure.formula,
        inputs: figure.inputs,
        values,
        parameters: figure.parameters ?? {},
      },
      this.#options,
    );
    if (!result.ok) throw new Error(`"${figure.label}": ${result.error.message}`);
    return this.#append({ ...figure, value: result.value });
  }

  /** Takes figures over that another builder has worked out, in their order. @throws Error as `add` */
  adopt(graph: ExplanationGraph): void {
    for (const node of graph.nodes) this.#append(node);
  }

  /** The node's value. @throws Error when there is no such node */
  value(nodeId: string): number {
    return this.node(nodeId).value;
  }

  /** The node. @throws Error when there is no such node */
  node(nodeId: string): ExplanationNode {
    const node = this.#nodes.get(nodeId);
    if (node === undefined) throw new Error(`There is no explanation node ${nodeId}.`);
    return node;
  }

  has(nodeId: string): boolean {
    return this.#nodes.has(nodeId);
  }

  get size(): number {
    return this.#nodes.size;
  }

  /** Everything so far, as plain JSON. */
  graph(): ExplanationGraph {
    return { nodes: [...this.#nodes.values()] };
  }

  #append(content: Omit<ExplanationNode, 'id'> & { readonly id?: string }): string {
    const { id: chosen, ...rest } = content;
    if (chosen !== undefined) {
      const present = this.#nodes.get(chosen);
      if (present === undefined) this.#nodes.set(chosen, { id: chosen, ...rest });
      else if (!sameContent(present, rest)) throw new Error(`Node ${chosen} is already in use.`);
      return chosen;
    }
    const stem = contentId(contentKey(rest));
    for (let attempt = 0; ; attempt += 1) {
      const id = attempt === 0 ? stem : `${stem}-${attempt}`;
      const present = this.#nodes.get(id);
      if (present === undefined) {
        this.#nodes.set(id, { id, ...rest });
        return id;
      }
      if (sameContent(present, rest)) return id;
    }
  }
}

function sameContent(present: ExplanationNode, content: Omit<ExplanationNode, 'id'>): boolean {
  return contentKey(present) === contentKey(content);
}

/** One text per content, whatever the order in which the caller wrote the keys. */
function contentKey(content: Omit<ExplanationNode, 'id'>): string {
  const parameters = Object.entries(content.parameters ?? {}).sort(([a], [b]) => (a < b ? -1 : 1));
  return JSON.stringify([
    content.label,
    content.value,
    content.unit,
    content.formula,
    content.inputs.map((input) => [input.nodeId, input.factor ?? 1, input.role ?? '']),
    parameters,
    content.source ? [content.source.kind, content.source.id, content.source.note ?? ''] : [],
  ]);
}
