import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** One site makes something for another. */
export interface MakesFor {
  readonly makerSiteId: string;
  readonly receiverSiteId: string;
}

/**
 * The sites in the order in which they are planned: whoever receives before whoever makes for them,
 * because what is asked for is known only then. Of sites that wait for nobody the given order stands.
 *
 * @returns error `infeasible` with `reason: 'sites-in-a-circle'` and the sites, where sites make for
 *          each other in a circle
 * Source: topological order by counting (Kahn 1962, CACM 5(11): 558–562).
 */
export function productionOrder(
  siteIds: readonly string[],
  makesFor: readonly MakesFor[],
): Result<readonly string[]> {
  const pairs = makesFor.filter(
    ({ makerSiteId, receiverSiteId }) =>
      siteIds.includes(makerSiteId) && siteIds.includes(receiverSiteId),
  );
  const left = [...siteIds];
  const order: string[] = [];
  while (left.length > 0) {
    const next = left.findIndex(
      (id) =>
        !pairs.some(
          ({ makerSiteId, receiverSiteId }) =>
            makerSiteId === id && !order.includes(receiverSiteId),
        ),
    );
    if (next < 0) {
      return err(
        coreError('infeasible', 'These sites would make for each other in a circle.', {
          detail: { reason: 'sites-in-a-circle', siteIds: inACircle(left, pairs) },
        }),
      );
    }
    order.push(...left.splice(next, 1));
  }
  return ok(order);
}

/** Of sites that wait, those on a circle: each makes for one of them and receives from one of them. */
function inACircle(waiting: readonly string[], pairs: readonly MakesFor[]): readonly string[] {
  let rest = [...waiting];
  for (;;) {
    const within = pairs.filter(
      ({ makerSiteId, receiverSiteId }) =>
        rest.includes(makerSiteId) && rest.includes(receiverSiteId),
    );
    const kept = rest.filter(
      (id) =>
        within.some(({ makerSiteId }) => makerSiteId === id) &&
        within.some(({ receiverSiteId }) => receiverSiteId === id),
    );
    if (kept.length === rest.length) return kept;
    rest = kept;
  }
}
