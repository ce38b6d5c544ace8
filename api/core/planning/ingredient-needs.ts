import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { ExplanationBuilder } from '../explanation/index.ts';
import { netNeeds } from '../netting/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { certainFractionOf } from './open-needs.ts';
import type { OpenNeed, OpenNeeds } from './open-needs.ts';
import type { ItemLot, PlanPiecePart } from './plan-input.ts';
import type { DatedIngredientNeed } from './plan-output.ts';
import { partsSpecs, piecesByDay } from './pieces.ts';

interface DayUse {
  readonly date: ServiceDate;
  readonly atMin: EpochMin;
  readonly inputs: readonly { readonly nodeId: string }[];
  readonly certainFraction: number;
  readonly drivenBy?: string;
}

/**
 * The dated needs of every bought ingredient, as purchased. Needs of parts (zest, juice) become
 * needs of pieces, after stock of the part itself. One need per ingredient and day of use.
 */
export function ingredientNeeds(input: {
  readonly ingredients: readonly Item[];
  readonly needs: OpenNeeds;
  readonly pieceParts: readonly PlanPiecePart[];
  readonly lots: readonly ItemLot[];
  /** The site's date of an instant. */
  readonly dateOf: (atMin: EpochMin) => ServiceDate;
  readonly builder: ExplanationBuilder;
  readonly nameOf: (itemId: string) => string;
}): Result<readonly DatedIngredientNeed[]> {
  const { builder, nameOf, dateOf } = input;
  const specs = partsSpecs(input.pieceParts);
  const partIds = new Set(input.pieceParts.map((part) => part.itemId));
  const result: DatedIngredientNeed[] = [];
  for (const item of input.ingredients) {
    if (partIds.has(item.id)) continue;
    const uses: DayUse[] = byDay(input.needs.of(item.id), dateOf);
    const spec = specs.get(item.id);
    if (spec) {
      const partNeeds = stockFirst(input, item.id);
      if (!partNeeds.ok) return partNeeds;
      const pieces = piecesByDay({
        spec,
        pieceName: item.name,
        parts: input.pieceParts.filter((part) => part.pieceItemId === item.id),
        needs: partNeeds.value,
        builder,
        nameOf,
      });
      if (!pieces.ok) return pieces;
      for (const day of pieces.value) {
        uses.push({
          date: day.date,
          atMin: day.atMin,
          inputs: [{ nodeId: item.baseUnit === 'each' ? day.piecesNode : day.massNode }],
          certainFraction: day.certainFraction,
          ...(day.drivenBy === null ? {} : { drivenBy: day.drivenBy }),
        });
      }
    }
    result.push(...merged(item, uses, builder));
  }
  return ok(result);
}

function byDay(needs: readonly OpenNeed[], dateOf: (atMin: EpochMin) => ServiceDate): DayUse[] {
  const days = new Map<ServiceDate, OpenNeed[]>();
  for (const need of needs) {
    const date = dateOf(need.atMin);
    const list = days.get(date) ?? [];
    if (list.length === 0) days.set(date, list);
    list.push(need);
  }
  return [...days].map(([date, list]) => ({
    date,
    atMin: Math.min(...list.map((need) => need.atMin)),
    inputs: list.map((need) => ({ nodeId: need.node })),
    certainFraction: certainFractionOf(list),
  }));
}

/** Needs of a piece's parts with stock of the parts taken off, first-expiring first. */
function stockFirst(
  input: Parameters<typeof ingredientNeeds>[0],
  pieceItemId: string,
): Result<(OpenNeed & { date: ServiceDate })[]> {
  const { builder, dateOf, nameOf } = input;
  const open: (OpenNeed & { date: ServiceDate })[] = [];
  for (const part of input.pieceParts.filter((p) => p.pieceItemId === pieceItemId)) {
    const needs = input.needs.of(part.itemId);
    const netted = netNeeds({
      needs: needs.map(({ id, atMin, untilMin, quantity }) => ({ id, atMin, untilMin, quantity })),
      lots: input.lots.filter((lot) => lot.itemId === part.itemId),
    });
    if (!netted.ok) return netted;
    for (const need of needs) {
      const date = dateOf(need.atMin);
      const taken = netted.value.allocations.filter((a) => a.needId === need.id);
      if (taken.length === 0) {
        open.push({ ...need, date });
        continue;
      }
      const node = builder.add({
        id: `${need.node}:after-stock`,
        label: `${nameOf(part.itemId)}, after what is in stock`,
        unit: builder.node(need.node).unit,
        formula: 'not-below-zero',
        inputs: [
          { nodeId: need.node },
          ...taken.map(({ lotId, quantity }) => ({
            nodeId: builder.given({
              label: `${nameOf(part.itemId)} from stock`,
              value: quantity,
              unit: builder.node(need.node).unit,
              source: { kind: 'stock lot', id: lotId, note: need.id },
            }),
            factor: -1,
          })),
        ],
      });
      open.push({ ...need, node, quantity: builder.value(node), date });
    }
  }
  return ok(open);
}

function merged(
  item: Item,
  uses: readonly DayUse[],
  builder: ExplanationBuilder,
): DatedIngredientNeed[] {
  const dates = [...new Set(uses.map((use) => use.date))].sort();
  return dates.flatMap((date) => {
    const today = uses.filter((use) => use.date === date);
    const node = builder.add({
      id: `ingredient:${item.id}:${date}`,
      label: `${item.name}, as purchased, for ${date}`,
      unit: item.baseUnit,
      formula: 'weighted-sum',
      inputs: today.flatMap((use) => use.inputs),
    });
    const quantity = builder.value(node);
    if (quantity <= 0) return [];
    const weights = today.map((use) => ({
      quantity: use.inputs.reduce((sum, { nodeId }) => sum + builder.value(nodeId), 0),
      certainFraction: use.certainFraction,
    }));
    const drivenBy = today.find((use) => use.drivenBy !== undefined)?.drivenBy;
    return [
      {
        ingredientId: item.id,
        needDate: date,
        atMin: Math.min(...today.map((use) => use.atMin)),
        quantity,
        certainQuantity: quantity * certainFractionOf(weights),
        node,
        ...(drivenBy === undefined ? {} : { drivenBy }),
      },
    ];
  });
}
