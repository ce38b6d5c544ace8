import type { JointComponent, SharedCapacity } from './joint-problem.ts';

/** Components that must be planned together, with the capacities that tie them. */
export interface PlanPart {
  /** Users before inputs. */
  readonly components: readonly JointComponent[];
  readonly capacities: readonly SharedCapacity[];
}

/**
 * Splits components into the smallest sets that neither go into one another nor share any of the
 * given capacities.
 *
 * @param ordered users before inputs; the order is kept within each part
 */
export function partsOf(
  ordered: readonly JointComponent[],
  capacities: readonly SharedCapacity[],
): PlanPart[] {
  const root = new Map(ordered.map(({ component }) => [component.id, component.id]));
  const find = (id: string): string => {
    const up = root.get(id) ?? id;
    return up === id ? id : find(up);
  };
  const tie = (a: string, b: string): void => {
    root.set(find(a), find(b));
  };
  for (const { component, inputs = [] } of ordered) {
    for (const { componentId } of inputs) tie(component.id, componentId);
  }
  const usersOf = new Map<string, string[]>();
  for (const { id } of capacities) {
    const users = ordered
      .filter(({ slots }) => slots.some((s) => s.uses?.some((use) => use.capacityId === id)))
      .map(({ component }) => component.id);
    usersOf.set(id, users);
    for (const user of users) tie(user, users[0] ?? user);
  }
  const parts = new Map<string, JointComponent[]>();
  for (const component of ordered) {
    const key = find(component.component.id);
    parts.set(key, [...(parts.get(key) ?? []), component]);
  }
  return [...parts].map(([key, components]) => ({
    components,
    capacities: capacities.filter(({ id }) => (usersOf.get(id) ?? []).some((u) => find(u) === key)),
  }));
}
