import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { nodesById, subgraph } from './evaluate.ts';
import type { ExplanationGraph, ExplanationInput, ExplanationNode } from './explanation-node.ts';

/**
 * The explanation as lines of text, leaves first and the figure itself last, each figure once:
 * "Lemon tart, portions: 21 portions = 42 covers × 0.5".
 * Errors as `subgraph`.
 */
export function chain(graph: ExplanationGraph, nodeId: string): Result<string[]> {
  const part = subgraph(graph, nodeId);
  if (!part.ok) return part;
  const index = nodesById(part.value);
  return ok(part.value.nodes.map((node) => describe(node, index)));
}

/** A figure for reading: six significant digits, no trailing zeros. Never used to calculate. */
export function readableNumber(value: number): string {
  if (Number.isInteger(value) && Math.abs(value) < 1e15) return String(value);
  return String(Number(value.toPrecision(6)));
}

function describe(node: ExplanationNode, index: ReadonlyMap<string, ExplanationNode>): string {
  const figure = `${node.label}: ${readableNumber(node.value)} ${node.unit}`;
  const terms = node.inputs.map((input) => termText(input, index));
  const source = node.source ? ` (${sourceText(node.source)})` : '';
  return node.formula === 'given'
    ? `${figure}${source}`
    : `${figure} = ${formulaText(node, terms)}${source}`;
}

function formulaText(node: ExplanationNode, terms: readonly string[]): string {
  const sum = terms.length === 0 ? '0' : terms.join(' + ');
  const parameter = (name: string): string => {
    const value = node.parameters?.[name];
    return typeof value === 'number' ? readableNumber(value) : (value ?? '?');
  };
  const has = (name: string): boolean => node.parameters?.[name] !== undefined;
  switch (node.formula) {
    case 'given':
      return 'as recorded';
    case 'weighted-sum':
      return sum;
    case 'product':
      return terms.join(' × ');
    case 'quotient':
      return terms.join(' ÷ ');
    case 'maximum':
      return `the largest of ${terms.join(', ')}`;
    case 'minimum':
      return `the smallest of ${terms.join(', ')}`;
    case 'not-below-zero':
      return `${sum}, not below 0`;
    case 'round-up-to-multiple':
      return `${sum}, rounded up to a multiple of ${parameter('multiple')}${
        has('minimum') ? `, at least ${parameter('minimum')}` : ''
      }`;
    case 'round-to-step':
      return `${sum}, to the nearest ${parameter('step')}`;
    case 'clamp':
      return `${sum}, kept${has('lower') ? ` at or above ${parameter('lower')}` : ''}${
        has('lower') && has('upper') ? ' and' : ''
      }${has('upper') ? ` at or below ${parameter('upper')}` : ''}`;
    case 'distribution-quantile':
    case 'compound-quantile':
      return `enough in ${readableNumber(Number(node.parameters?.['level'] ?? NaN) * 100)} of 100 such services, from ${terms.join(', ')}`;
  }
}

function termText(input: ExplanationInput, index: ReadonlyMap<string, ExplanationNode>): string {
  const node = index.get(input.nodeId);
  if (node === undefined) return input.nodeId;
  const amount = `${readableNumber(node.value)} ${node.unit} [${node.label}]`;
  const factor = input.factor ?? 1;
  return factor === 1 ? amount : `${readableNumber(factor)} × ${amount}`;
}

function sourceText(source: NonNullable<ExplanationNode['source']>): string {
  return `${source.kind} ${source.id}${source.note ? `, ${source.note}` : ''}`;
}
