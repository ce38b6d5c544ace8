import { z } from 'zod';
import type { ExplanationGraph } from '../core/explanation/index.ts';

// Figures with the nodes they rest on, as every resource shows them.

export const ExplanationSchema = z
  .object({
    node: z.string(),
    value: z.number(),
    lines: z.array(z.string()),
    nodes: z.array(
      z.object({
        id: z.string(),
        label: z.string(),
        value: z.number(),
        unit: z.string(),
        formula: z.string(),
        inputs: z.array(
          z.object({
            nodeId: z.string(),
            factor: z.number().optional(),
            role: z.string().optional(),
          }),
        ),
        parameters: z.record(z.string(), z.union([z.number(), z.string()])).optional(),
        source: z
          .object({ kind: z.string(), id: z.string(), note: z.string().optional() })
          .optional(),
      }),
    ),
  })
  .meta({ id: 'Explanation' });

/** A figure with the nodes it rests on, inputs first, and the same as lines of text. */
export interface ExplainedFigure {
  readonly nodeId: string;
  readonly value: number;
  readonly graph: ExplanationGraph;
  readonly lines: readonly string[];
}

export function toExplanationBody(figure: ExplainedFigure): z.infer<typeof ExplanationSchema> {
  return {
    node: figure.nodeId,
    value: figure.value,
    lines: [...figure.lines],
    nodes: figure.graph.nodes.map((node) => ({
      ...node,
      inputs: node.inputs.map((input) => ({ ...input })),
      ...(node.parameters ? { parameters: { ...node.parameters } } : {}),
      ...(node.source ? { source: { ...node.source } } : {}),
    })),
  };
}
