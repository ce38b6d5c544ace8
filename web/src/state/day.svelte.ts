import type { PrepList, PrepTask, RecipeCard } from '../api/types.ts';
import { connection } from './connection.svelte.ts';
import { ask, keepAnswer, type Answer } from '../offline/answers.ts';
import { shiftDate } from '../show/time.ts';

/** The task's card as its site makes it for the service it is first needed for. */
export const cardPath = (task: PrepTask): string =>
  `/v1/recipe-versions/${task.version.id}/card?batches=${task.batches}&site=${task.siteId}&on=${
    task.neededFor[0]?.serviceDate ?? task.makeDate
  }`;

export const listPath = (siteId: string, date?: string): string =>
  `/v1/sites/${siteId}/prep-list${date ? `?date=${date}` : ''}`;

/** Reads a day's list; fresh, or as this device kept it. */
export async function readDay(siteId: string, date?: string): Promise<Answer<PrepList>> {
  const answer = await ask<PrepList>(listPath(siteId, date));
  if (answer.keptAt === null) {
    // The same day is found with and without its date in the address.
    if (!date) await keepAnswer(listPath(siteId, answer.data.date), answer.data);
    for (const task of answer.data.tasks) await keepAnswer(`/v1/prep-tasks/${task.id}`, task);
  }
  return answer;
}

let keeping = '';

/** Fetches, one after the other, what the day needs without a network: its cards, and tomorrow. */
export async function keepForLater(list: PrepList): Promise<void> {
  if (keeping === list.plan.id + list.date) return;
  keeping = list.plan.id + list.date;
  try {
    const tomorrow = await ask<PrepList>(listPath(list.site.id, shiftDate(list.date, 1)));
    for (const task of [...list.tasks, ...tomorrow.data.tasks]) {
      if (!connection.there) throw new Error('The connection went.');
      await ask<RecipeCard>(cardPath(task));
    }
    for (const task of tomorrow.data.tasks) await keepAnswer(`/v1/prep-tasks/${task.id}`, task);
  } catch {
    keeping = '';
  }
}
