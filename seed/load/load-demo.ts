import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { serviceInstant } from '../../api/core/calendar/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';
import { composeServices } from '../../api/compose.ts';
import { SteppedClock, type Actor } from '../../api/modules/platform/index.ts';
import type { PrepPlan } from '../../api/modules/prep/index.ts';
import type { Services } from '../../api/modules/routes.ts';
import type { Database } from '../../api/persistence/database.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { toJson } from '../../api/persistence/row-values.ts';
import { createArgon2Hasher } from '../../api/security/argon2-hasher.ts';
import { generateHistory } from '../generator/history.ts';
import { readDemoData } from '../generator/read.ts';
import type { DemoData } from '../generator/types.ts';
import { siteId } from './demo-keys.ts';
import { addBetweenSites, receivers } from './load-between-sites.ts';
import { addKitchenRecords } from './kitchen-records.ts';
import { loadCovers, loadMenus, loadStock } from './load-history.ts';
import { loadIngredients, loadSites, loadSuppliers } from './load-kitchen.ts';
import { addSupplyTerms, buyTogether } from './load-buying.ts';
import { loadOrders } from './load-orders.ts';
import { loadPars, playBack } from './load-pars.ts';
import { loadRecipes } from './load-recipes.ts';
import { loadTestDays } from './load-test-days.ts';
import { addYesterdaysWork } from './yesterdays-work.ts';

const DATA_DIR = path.join(path.dirname(fileURLToPath(import.meta.url)), '..', 'data');
/** One seed for everything: the same day gives the same demo. */
const DEMO_SEED = 20_260_310;
/** Local time of each site at which the day's plan is worked out. */
const PLAN_TIME = '05:30';

/** How often the first plan may ask for something that yesterday must have made. */
const YESTERDAY_ROUNDS = 3;

/** The password of every demo sign-in. The demo listens on loopback and holds invented data only. */
export const DEMO_PASSWORD = 'lakeside-pastry-demo';

/** Works out plans and orders on the demo's behalf. */
export const DEMO_ACTOR: Actor = {
  kind: 'system',
  id: 'demo',
  name: 'tamis demo',
  role: 'admin',
  siteIds: 'all',
};

export interface DemoSignIn {
  readonly email: string;
  readonly role: string;
  readonly site: string | null;
}

/** @returns the demo's sign-ins: one lead, one purchaser, one administrator, a chef for each site */
export function demoSignIns(data: DemoData): readonly DemoSignIn[] {
  return [
    { email: 'lead@demo.example', role: 'lead', site: null },
    { email: 'purchasing@demo.example', role: 'purchasing', site: null },
    { email: 'admin@demo.example', role: 'admin', site: null },
    ...data.sites.map((site) => ({
      email: `chef.${site.key}@demo.example`,
      role: 'chef',
      site: site.key,
    })),
  ];
}

export function readDemo(): DemoData {
  return readDemoData(DATA_DIR);
}

/** What stands in the database already. */
export async function demoState(database: Database): Promise<'empty' | 'demo' | 'in-use'> {
  const marker = await database.prisma.groupSetting.findUnique({ where: { key: 'demo' } });
  if (marker) return 'demo';
  const [users, sites] = [await database.prisma.user.count(), await database.prisma.site.count()];
  return users + sites === 0 ? 'empty' : 'in-use';
}

