import type { NightJob, NightWorkService } from '../modules/night-work/index.ts';

/** Called when a job has ended, for metrics and the log. */
export type JobEnded = (job: NightJob, outcome: 'done' | 'failed', seconds: number) => void;

/** Night work that is going on. */
export interface RunningNightWork {
  /** Takes nothing more on and waits for what is under way. */
  stop(): Promise<void>;
}

/** Does one job and tells how it went; a job of another process is none of ours. */
export async function doJob(
  night: NightWorkService,
  job: NightJob,
  ended: JobEnded,
): Promise<void> {
  const began = performance.now();
  const outcome = await night.run(job);
  if (outcome !== 'not ours') ended(job, outcome, (performance.now() - began) / 1000);
}
