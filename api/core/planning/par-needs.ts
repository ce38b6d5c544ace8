import type { ExplanationBuilder } from '../explanation/index.ts';
import { explainPortions } from './demand.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { DishOnOffer, PlannedService } from './plan-input.ts';

/**
 * Adds the portions of a dish to have ready under the site's par: as many as its level asks for,
 * or the number a person fixed. The last node names where level or number come from.
 * @returns node id
 */
export function explainDishPortions(
  builder: ExplanationBuilder,
  service: PlannedService,
  dish: DishOnOffer,
  dishName: string,
  coversNode: string,
): string {
  const at = `${service.name} ${service.serviceDate}`;
  if (dish.fixedPortions !== undefined) {
    const fixed = builder.given({
      id: `portions:${service.id}:${dish.dishId}:fixed`,
      label: `${dishName}, portions a person fixed, ${at}`,
      value: dish.fixedPortions,
      unit: 'portions',
      ...(dish.levelSource ? { source: dish.levelSource } : {}),
    });
    const preOrdered = dish.preOrdered ?? 0;
    if (preOrdered <= dish.fixedPortions) return fixed;
    // What is promised is made, whatever number was fixed before.
    return builder.add({
      id: `portions:${service.id}:${dish.dishId}`,
      label: `${dishName}, portions to have ready, ${at}`,
      unit: 'portions',
      formula: 'maximum',
      inputs: [
        { nodeId: fixed },
        {
          nodeId: builder.given({
            id: `portions:${service.id}:${dish.dishId}:pre-ordered`,
            label: `${dishName}, ordered beforehand, ${at}`,
            value: preOrdered,
            unit: 'portions',
          }),
        },
      ],
    });
  }
  const portions = explainPortions(builder, service, dish, dishName, coversNode);
  if (dish.levelSource === undefined) return portions;
  return builder.add({
    id: `${portions}:level`,
    label: `${dishName}, portions as the par asks, ${at}`,
    unit: 'portions',
    formula: 'weighted-sum',
    inputs: [{ nodeId: portions }],
    source: dish.levelSource,
  });
}

/**
 * Draws what plates of a dish take. A component with a level of its own is drawn for the portions
 * at that level, the rest for the portions of the dish.
 */
export function addPlateNeeds(
  draft: PlanDraft,
  service: PlannedService,
  dish: DishOnOffer,
  coversNode: string,
  plates: Parameters<PlanDraft['addLineNeeds']>[0],
): void {
  const { recipe } = plates.version;
  const levels = new Map(
    (draft.input.componentPars ?? []).flatMap((par) =>
      par.kind === 'level' ? [[par.itemId, par]] : [],
    ),
  );
  const own = recipe.lines.filter((line) => levels.has(line.itemId));
  const rest = recipe.lines.filter((line) => !levels.has(line.itemId));
  const drawn = (lines: typeof recipe.lines) => ({
    ...plates.version,
    recipe: { ...recipe, lines },
  });
  draft.addLineNeeds({ ...plates, version: drawn(rest) });
  // A dish of which a person fixed the number is plated that often, whatever its parts allow.
  for (const itemId of new Set(own.map((line) => line.itemId))) {
    const par = levels.get(itemId);
    if (par === undefined) continue;
    const node =
      dish.fixedPortions === undefined
        ? explainDishPortions(
            draft.builder,
            { ...service, id: `${service.id}#${itemId}` },
            { ...dish, level: par.level, levelSource: par.source },
            `${draft.nameOf(itemId)} on ${draft.nameOf(dish.dishId)}`,
            coversNode,
          )
        : plates.madeNode;
    const made = draft.builder.value(node);
    draft.addLineNeeds({
      ...plates,
      version: drawn(own.filter((line) => line.itemId === itemId)),
      madeNode: node,
      made,
      certainFraction: made > 0 ? Math.min(1, (plates.certainFraction * plates.made) / made) : 0,
    });
  }
}
