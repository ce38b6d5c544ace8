import { displayAmount } from '../../api/core/quantity/index.ts';
import type { PrepList } from '../../api/modules/prep/index.ts';
import type { RunningServer } from '../../api/start-server.ts';
import type { DemoData } from '../generator/types.ts';
import { siteId } from '../load/demo-keys.ts';
import { DEMO_ACTOR, DEMO_PASSWORD, demoSignIns } from '../load/load-demo.ts';
import { orderSummary } from './order-summary.ts';
import { table } from './table.ts';

function clock(at: Date, zone: string): string {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
    weekday: 'short',
  }).format(at);
}

/** 'Lemon tart, Dinner Wed; Choux ring Thu': whom a task is for and on which day, the first two. */
function takenBy(needs: PrepList['tasks'][number]['neededFor']): string {
  const weekday = new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', weekday: 'short' });
  const said = needs.map(({ label, serviceDate }) => {
    // A making of another component carries the day it is made, a service the day it is.
    const [, name = label, made = serviceDate] = /^(.*), (\d{4}-\d{2}-\d{2})$/.exec(label) ?? [];
    return `${name} ${weekday.format(new Date(made))}`;
  });
  const takers = [...new Set(said)];
  const more = takers.length - 2;
  return takers.slice(0, 2).join('; ') + (more > 0 ? `; ${more} more` : '');
}

function taskRows(list: PrepList): string[][] {
  return list.tasks.map((task) => {
    const item = list.names.get(task.recipeId);
    return [
      clock(task.startBy, list.zone),
      task.station,
      item?.name ?? task.recipeId,
      displayAmount(task.quantity, item?.baseUnit ?? 'g').text,
      String(task.batches),
      clock(task.readyBy, list.zone),
      takenBy(task.neededFor),
    ];
  });
}

/** Prints the prep list of the first site, the order summary, the address and the sign-ins. */
export async function printDemo(server: RunningServer, data: DemoData): Promise<void> {
  const [site] = data.sites;
  if (!site) return;
  const list = await server.services.prep.list(DEMO_ACTOR, siteId(site.key));
  const services = list.plan.summary.services.filter((s) => s.serviceDate === list.date);
  console.log(`\n${site.name}: prep list for ${list.date}`);
  for (const service of services) {
    console.log(
      `  ${service.name} ${service.startsAt}: ${Math.round(service.coversMean)} covers expected (${service.coversLow} to ${service.coversHigh}), ${service.booked ?? 0} booked`,
    );
  }
  console.log(
    `\n${table(['Start by', 'Station', 'Component', 'Make', 'Batches', 'Ready by', 'For'], taskRows(list), [3, 4])}`,
  );
  for (const short of list.plan.summary.shortages.filter((s) => s.serviceDate === list.date)) {
    console.log(`  Short: ${short.message}`);
  }
  console.log(`\n${await orderSummary(server, data)}`);
  console.log(`\nThe page: ${server.url}`);
  console.log(`Sign-ins, all with the password "${DEMO_PASSWORD}" (demo only):`);
  for (const signIn of demoSignIns(data)) console.log(`  ${signIn.email}  (${signIn.role})`);
  console.log('\nStop with Ctrl-C.');
}
