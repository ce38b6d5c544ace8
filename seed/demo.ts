import { orExplain, startServer, stopOnSignals, systemClock } from '../api/start-server.ts';
import { readConfig, type Config } from '../api/config.ts';
import { siteDate } from '../api/modules/forecasts/index.ts';
import { openDatabase } from '../api/persistence/database.ts';
import { printDemo } from './print/print-demo.ts';
import { demoState, loadDemo, planDemo, readDemo } from './load/load-demo.ts';

// `npm run demo`: loads the invented lakeside group the first time, works out the day, prints one
// site's prep list and the order summary, and serves the page. A second run keeps the data.

/** The demo keeps its own folder, so that a real one is never touched. */
function demoConfig(): Config {
  const env = { ...process.env };
  env.DATA_DIR ??= '.data/demo';
  env.LOG_LEVEL ??= 'warn';
  // Half a year goes in at once; what is slow about that is no news to whoever reads the terminal.
  env.SLOW_QUERY_MS ??= '5000';
  return readConfig(env);
}

await orExplain(async () => {
  const started = performance.now();
  const say = (line: string): void =>
    console.log(`[${((performance.now() - started) / 1000).toFixed(1).padStart(6)} s] ${line}`);
  const config = demoConfig();
  say(config.databaseUrl ? 'Opening PostgreSQL' : `Opening the database in ${config.dataDir}`);
  const database = await openDatabase(config);
  const server = await startServer(config, {
    database,
    prepare: async () => {
      const state = await demoState(database);
      if (state === 'in-use') {
        throw new Error(
          'This database is in real use, and the demo would mix with it. Name another DATA_DIR or DATABASE_URL.',
        );
      }
      const data = readDemo();
      const zone = data.sites[0]?.zone ?? 'UTC';
      const today = siteDate(systemClock.now(), zone);
      if (state === 'empty') {
        await loadDemo(database, today, say);
        await planDemo(database, data, today, say);
      } else {
        say('Keeping the demo data of an earlier run');
        const plan = await database.prisma.prepPlan.findFirst({ where: { status: 'current' } });
        if (!plan || siteDate(plan.fromDate, 'UTC') !== today) {
          await planDemo(database, data, today, say);
        }
      }
    },
  });
  await printDemo(server, readDemo());
  stopOnSignals(server);
});
