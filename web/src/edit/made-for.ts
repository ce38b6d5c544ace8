import type { MadeFor } from '../api/types.ts';

/** A rule as the service takes it when it is changed. */
export function bodyOf(rule: MadeFor): Record<string, unknown> {
  const { component, sites, makers, mode, fromDate, endsBefore, container, reason } = rule;
  return {
    componentId: component.id,
    siteIds: sites.map(({ id }) => id),
    makerSiteIds: makers.map(({ id }) => id),
    mode,
    fromDate,
    endsBefore,
    container: { name: container.name, amount: container.amount },
    keeping: rule.keeping,
    restMadeHere: rule.restMadeHere,
    reason,
  };
}
