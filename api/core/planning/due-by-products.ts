import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';

/** A run's by-products become supply for other components, from when the run is ready. */
export function addByProducts(
  version: PlanVersion,
  stem: string,
  batchesNode: string,
  readyMin: number,
  draft: PlanDraft,
): void {
  const { builder } = draft;
  for (const output of version.recipe.outputs) {
    if (output.main) continue;
    const item = draft.items.get(output.itemId);
    const node = builder.add({
      id: `${stem}:gives:${output.itemId}`,
      label: `${draft.nameOf(output.itemId)} left by ${draft.nameOf(version.itemId)}`,
      unit: item?.baseUnit ?? 'each',
      formula: 'weighted-sum',
      inputs: [{ nodeId: batchesNode, factor: output.quantity }],
      source: { kind: 'recipe version', id: version.versionId, note: 'by-product' },
    });
    draft.dueLots.push({
      id: `${stem}:${output.itemId}`,
      itemId: output.itemId,
      quantity: builder.value(node),
      availableFromMin: readyMin,
      useByMin: readyMin + (output.shelfLifeMin ?? version.shelfLifeMin),
      node,
    });
  }
}
