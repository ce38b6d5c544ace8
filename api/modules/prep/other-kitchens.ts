import { remedyEffect } from '../../core/planning/index.ts';
import type { Missing, SitePlan, SitePlanInput } from '../../core/planning/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { PrepService } from './prep.service.ts';
import type { SitePlanner } from './work-out-plan.ts';

/** Left for carrying it over. Common practice, no source. */
const CARRY_MIN = 120;
/** Each is planned twice. */
const MOST_SITES = 3;
const DUST = 1e-9;

/** A site that could make what is missing, and what that does. */
export interface OtherKitchen {
  readonly siteId: string;
  /** What it would make for this one, base units. */
  readonly quantity: number;
  /** When it must be ready to leave. */
  readonly readyMin: number;
  /** Still short here with it, base units. */
  readonly shortAfter: number;
  /** What the maker's plan costs more, in minutes of work. */
  readonly moreWorkMin: number;
}

/** What is missing here, and how much of it. */
export interface Lack extends Missing {
  readonly quantity: number;
}

/**
 * Sites that could make what is missing without going short of anything more themselves: each is
 * planned as it stands and again with what is asked of it, and this site again with what it then gives.
 */
export async function otherKitchens(
  deps: { readonly planSite: SitePlanner; readonly prep: Pick<PrepService, 'inputNow'> },
  siteIds: readonly string[],
  lack: Lack,
  here: { readonly input: SitePlanInput; readonly before: SitePlan },
): Promise<readonly OtherKitchen[]> {
  const readyMin = lack.atMin - CARRY_MIN;
  const found: OtherKitchen[] = [];
  if (lack.quantity <= DUST || readyMin <= here.input.nowMin) return found;
  for (const siteId of siteIds.slice(0, MOST_SITES)) {
    const { input } = await deps.prep.inputNow(siteId);
    if (!input.versions.some(({ itemId }) => itemId === lack.itemId)) continue;
    const untilMin = lastMinuteOf(here.input, lack);
    const before = orRefuse(await deps.planSite(input));
    const after = orRefuse(
      await deps.planSite({
        ...input,
        outsideNeeds: [
          ...(input.outsideNeeds ?? []),
          {
            id: `asked-by:${here.input.siteId}`,
            itemId: lack.itemId,
            atMin: readyMin,
            untilMin,
            serviceDate: lack.serviceDate,
            quantity: lack.quantity,
            certainFraction: 1,
            label: 'another site',
            source: { kind: 'site', id: here.input.siteId, note: 'asked what would help' },
          },
        ],
      }),
    );
    const short = (plan: SitePlan, own: boolean): number =>
      plan.shortages
        .filter(({ itemId }) => (itemId === lack.itemId) === own)
        .reduce((sum, { quantity }) => sum + quantity, 0);
    if (short(after, false) > short(before, false) + DUST) continue;
    const quantity = lack.quantity - Math.max(0, short(after, true) - short(before, true));
    if (quantity <= DUST) continue;
    const withIt = orRefuse(
      await deps.planSite({
        ...here.input,
        lots: [
          ...here.input.lots,
          {
            id: `asked-of:${siteId}`,
            itemId: lack.itemId,
            quantity,
            availableFromMin: lack.atMin,
            useByMin: untilMin,
          },
        ],
      }),
    );
    found.push({
      siteId,
      quantity,
      readyMin,
      shortAfter: remedyEffect(here.before, withIt, lack).shortAfter,
      moreWorkMin: Math.max(0, after.solution.costMin - before.solution.costMin),
    });
  }
  return found.sort((a, b) => a.shortAfter - b.shortAfter || a.moreWorkMin - b.moreWorkMin);
}

/** The end of the service it is missing at, or the moment itself where it goes into something else. */
function lastMinuteOf({ services }: SitePlanInput, { serviceDate, atMin }: Lack): number {
  const service = services.find((one) => one.serviceDate === serviceDate && one.startMin === atMin);
  return service?.endMin ?? atMin;
}
