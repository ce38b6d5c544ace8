import type { PlanDraft } from './plan-draft.ts';

/** Adds what other sites want of this one to the needs of its components. */
export function addOutsideNeeds(draft: PlanDraft): void {
  for (const need of draft.input.outsideNeeds ?? []) {
    const { id, itemId, atMin, untilMin, serviceDate, quantity, certainFraction, label } = need;
    const node = draft.builder.given({
      id: `outside:${id}`,
      label: `${draft.nameOf(itemId)} for ${label}`,
      value: quantity,
      unit: draft.items.get(itemId)?.baseUnit ?? 'each',
      source: need.source,
    });
    draft.needs.add({
      id,
      itemId,
      atMin,
      untilMin,
      serviceDate,
      quantity,
      certainFraction,
      node,
      neededBy: { kind: 'transfer', id, label, serviceDate, atMin, quantity },
    });
  }
}
