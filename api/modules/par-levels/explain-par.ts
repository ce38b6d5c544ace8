import { ExplanationBuilder } from '../../core/explanation/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import { plannedResult } from '../forecasts/index.ts';
import type { ParAnswer } from './par-answer.ts';
import type { Par } from './par-levels.ports.ts';
import { ruleWords } from './plan-pars.ts';

/** The chain behind a par: covers, portions of each service, their sum, the margin, and the costs. */
export function explainPar(
  par: Par,
  answer: ParAnswer,
  name: string,
  baseUnit: string,
): { readonly nodeId: string; readonly graph: ExplanationGraph } {
  const builder = new ExplanationBuilder();
  const { demand, level } = answer;
  const means = demand.window.map(({ sitting, distribution }) => {
    const at = `${sitting.serviceName} ${sitting.serviceDate}`;
    const covers = builder.given({
      id: `covers:${sitting.forecast.id}`,
      label: `Covers expected, ${at}`,
      value: plannedResult(sitting.forecast).mean,
      unit: 'covers',
      source: { kind: 'forecast', id: sitting.forecast.id },
    });
    const mean = plannedResult(sitting.forecast).mean;
    const perCover = builder.given({
      id: `per-cover:${sitting.forecast.id}`,
      label: `${name}, portions per cover, ${at}`,
      value: mean > 0 ? distribution.mean / mean : 0,
      unit: 'fraction',
    });
    return builder.add({
      id: `portions:${sitting.forecast.id}`,
      label: `${name}, portions expected, ${at}`,
      unit: 'portions',
      formula: 'product',
      inputs: [{ nodeId: covers }, { nodeId: perCover }],
    });
  });
  const expected = builder.add({
    id: 'expected',
    label: `${name}, portions expected until ${demand.lastDate}`,
    unit: 'portions',
    formula: 'weighted-sum',
    inputs: means.map((nodeId) => ({ nodeId })),
  });
  const margin = builder.given({
    id: 'margin',
    label: `${name}, portions held against running out, less what would be wasted`,
    value: level.quantity - builder.value(expected),
    unit: 'portions',
    source: { kind: 'par level', id: par.id, note: ruleWords(par, answer) },
  });
  const portions = builder.add({
    id: 'portions',
    label: `${name}, par in portions`,
    unit: 'portions',
    formula: 'weighted-sum',
    inputs: [{ nodeId: expected }, { nodeId: margin }],
  });
  if (demand.portionSize === 1 && baseUnit === 'each') {
    return { nodeId: portions, graph: builder.graph() };
  }
  const nodeId = builder.add({
    id: 'par',
    label: `${name}, par`,
    unit: baseUnit,
    formula: 'weighted-sum',
    inputs: [{ nodeId: portions, factor: demand.portionSize }],
  });
  return { nodeId, graph: builder.graph() };
}
