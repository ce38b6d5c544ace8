import { trace } from '@opentelemetry/api';
import { OTLPTraceExporter } from '@opentelemetry/exporter-trace-otlp-http';
import { defaultResource, resourceFromAttributes } from '@opentelemetry/resources';
import {
  BatchSpanProcessor,
  NodeTracerProvider,
  type SpanProcessor,
} from '@opentelemetry/sdk-trace-node';
import { tracing } from './tracing.ts';

/** Traces that are being sent. */
export interface RunningTraces {
  /** Sends what waits and stops. */
  stop(): Promise<void>;
}

/**
 * Begins to send traces where OpenTelemetry's own settings say so (OTEL_EXPORTER_OTLP_ENDPOINT or
 * OTEL_EXPORTER_OTLP_TRACES_ENDPOINT, OTEL_SERVICE_NAME, OTEL_RESOURCE_ATTRIBUTES, OTEL_SDK_DISABLED);
 * without them nothing is made and nothing is sent.
 * @param processor instead of one that sends over OTLP; for tests
 */
export function startTraces(
  env: Readonly<Record<string, string | undefined>>,
  processor?: SpanProcessor,
): RunningTraces | null {
  const endpoint = env.OTEL_EXPORTER_OTLP_TRACES_ENDPOINT ?? env.OTEL_EXPORTER_OTLP_ENDPOINT;
  if (env.OTEL_SDK_DISABLED === 'true') return null;
  if (!processor && (endpoint === undefined || endpoint === '')) return null;
  const provider = new NodeTracerProvider({
    resource: defaultResource().merge(
      resourceFromAttributes({ 'service.name': env.OTEL_SERVICE_NAME ?? 'tamis' }),
    ),
    spanProcessors: [processor ?? new BatchSpanProcessor(new OTLPTraceExporter())],
  });
  provider.register();
  tracing.isOn = true;
  return {
    stop: async () => {
      await provider.shutdown();
      trace.disable();
      tracing.isOn = false;
    },
  };
}