/** Loads the whole demo in one transaction: all of it lands, or none. `say` reports progress. */
export async function loadDemo(
  database: Database,
  today: string,
  say: (line: string) => void,
): Promise<DemoData> {
  const data = readDemo();
  say('Making up 26 weeks of bookings, guests and sales');
  const history = generateHistory(data, { today, seed: DEMO_SEED });
  const hasher = createArgon2Hasher();
  const passwordHash = await hasher.hash(DEMO_PASSWORD);
  await database.prisma.$transaction(
    async (db) => {
      say('Writing sites, ingredients, suppliers and recipes');
      await loadSites(db, data);
      await loadIngredients(db, data, today);
      await loadSuppliers(db, data, today);
      await loadRecipes(db, data, today);
      await loadTestDays(db, today);
      await loadMenus(db, data, history);
      say(
        `Writing ${history.snapshots.length} booking snapshots and ${history.sales.length} sales`,
      );
      await loadCovers(db, history);
      await loadPars(db, data, today);
      await loadStock(db, history);
      await loadOrders(db, data, history);
      for (const [i, signIn] of demoSignIns(data).entries()) {
        await db.user.create({
          data: {
            id: `usr_demo-${i + 1}`,
            email: signIn.email,
            name: signIn.email.split('@')[0] ?? signIn.email,
            role: signIn.role,
            passwordHash,
            allSites: signIn.site === null,
            ...(signIn.site === null
              ? {}
              : { sites: { create: [{ siteId: siteId(signIn.site) }] } }),
          },
        });
      }
      await db.groupSetting.create({
        data: { key: 'demo', value: toJson({ loadedOn: today, name: data.group.name }) },
      });
    },
    { timeout: 300_000 },
  );
  return data;
}

/**
 * Works out each site's plan as of half past five that morning, then who makes what for whom, and
 * then the orders of the group.
 */
export async function planDemo(
  database: Database,
  data: DemoData,
  today: string,
  say: (line: string) => void,
): Promise<void> {
  const { services, setClock } = morningOf(database, today);
  await playBack(database, services, DEMO_ACTOR, data);
  say(`Played the last eight weeks of ${data.sites[0]?.name ?? 'the first site'} through`);
  for (const site of data.sites) {
    const seconds = stopwatch();
    setClock(site.zone);
    const plan = await planWithYesterday(database, services, site);
    await addKitchenRecords(services, database, DEMO_ACTOR, plan);
    say(`${site.name}: plan for 14 days in ${seconds()} s`);
  }
  // Only now: a maker is planned again with each of its receivers.
  await addBetweenSites(services, DEMO_ACTOR, data, today);
  for (const site of receivers(data)) {
    const seconds = stopwatch();
    setClock(site.zone);
    await services.prep.workOut(DEMO_ACTOR, siteId(site.key));
    say(`${site.name}: plan with what other sites make for it in ${seconds()} s`);
  }
  await addSupplyTerms(services, DEMO_ACTOR, data, today);
  for (const site of data.sites) {
    const seconds = stopwatch();
    setClock(site.zone);
    await services.orders.runOrders(DEMO_ACTOR, { siteIds: [siteId(site.key)], days: 7 });
    say(`${site.name}: orders for 7 days in ${seconds()} s`);
  }
  const seconds = stopwatch();
  setClock(data.sites[0]?.zone ?? 'UTC');
  await buyTogether(services, DEMO_ACTOR, data);
  say(`What sites buy together in ${seconds()} s`);
}

/** The services as of a morning at half past five, by the clock of whichever site is asked about. */
export function morningOf(
  database: Database,
  today: string,
): { readonly services: Services; readonly setClock: (zone: string) => void } {
  const clock = new SteppedClock(`${today}T05:30:00Z`);
  return {
    services: composeServices(database, clock, createNewId()),
    setClock: (zone) => {
      clock.set(new Date(unwrap(serviceInstant(today, PLAN_TIME, zone)) * 60_000));
    },
  };
}

/** Plans a site as if it had been planned yesterday too: what had to be made by then has been. */
export async function planWithYesterday(
  database: Database,
  services: Pick<Services, 'prep'>,
  site: DemoData['sites'][number],
): Promise<PrepPlan> {
  let plan = await services.prep.workOut(DEMO_ACTOR, siteId(site.key));
  for (let round = 1; round <= YESTERDAY_ROUNDS; round += 1) {
    if ((await addYesterdaysWork(database, plan, site.zone, round)) === 0) break;
    plan = await services.prep.workOut(DEMO_ACTOR, siteId(site.key));
  }
  return plan;
}

/** @returns what tells the seconds since it was begun, for a line of progress */
function stopwatch(): () => string {
  const started = performance.now();
  return () => ((performance.now() - started) / 1000).toFixed(1);
}
