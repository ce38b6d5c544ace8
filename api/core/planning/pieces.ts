import { addDays } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import type { ExplanationBuilder } from '../explanation/index.ts';
import { explainPieces } from '../parts/index.ts';
import type { PartsSpec } from '../parts/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { OpenNeed } from './open-needs.ts';
import { certainFractionOf } from './open-needs.ts';

/** A part of a bought piece: so much of `itemId` from one piece of `pieceItemId`. */
export interface PlanPiecePart {
  readonly itemId: string;
  readonly pieceItemId: string;
  /** Mass of one piece, g. */
  readonly pieceMassG: number;
  /** Parts of one group share that stage of the piece (juice or segments); groups do not compete. */
  readonly group: string;
  /** Base units of the part per piece. */
  readonly yieldPerPiece: number;
  /** Days after the piece is first cut on which the part can still be taken; 0 = the same day. */
  readonly keepsDays: number;
}

/** The parts specification of each piece, groups in the order first named. */
export function partsSpecs(parts: readonly PlanPiecePart[]): ReadonlyMap<string, PartsSpec> {
  const specs = new Map<string, PartsSpec>();
  for (const part of parts) {
    const spec = specs.get(part.pieceItemId) ?? {
      pieceItemId: part.pieceItemId,
      pieceMassG: part.pieceMassG,
      groups: [],
    };
    const own = { itemId: part.itemId, yieldPerPiece: part.yieldPerPiece };
    const groups = spec.groups.some((g) => g.group === part.group)
      ? spec.groups.map((g) => (g.group === part.group ? { ...g, parts: [...g.parts, own] } : g))
      : [...spec.groups, { group: part.group, parts: [own] }];
    specs.set(part.pieceItemId, { ...spec, groups });
  }
  return specs;
}

/** Pieces for the parts wanted on one day, and which part decides. */
export interface DayPieces {
  readonly date: ServiceDate;
  readonly atMin: number;
  /** Whole pieces. */
  readonly pieces: number;
  readonly piecesNode: string;
  /** Grams of them. */
  readonly massG: number;
  readonly massNode: string;
  readonly certainFraction: number;
  readonly drivenBy: string | null;
}

/** What a day's pieces leave of one group, in pieces. */
interface FreeShare {
  readonly group: string;
  readonly lastDate: ServiceDate;
  readonly node: string;
  readonly value: number;
  pieces: number;
}

/**
 * Pieces of one kind needed at the site, day by day: the largest of the parts' needs, not their
 * sum. What the driving part leaves of the others is free supply for the days it keeps, and is
 * taken before another piece is cut.
 *
 * @param needs needs of the piece's parts, net of stock of the parts, with the day of each
 */
export function piecesByDay(input: {
  readonly spec: PartsSpec;
  readonly pieceName: string;
  readonly parts: readonly PlanPiecePart[];
  readonly needs: readonly (OpenNeed & { readonly date: ServiceDate })[];
  readonly builder: ExplanationBuilder;
  readonly nameOf: (itemId: string) => string;
}): Result<readonly DayPieces[]> {
  const { spec, builder, nameOf } = input;
  const days = [...new Set(input.needs.map((need) => need.date))].sort();
  const partOf = new Map(input.parts.map((part) => [part.itemId, part]));
  const free: FreeShare[] = [];
  const result: DayPieces[] = [];
  for (const date of days) {
    const today = input.needs.filter((need) => need.date === date && need.quantity > 0);
    if (today.length === 0) continue;
    const open = today.map((need) => takeFree(need, free, partOf.get(need.itemId), date, builder));
    const explained = explainPieces(
      spec,
      open.map((need) => ({ itemId: need.itemId, nodeId: need.node })),
      builder,
      {
        pieceName: input.pieceName,
        idPrefix: `pieces:${spec.pieceItemId}:${date}:`,
        partName: nameOf,
      },
    );
    if (!explained.ok) return explained;
    const { piecesNodeId, massNodeId, leftNodeIds } = explained.value;
    for (const [group, node] of leftNodeIds) {
      const keeps = Math.max(
        0,
        ...input.parts.filter((part) => part.group === group).map((part) => part.keepsDays),
      );
      const value = builder.value(node);
      if (value > 0) {
        free.push({ group, lastDate: addDays(date, keeps), node, value, pieces: value });
      }
    }
    const pieces = builder.value(piecesNodeId);
    if (pieces === 0) continue;
    result.push({
      date,
      atMin: Math.min(...today.map((need) => need.atMin)),
      pieces,
      piecesNode: piecesNodeId,
      massG: builder.value(massNodeId),
      massNode: massNodeId,
      certainFraction: certainFractionOf(open),
      drivenBy: drivingPart(spec, open, builder),
    });
  }
  return ok(result);
}

/** Takes what earlier days' pieces left of the part; the need that stays has a node of its own. */
function takeFree(
  need: OpenNeed,
  free: readonly FreeShare[],
  part: PlanPiecePart | undefined,
  date: ServiceDate,
  builder: ExplanationBuilder,
): OpenNeed {
  if (!part) return need;
  let wantedPieces = builder.value(need.node) / part.yieldPerPiece;
  const taken: { node: string; factor: number }[] = [];
  for (const share of free) {
    if (share.group !== part.group || share.lastDate < date || share.pieces <= 1e-9) continue;
    const pieces = Math.min(wantedPieces, share.pieces);
    if (pieces <= 1e-9) break;
    share.pieces -= pieces;
    wantedPieces -= pieces;
    taken.push({ node: share.node, factor: (pieces / share.value) * part.yieldPerPiece });
  }
  if (taken.length === 0) return need;
  const node = builder.add({
    id: `${need.node}:after-left`,
    label: `${need.neededBy.label}, less what earlier pieces left`,
    unit: builder.node(need.node).unit,
    formula: 'not-below-zero',
    inputs: [
      { nodeId: need.node },
      ...taken.map(({ node: left, factor }) => ({ nodeId: left, factor: -factor })),
    ],
  });
  return { ...need, node, quantity: builder.value(node) };
}

function drivingPart(
  spec: PartsSpec,
  needs: readonly OpenNeed[],
  builder: ExplanationBuilder,
): string | null {
  let most = 0;
  let driving: string | null = null;
  for (const group of spec.groups) {
    const parts = group.parts.map((part) => ({
      itemId: part.itemId,
      pieces:
        needs
          .filter((need) => need.itemId === part.itemId)
          .reduce((sum, need) => sum + builder.value(need.node), 0) / part.yieldPerPiece,
    }));
    const total = parts.reduce((sum, part) => sum + part.pieces, 0);
    if (total <= most) continue;
    most = total;
    driving = parts.reduce((a, b) => (b.pieces > a.pieces ? b : a)).itemId;
  }
  return driving;
}
