import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { ExplanationGraph, ExplanationNode } from './explanation-node.ts';
import type { EvaluationOptions } from './formulas.ts';
import { applyFormula } from './formulas.ts';

const indexes = new WeakMap<ExplanationGraph, ReadonlyMap<string, ExplanationNode>>();

/** The nodes by id; built once for a graph object. */
export function nodesById(graph: ExplanationGraph): ReadonlyMap<string, ExplanationNode> {
  const known = indexes.get(graph);
  if (known !== undefined) return known;
  const index = new Map(graph.nodes.map((node) => [node.id, node]));
  indexes.set(graph, index);
  return index;
}

/**
 * Works a figure out again from its leaves alone: stored values of derived nodes are not looked at.
 *
 * @returns ok: the value; errors `missing-data` for a node that is not in the graph,
 *          `broken-explanation` for a figure that explains itself or a formula that cannot be worked out
 */
export function evaluate(
  graph: ExplanationGraph,
  nodeId: string,
  options: EvaluationOptions = {},
): Result<number> {
  const values = evaluateEach(graph, [nodeId], options);
  return values.ok ? ok(values.value.get(nodeId) ?? NaN) : values;
}

/**
 * Works several figures out again together, each shared figure once. With `atLeastLevel` this tells
 * what they would be if more of the demand were to be covered. Errors as `evaluate`.
 *
 * @returns the value of every figure the asked ones rest on, by node id
 */
export function evaluateEach(
  graph: ExplanationGraph,
  nodeIds: readonly string[],
  options: EvaluationOptions = {},
): Result<ReadonlyMap<string, number>> {
  const values = new Map<string, number>();
  for (const nodeId of nodeIds) {
    if (values.has(nodeId)) continue;
    const worked = evaluateInto(values, graph, nodeId, options);
    if (!worked.ok) return worked;
  }
  return ok(values);
}

function evaluateInto(
  values: Map<string, number>,
  graph: ExplanationGraph,
  nodeId: string,
  options: EvaluationOptions,
): Result<true> {
  const order = dependencyOrder(graph, nodeId, values);
  if (!order.ok) return order;
  for (const node of order.value) {
    if (node.formula === 'given') {
      if (!Number.isFinite(node.value)) {
        return err(
          coreError('broken-explanation', `"${node.label}" is not a finite number.`, {
            detail: { nodeId: node.id },
          }),
        );
      }
      values.set(node.id, node.value);
      continue;
    }
    const result = applyFormula(
      {
        formula: node.formula,
        inputs: node.inputs,
        values: node.inputs.map((input) => values.get(input.nodeId) ?? NaN),
        parameters: node.parameters ?? {},
      },
      options,
    );
    if (!result.ok) {
      return err({ ...result.error, detail: { ...result.error.detail, nodeId: node.id } });
    }
    values.set(node.id, result.value);
  }
  return ok(true);
}

/**
 * The part of the graph one figure rests on, inputs before users: small enough to send.
 * Errors as `evaluate`, save for formulas, which are not worked out.
 */
export function subgraph(graph: ExplanationGraph, nodeId: string): Result<ExplanationGraph> {
  const order = dependencyOrder(graph, nodeId);
  return order.ok ? ok({ nodes: order.value }) : order;
}

/** Depth-first without the call stack, so that a long chain cannot overflow it. */
function dependencyOrder(
  graph: ExplanationGraph,
  rootId: string,
  known: ReadonlyMap<string, number> = new Map(),
): Result<ExplanationNode[]> {
  const index = nodesById(graph);
  const root = index.get(rootId);
  if (root === undefined) return err(absent(rootId));
  const order: ExplanationNode[] = [];
  const state = new Map<string, 'open' | 'done'>([[rootId, 'open']]);
  const stack: { node: ExplanationNode; next: number }[] = [{ node: root, next: 0 }];
  for (let top = stack.at(-1); top !== undefined; top = stack.at(-1)) {
    const input = top.node.inputs[top.next];
    if (input === undefined) {
      state.set(top.node.id, 'done');
      order.push(top.node);
      stack.pop();
      continue;
    }
    top.next += 1;
    if (known.has(input.nodeId)) continue;
    const seen = state.get(input.nodeId);
    if (seen === 'done') continue;
    const node = index.get(input.nodeId);
    if (node === undefined) return err(absent(input.nodeId, top.node.id));
    if (seen === 'open') {
      return err(
        coreError('broken-explanation', `"${node.label}" is explained by itself.`, {
          detail: { nodeId: node.id },
        }),
      );
    }
    state.set(input.nodeId, 'open');
    stack.push({ node, next: 0 });
  }
  return ok(order);
}

function absent(nodeId: string, usedBy?: string) {
  return coreError('missing-data', `There is no explanation for figure ${nodeId}.`, {
    detail: usedBy === undefined ? { nodeId } : { nodeId, usedBy },
  });
}
