import { ExplanationBuilder } from '../../core/explanation/index.ts';
import type { ExplanationGraph, ExplanationSource } from '../../core/explanation/index.ts';
import { plannedResult } from './forecast-sittings.ts';
import type { CoversOverride, KeptForecast } from './forecasts.ports.ts';

/** Where a term of the covers comes from: bookings name their snapshot, a person's figure its override. */
export function termSource(
  forecast: Pick<KeptForecast, 'id' | 'snapshotId' | 'modelVersion' | 'overrideId'>,
  label: string,
  override: Pick<CoversOverride, 'id' | 'covers' | 'reason' | 'enteredBy'> | null,
): ExplanationSource {
  if (override !== null && /stated/i.test(label)) {
    return {
      kind: 'covers override',
      id: override.id,
      note: `${override.enteredBy}: ${override.reason}`,
    };
  }
  if (/book/i.test(label) && forecast.snapshotId !== null) {
    return { kind: 'covers snapshot', id: forecast.snapshotId, note: 'newest bookings' };
  }
  return { kind: 'forecast', id: forecast.id, note: `model ${forecast.modelVersion}` };
}

/** What a term is called: the words of the person who set the covers go before the model's. */
export function termLabel(
  label: string,
  override: Pick<CoversOverride, 'enteredBy'> | null,
): string {
  return override !== null && /stated/i.test(label) ? `Covers set by ${override.enteredBy}` : label;
}

/** The chain behind a kept forecast: its terms with where each comes from, and their sum. */
export function explainForecast(
  forecast: KeptForecast,
  name: string,
  override: CoversOverride | null,
): { readonly nodeId: string; readonly graph: ExplanationGraph } {
  const builder = new ExplanationBuilder();
  const result = plannedResult(forecast);
  const at = `${name} ${forecast.serviceDate}`;
  const inputs = result.terms.map((term, i) => ({
    nodeId: builder.given({
      id: `term:${i}`,
      label: `${termLabel(term.label, override)}, ${at}`,
      value: term.value,
      unit: 'covers',
      source: termSource(forecast, term.label, override),
    }),
    factor: term.factor,
  }));
  const nodeId = builder.add({
    id: 'covers',
    label: `Covers expected, ${at}`,
    unit: 'covers',
    formula: 'weighted-sum',
    inputs,
  });
  return { nodeId, graph: builder.graph() };
}
