import { get } from '../api/client.ts';
import { query } from '../api/query.ts';
import type { StockLot } from '../api/types.ts';
import { ask, type Answer } from '../offline/answers.ts';

interface LotPage {
  readonly items: readonly StockLot[];
  readonly nextCursor?: string;
}

/**
 * Reads a site's lots: `usable` ones, or all of which something is left (`on_hand`). What this
 * device kept is the first two hundred, those that run out first.
 */
export async function readLots(
  siteId: string,
  state: 'usable' | 'on_hand',
): Promise<Answer<readonly StockLot[]>> {
  const path = (cursor: string): string =>
    `/v1/sites/${siteId}/stock-lots${query({ state, limit: '200', cursor })}`;
  const first = await ask<LotPage>(path(''));
  const lots = [...first.data.items];
  let next = first.keptAt === null ? first.data.nextCursor : undefined;
  while (next !== undefined) {
    const page: LotPage = await get<LotPage>(path(next));
    lots.push(...page.items);
    next = page.nextCursor;
  }
  return { data: lots, keptAt: first.keptAt };
}
