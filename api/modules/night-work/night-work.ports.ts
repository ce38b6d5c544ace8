import type { SitesRepository } from '../sites/index.ts';

/** Forecasts of the whole group; plan and orders of a site; what may be forgotten. */
export const NIGHT_KINDS = ['forecasts', 'site', 'tidy'] as const;
export type NightKind = (typeof NIGHT_KINDS)[number];

/** A piece of work for a night: `key` is a site's id, or 'group'. */
export interface NightJob {
  readonly kind: NightKind;
  readonly key: string;
  /** The service date it is for; of the group, the date in UTC. */
  readonly date: string;
}

/** A job as it was taken, and how it ended. */
export interface NightRun extends NightJob {
  readonly startedAt: Date;
  readonly endedAt: Date | null;
  /** Null while it runs, or since whoever ran it is gone. */
  readonly outcome: 'done' | 'failed' | null;
  readonly attempts: number;
  readonly detail: string | null;
}

/** When a job that was begun may be begun again. */
export interface ClaimRule {
  readonly now: Date;
  /** Begun before and not ended: whoever ran it is gone. */
  readonly goneBefore: Date;
  readonly maxAttempts: number;
}

export interface NightRunsRepository {
  /** Takes a job for whoever asks, atomically. @returns how many times it was begun; null: not to be had */
  claim(job: NightJob, rule: ClaimRule): Promise<number | null>;
  end(job: NightJob, outcome: 'done' | 'failed', detail: string, now: Date): Promise<void>;
  /** The runs for dates from this one on. */
  since(date: string): Promise<readonly NightRun[]>;
  /** The latest, newest first. */
  latest(limit: number): Promise<readonly NightRun[]>;
  /** Forgets answers kept for repeats of requests, and runs, from before. @returns how many rows */
  forgetBefore(instant: Date): Promise<number>;
}

export interface NightWork {
  readonly nightRuns: NightRunsRepository;
  readonly sites: SitesRepository;
}
