import { collectDefaultMetrics, Counter, Gauge, Histogram, Registry } from 'prom-client';

/** From a millisecond to a minute: reads answer in milliseconds, a plan takes seconds. */
const BUCKETS_S = [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 60];

/** How the connections to a database are used at this moment. */
export interface PoolFigures {
  readonly max: number;
  readonly inUse: number;
  readonly idle: number;
  readonly waiting: number;
}

/** How a night job ended. */
export type JobOutcome = 'done' | 'failed';

/**
 * What the service counts of itself, in the Prometheus text format (names and units by its naming
 * conventions: base units, `_total` for counters). One registry a process.
 */
export class ServiceMetrics {
  readonly #registry = new Registry();
  readonly #requests = new Histogram({
    name: 'http_request_duration_seconds',
    help: 'Time from the head of a request to the end of its answer.',
    labelNames: ['method', 'route', 'status_code'] as const,
    buckets: BUCKETS_S,
    registers: [this.#registry],
  });
  readonly #inFlight = new Gauge({
    name: 'http_requests_in_flight',
    help: 'Requests being answered now.',
    registers: [this.#registry],
  });
  readonly #queries = new Histogram({
    name: 'db_query_duration_seconds',
    help: 'Time a statement took in the database, as the service saw it.',
    buckets: BUCKETS_S,
    registers: [this.#registry],
  });
  readonly #slow = new Counter({
    name: 'db_slow_queries_total',
    help: 'Statements that took longer than SLOW_QUERY_MS; each is in the log.',
    registers: [this.#registry],
  });
  readonly #jobs = new Histogram({
    name: 'job_duration_seconds',
    help: 'Time a piece of night work took.',
    labelNames: ['job', 'outcome'] as const,
    buckets: [0.1, 0.5, 1, 5, 10, 30, 60, 300, 900, 3600],
    registers: [this.#registry],
  });
  readonly #jobEnded = new Gauge({
    name: 'job_last_success_timestamp_seconds',
    help: 'When a piece of night work last ended well, seconds since 1970.',
    labelNames: ['job'] as const,
    registers: [this.#registry],
  });

  /** Adds memory, processor time and event-loop delay of this process. */
  watchProcess(): void {
    collectDefaultMetrics({ register: this.#registry });
  }

  /** Shows how connections are used, asked for each time the metrics are read. */
  watchPool(use: () => PoolFigures): void {
    const registers = [this.#registry];
    new Gauge({
      name: 'db_pool_connections',
      help: 'Open connections to the database, by what they do now.',
      labelNames: ['state'] as const,
      registers,
      collect() {
        const { inUse, idle } = use();
        this.set({ state: 'in_use' }, inUse);
        this.set({ state: 'idle' }, idle);
      },
    });
    new Gauge({
      name: 'db_pool_connections_max',
      help: 'Connections this process opens at most (DATABASE_CONNECTIONS).',
      registers,
      collect() {
        this.set(use().max);
      },
    });
    new Gauge({
      name: 'db_pool_waiting_requests',
      help: 'Requests for a connection that wait for one to be free.',
      registers,
      collect() {
        this.set(use().waiting);
      },
    });
  }

  requestBegan(): void {
    this.#inFlight.inc();
  }

  /** @param route the path as it was declared, never as it was called: ids make no new series */
  requestEnded(method: string, route: string, status: number, seconds: number): void {
    this.#inFlight.dec();
    this.#requests.observe({ method, route, status_code: String(status) }, seconds);
  }

  query(seconds: number, isSlow: boolean): void {
    this.#queries.observe(seconds);
    if (isSlow) this.#slow.inc();
  }

  job(job: string, outcome: JobOutcome, seconds: number, endedAt: Date): void {
    this.#jobs.observe({ job, outcome }, seconds);
    if (outcome === 'done') this.#jobEnded.set({ job }, endedAt.getTime() / 1000);
  }

  get contentType(): string {
    return this.#registry.contentType;
  }

  text(): Promise<string> {
    return this.#registry.metrics();
  }
}
