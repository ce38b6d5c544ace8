import { addDays } from '../../api/core/calendar/index.ts';
import type { Actor } from '../../api/modules/platform/index.ts';
import type { Services } from '../../api/modules/routes.ts';
import type { DemoData } from '../generator/types.ts';
import { ingredientId, siteId, supplierId } from './demo-keys.ts';

/**
 * Contracts, what suppliers cannot give and what may stand in, as purchasing and a lead would enter
 * them; what stands from an earlier run is left alone.
 */
export async function addSupplyTerms(
  services: Pick<Services, 'supplyTerms'>,
  actor: Actor,
  { buying }: DemoData,
  today: string,
): Promise<void> {
  const { contracts, gaps, substitutes } = services.supplyTerms;
  if ((await contracts.list(actor, {})).length > 0) return;
  const dates = (given: { readonly fromDays: number; readonly toDays: number | null }) => ({
    fromDate: addDays(today, given.fromDays),
    toDate: given.toDays === null ? null : addDays(today, given.toDays),
  });
  for (const contract of buying.contracts) {
    await contracts.add(actor, {
      siteId: siteId(contract.site),
      supplierId: supplierId(contract.supplier),
      ingredientId: ingredientId(contract.ingredient),
      category: null,
      ...dates(contract),
      note: contract.note,
    });
  }
  for (const gap of buying.gaps) {
    await gaps.add(actor, supplierId(gap.supplier), {
      packId: null,
      ingredientId: ingredientId(gap.ingredient),
      kind: gap.kind,
      ...dates(gap),
      note: gap.note,
    });
  }
  for (const { ingredient, substitute, ratio, note } of buying.substitutes) {
    await substitutes.put(actor, ingredientId(ingredient), ingredientId(substitute), {
      ratio,
      note,
    });
  }
}

/**
 * Works out what sites that buy together would save, and takes it where it pays, so that goods are on
 * their way. Nothing while goods of an earlier joint purchase are still to be carried.
 */
export async function buyTogether(
  services: Pick<Services, 'jointPurchases'>,
  actor: Actor,
  { buying }: DemoData,
): Promise<void> {
  const carries = await services.jointPurchases.carries(actor, undefined);
  if (carries.some(({ status }) => status === 'planned')) return;
  for (const { sites, days } of buying.together) {
    const purchase = await services.jointPurchases.workOut(actor, {
      siteIds: sites.map(siteId),
      days,
    });
    if (purchase.choice === 'together') {
      await services.jointPurchases.accept(actor, purchase.id, purchase.rev);
    }
  }
}
