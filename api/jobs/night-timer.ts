import type { NightWorkService } from '../modules/night-work/index.ts';
import { doJob, type JobEnded, type RunningNightWork } from './night-watch.ts';

const LOOK_EVERY_MS = 60_000;

/**
 * Night work of a service that is alone with its database: looks every minute what is due, and does
 * one piece after the other.
 * @param failed called with a fault of the looking itself; the next minute looks again
 */
export function startNightTimer(
  night: NightWorkService,
  ended: JobEnded,
  failed: (error: unknown) => void,
  lookEveryMs = LOOK_EVERY_MS,
): RunningNightWork {
  let stopped = false;
  let underWay: Promise<void> | null = null;
  const look = async (): Promise<void> => {
    try {
      for (const job of await night.due()) {
        if (stopped) return;
        await doJob(night, job, ended);
      }
    } catch (error) {
      failed(error);
    }
  };
  const begin = (): void => {
    underWay ??= look().finally(() => (underWay = null));
  };
  const timer = setInterval(begin, lookEveryMs);
  timer.unref();
  begin();
  return {
    stop: async () => {
      stopped = true;
      clearInterval(timer);
      await underWay;
    },
  };
}
