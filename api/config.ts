import path from 'node:path';
import { z } from 'zod';

const EnvSchema = z.object({
  PORT: z.coerce.number().int().min(0).max(65_535).default(8040),
  HOST: z.string().min(1).default('127.0.0.1'),
  DATA_DIR: z.string().min(1).default('.data/tamis'),
  DATABASE_URL: z
    .string()
    .regex(/^postgres(ql)?:\/\//, 'must begin with postgres:// or postgresql://')
    .optional(),
  DATABASE_CONNECTIONS: z.coerce.number().int().min(2).max(200).default(10),
  LOG_LEVEL: z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent']).default('info'),
  TRUST_PROXY: z.string().min(1).optional(),
  METRICS_TOKEN: z.string().min(16, 'must have 16 characters or more').optional(),
  SLOW_QUERY_MS: z.coerce.number().int().min(1).default(500),
  DRAIN_SECONDS: z.coerce.number().int().min(0).max(300).default(0),
  SECURE_COOKIES: z.enum(['true', 'false']).default('false'),
});

/** Settings of one process. `databaseUrl` wins over `dataDir`. */
export interface Config {
  readonly port: number;
  readonly host: string;
  readonly dataDir: string;
  readonly databaseUrl: string | null;
  /** Connections this process opens at most for requests. */
  readonly poolMax: number;
  readonly logLevel: string;
  readonly secureCookies: boolean;
  /** Bearer token for /metrics; null: only the machine itself may ask. */
  readonly metricsToken: string | null;
  /** A statement that takes longer is written to the log. */
  readonly slowQueryMs: number;
  /** After a stop is asked for: how long to say 'not ready' before listening ends. */
  readonly drainMs: number;
  /** Addresses or networks of proxies in front, comma-separated; null when there are none. */
  readonly trustProxy: string | null;
}

/**
 * Reads the settings from the environment.
 * @throws Error in plain words naming each variable that is wrong
 */
export function readConfig(env: Readonly<Record<string, string | undefined>>): Config {
  const present = Object.fromEntries(
    Object.entries(env).filter(([, v]) => v !== undefined && v !== ''),
  );
  const parsed = EnvSchema.safeParse(present);
  if (!parsed.success) {
    const lines = parsed.error.issues.map((i) => `  ${i.path.join('.')}: ${i.message}`);
    throw new Error(`These settings are not right:\n${lines.join('\n')}`);
  }
  const e = parsed.data;
  return {
    port: e.PORT,
    host: e.HOST,
    dataDir: path.resolve(e.DATA_DIR),
    databaseUrl: e.DATABASE_URL ?? null,
    poolMax: e.DATABASE_CONNECTIONS,
    logLevel: e.LOG_LEVEL,
    secureCookies: e.SECURE_COOKIES === 'true',
    metricsToken: e.METRICS_TOKEN ?? null,
    slowQueryMs: e.SLOW_QUERY_MS,
    drainMs: e.DRAIN_SECONDS * 1000,
    trustProxy: e.TRUST_PROXY ?? null,
  };
}
