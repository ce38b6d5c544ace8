import type { ExplanationBuilder } from '../explanation/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { PartsSpec } from './pieces.ts';
import { piecesNeeded } from './pieces.ts';

/** A part's need that is explained already. */
export interface ExplainedPartNeed {
  readonly itemId: string;
  readonly nodeId: string;
}

export interface ExplainedPieces {
  /** Whole pieces. */
  readonly piecesNodeId: string;
  /** Largest group need before rounding. */
  readonly exactNodeId: string;
  readonly massNodeId: string;
  /** Pieces whose share in the group stays free, by group. */
  readonly leftNodeIds: ReadonlyMap<string, string>;
}

export interface ExplainPiecesOptions {
  /** The piece as a cook says it: 'Lemon'. */
  readonly pieceName: string;
  /** Ids are this followed by 'group:<group>', 'exact', 'pieces', 'mass', 'left:<group>'. */
  readonly idPrefix: string;
  /** Name of a part for the labels; the id where absent. */
  readonly partName?: (itemId: string) => string;
}

/**
 * `piecesNeeded` as explanation nodes: the sum inside each group, the largest over the groups, the
 * rounding to whole pieces, and what each group leaves. Errors as `piecesNeeded`.
 */
export function explainPieces(
  spec: PartsSpec,
  needs: readonly ExplainedPartNeed[],
  builder: ExplanationBuilder,
  options: ExplainPiecesOptions,
): Result<ExplainedPieces> {
  const amounts = needs.map((n) => ({ itemId: n.itemId, quantity: builder.value(n.nodeId) }));
  const checked = piecesNeeded(spec, amounts);
  if (!checked.ok) return checked;
  const { pieceName, idPrefix } = options;
  const nameOf = options.partName ?? ((itemId: string) => itemId);
  const source = { kind: 'parts of a piece', id: spec.pieceItemId };

  const groupNodes = spec.groups.map(({ group, parts }) => {
    const inputs = parts.flatMap((part) =>
      needs
        .filter((need) => need.itemId === part.itemId)
        .map(({ nodeId }) => ({
          nodeId,
          factor: 1 / part.yieldPerPiece,
          role: nameOf(part.itemId),
        })),
    );
    const nodeId = builder.add({
      id: `${idPrefix}group:${group}`,
      label: `${pieceName} for ${parts.map((part) => nameOf(part.itemId)).join(' or ')}`,
      unit: 'each',
      formula: 'weighted-sum',
      inputs,
      source,
    });
    return { group, nodeId };
  });
  const exactNodeId = builder.add({
    id: `${idPrefix}exact`,
    label: `${pieceName}, the part that needs most`,
    unit: 'each',
    formula: 'maximum',
    inputs: groupNodes.map(({ group, nodeId }) => ({ nodeId, role: group })),
    source,
  });
  const piecesNodeId = builder.add({
    id: `${idPrefix}pieces`,
    label: `${pieceName}, whole`,
    unit: 'each',
    formula: 'round-up-to-multiple',
    inputs: [{ nodeId: exactNodeId }],
    parameters: { multiple: 1 },
  });
  const massNodeId = builder.add({
    id: `${idPrefix}mass`,
    label: `${pieceName}, weight as bought`,
    unit: 'g',
    formula: 'weighted-sum',
    inputs: [{ nodeId: piecesNodeId, factor: spec.pieceMassG, role: 'mass of a piece' }],
    source,
  });
  const leftNodeIds = new Map(
    groupNodes.map(({ group, nodeId }) => [
      group,
      builder.add({
        id: `${idPrefix}left:${group}`,
        label: `${pieceName} with ${group} left over`,
        unit: 'each',
        formula: 'not-below-zero',
        inputs: [{ nodeId: piecesNodeId }, { nodeId, factor: -1 }],
      }),
    ]),
  );
  return ok({ piecesNodeId, exactNodeId, massNodeId, leftNodeIds });
}
