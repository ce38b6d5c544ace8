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

/**
 * Brings a component up to the quantity a person wants there over some days: what the services and
 * batches of those days do not need of it anyway is added to the first service of them. Call when
 * every user of the component is planned.
 */
export function topUpToPar(itemId: string, draft: PlanDraft): void {
  for (const par of draft.input.componentPars ?? []) {
    if (par.kind !== 'quantity' || par.itemId !== itemId) continue;
    const first = draft.input.services
      .filter((s) => s.serviceDate >= par.fromDate && s.serviceDate <= par.toDate)
      .reduce<PlannedService | undefined>(
        (before, s) => (before === undefined || s.startMin < before.startMin ? s : before),
        undefined,
      );
    if (first === undefined) continue;
    const { builder } = draft;
    const unit = draft.items.get(itemId)?.baseUnit ?? 'each';
    const name = draft.nameOf(itemId);
    const needed = draft.needs
      .of(itemId)
      .filter((need) => need.serviceDate >= par.fromDate && need.serviceDate <= par.toDate);
    const id = `par:${itemId}:${par.fromDate}`;
    const wanted = builder.given({
      id: `${id}:wanted`,
      label: `${name}, to be there on ${par.fromDate}`,
      value: par.quantity,
      unit,
      source: par.source,
    });
    const node = builder.add({
      id,
      label: `${name} beyond what is needed anyway, ${par.fromDate}`,
      unit,
      formula: 'not-below-zero',
      inputs: [{ nodeId: wanted }, ...needed.map((need) => ({ nodeId: need.node, factor: -1 }))],
    });
    const quantity = builder.value(node);
    if (quantity <= 1e-9) continue;
    draft.needs.add({
      id,
      itemId,
      atMin: first.startMin,
      untilMin: first.startMin + 1,
      serviceDate: first.serviceDate,
      quantity,
      certainFraction: 0,
      node,
      neededBy: {
        kind: 'service',
        id,
        label: `Par of ${name}, ${first.name}`,
        serviceDate: first.serviceDate,
        atMin: first.startMin,
        quantity,
      },
    });
  }
}
