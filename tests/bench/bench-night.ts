import { composeServices } from '../../api/compose.ts';
import { SteppedClock } from '../../api/modules/platform/index.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { openPostgres } from '../../api/persistence/database.ts';
import { startCalculator } from '../../api/workers/calculator.ts';

// One night of a group in a process of its own, as the service does it: forecasts, then plan and orders of
// each site. Says how long it took, what memory it came to and how the pieces ended.

const [url = '', from = ''] = process.argv.slice(2);
const clock = new SteppedClock(from);
const database = await openPostgres(url);
const calculator = startCalculator();
const { nightWork } = composeServices(database, clock, createNewId(), {
  secureCookies: false,
  calculator,
});
const began = performance.now();
const ended: Record<string, number> = {};
for (const job of await nightWork.due()) {
  const outcome = `${job.kind} ${await nightWork.run(job)}`;
  ended[outcome] = (ended[outcome] ?? 0) + 1;
}
const wallMs = performance.now() - began;
await calculator.stop();
await database.close();
console.log(JSON.stringify({ wallMs, peakBytes: process.resourceUsage().maxRSS * 1024, ended }));
