import pg from 'pg';
import PgBoss from 'pg-boss';
import type { NightJob, NightWorkService } from '../modules/night-work/index.ts';
import { doJob, type JobEnded, type RunningNightWork } from './night-watch.ts';

const LOOK = 'tamis-night-look';
const JOB = 'tamis-night-job';
const EVERY_TEN_MINUTES = '*/10 * * * *';
/** A plan takes seconds, the forecasts of a large group minutes. */
const EXPIRES_AFTER_S = 2 * 60 * 60;
const CONNECTIONS = 2;
/** Of this set-up alone; the migrations have another number. */
const ADVISORY_LOCK = 7_260_482;
const STOP_WITHIN_MS = 10_000;

/**
 * Night work shared among all processes over one PostgreSQL database, through a queue kept in it
 * (schema `pgboss`): one of them looks what is due every ten minutes, and whoever has time takes the
 * next piece. That each is done once does not hang on the queue: a piece is claimed in the database.
 * @param failed called with a fault of the queue itself
 */
export async function startNightQueue(
  databaseUrl: string,
  night: NightWorkService,
  ended: JobEnded,
  failed: (error: unknown) => void,
): Promise<RunningNightWork> {
  const boss = new PgBoss({ connectionString: databaseUrl, max: CONNECTIONS });
  boss.on('error', failed);
  await oneAtATime(databaseUrl, async () => {
    await boss.start();
    for (const name of [LOOK, JOB]) {
      // 'stately': at most one waiting and one under way of each key.
      if (!(await boss.getQueue(name))) await boss.createQueue(name, { name, policy: 'stately' });
    }
  });
  await boss.work<NightJob>(JOB, { batchSize: 1 }, async ([job]) => {
    if (job) await doJob(night, job.data, ended);
  });
  await boss.work(LOOK, { batchSize: 1 }, async () => {
    for (const due of await night.due()) {
      await boss.send(JOB, due, {
        singletonKey: `${due.kind} ${due.key} ${due.date}`,
        expireInSeconds: EXPIRES_AFTER_S,
        retryLimit: 0,
      });
    }
  });
  await boss.schedule(LOOK, EVERY_TEN_MINUTES, {}, { tz: 'UTC' });
  await boss.send(LOOK, {}, { singletonKey: 'look' });
  return { stop: () => boss.stop({ graceful: true, wait: true, timeout: STOP_WITHIN_MS }) };
}

/** Processes that start together would lock each other out while the queue's tables are made. */
async function oneAtATime(databaseUrl: string, run: () => Promise<void>): Promise<void> {
  const client = new pg.Client({ connectionString: databaseUrl });
  await client.connect();
  try {
    await client.query('SELECT pg_advisory_lock($1)', [ADVISORY_LOCK]);
    await run();
  } finally {
    // Ends the lock too.
    await client.end();
  }
}
