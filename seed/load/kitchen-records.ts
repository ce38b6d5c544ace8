import type { composeServices } from '../../api/compose.ts';
import type { Actor } from '../../api/modules/platform/index.ts';
import type { PrepPlan } from '../../api/modules/prep/index.ts';
import type { Database } from '../../api/persistence/database.ts';

/** A hot pan that reached the chiller in time, by any of the rule sets: minutes ago and degC. */
const GOOD_COOLING = [
  { minutesAgo: 115, celsius: 82 },
  { minutesAgo: 95, celsius: 64 },
  { minutesAgo: 60, celsius: 21 },
  { minutesAgo: 20, celsius: 7.5 },
  { minutesAgo: 5, celsius: 4 },
] as const;
/** A fridge door left open over night. */
const WARM_FRIDGE = [
  { minutesAgo: 480, celsius: 4 },
  { minutesAgo: 30, celsius: 11.5 },
] as const;

const at = (celsius: number, minutesAgo: number) => ({
  temperature: { value: celsius, unit: 'Cel' as const },
  minutesAgo,
  offHeatMinutesAgo: null,
  note: null,
});

/**
 * What an early chef has done by the time the demo opens: the first pan that cools is made with its
 * temperatures, and something the plan has no use for was found too warm and is held. Both go through
 * the services, as a person's entries would.
 */
export async function addKitchenRecords(
  services: ReturnType<typeof composeServices>,
  database: Database,
  actor: Actor,
  plan: PrepPlan,
): Promise<void> {
  const tasks = await database.prisma.prepTask.findMany({
    where: { planId: plan.id, status: 'to_do', makeDate: new Date(`${plan.fromDate}T00:00:00Z`) },
    orderBy: [{ startBy: 'asc' }, { id: 'asc' }],
  });
  for (const task of tasks) {
    const record = await database.prisma.recipeStep.count({
      where: { versionId: task.versionId, cooling: true },
    });
    if (record === 0) continue;
    await services.taskWork.start(actor, task.id, 150);
    for (const { celsius, minutesAgo } of GOOD_COOLING) {
      await services.safety.readTask(actor, task.id, at(celsius, minutesAgo));
    }
    await services.taskWork.finish(actor, task.id, {
      madeQuantity: task.quantity,
      partial: false,
      minutesAgo: 90,
    });
    break;
  }
  const chilled = await database.prisma.recipeVersion.findMany({
    where: { status: 'published', storage: 'chilled' },
    select: { recipeId: true },
  });
  const isChilled = new Set(chilled.map((version) => version.recipeId));
  // What is left of a lot that the plan takes from is no spare: the list would say to use what is held.
  const taken = new Set(plan.summary.stockUses.map(({ lotId }) => lotId));
  const [spare] = [...plan.summary.leftUnused]
    .filter((lot) => isChilled.has(lot.itemId) && !taken.has(lot.lotId))
    .sort((a, b) => b.useByMin - a.useByMin || a.lotId.localeCompare(b.lotId));
  if (!spare) return;
  for (const { celsius, minutesAgo } of WARM_FRIDGE) {
    await services.safety.readLot(actor, spare.lotId, 'cold', at(celsius, minutesAgo));
  }
}
