import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { roundUpToMultiple } from '../explanation/index.ts';

/** A part that can be taken from a piece: zest, juice, segments. */
export interface PiecePart {
  readonly itemId: string;
  /** Base units of the part that one piece gives when it is used for this part alone; > 0. */
  readonly yieldPerPiece: number;
  /** Where it is grams, the yield is checked against the piece's mass. */
  readonly baseUnit?: 'g' | 'ml' | 'each';
}

/** Parts that compete for the same stage of flesh: juice or segments, not both from one lemon. */
export interface PartGroup {
  readonly group: string;
  readonly parts: readonly PiecePart[];
}

/**
 * What one bought piece can be taken apart into. Groups are in the order of taking (zest before
 * the fruit is cut) and do not compete with one another; parts inside a group do.
 */
export interface PartsSpec {
  readonly pieceItemId: string;
  readonly pieceMassG: number;
  readonly groups: readonly PartGroup[];
}

/** What is wanted of one part, base units, after stock of the part is netted. */
export interface PartNeed {
  readonly itemId: string;
  readonly quantity: number;
}

/** What the pieces leave of one group: either of its parts, not all of them. */
export interface GroupLeft {
  readonly group: string;
  /** Pieces whose share in this group is not used; may be part of a piece. */
  readonly pieces: number;
  /** What those pieces would give of each part if used for that part alone. */
  readonly parts: readonly PartNeed[];
}

export interface PiecesNeeded {
  /** Whole pieces to have: the exact need rounded up. */
  readonly pieces: number;
  /** The largest of the groups' needs, not rounded. */
  readonly exactPieces: number;
  /** Grams of the whole pieces. */
  readonly massG: number;
  readonly drivingGroup: string | null;
  /** The part that asks for most in the driving group. */
  readonly drivingItemId: string | null;
  readonly groups: readonly { readonly group: string; readonly pieces: number }[];
  /** Free supply, in date as long as the pieces are; counted against whole pieces. */
  readonly left: readonly GroupLeft[];
}

/**
 * Checks a parts specification.
 * Errors, with a path: `out-of-range` for a yield or mass not above zero, a yield in grams above
 * the piece's mass, a part named twice, a group or specification with no part.
 */
export function checkPartsSpec(spec: PartsSpec): Result<PartsSpec> {
  const fault = findFault(spec);
  return fault === undefined ? ok(spec) : err(fault);
}

/**
 * Pieces needed for what is wanted of their parts: the largest over the groups, because one piece
 * serves every group; within a group the sum, because a piece's flesh is used once.
 *
 * @returns ok: pieces, what drives them and what is left; errors `out-of-range` as `checkPartsSpec`
 *          or for a need below zero, `missing-component` for a need the piece does not give
 */
export function piecesNeeded(spec: PartsSpec, needs: readonly PartNeed[]): Result<PiecesNeeded> {
  const checked = checkPartsSpec(spec);
  if (!checked.ok) return checked;
  const wanted = new Map<string, number>();
  const known = new Set(spec.groups.flatMap((g) => g.parts.map((part) => part.itemId)));
  for (const [index, need] of needs.entries()) {
    if (!known.has(need.itemId)) {
      return err(
        coreError('missing-component', `${spec.pieceItemId} gives no ${need.itemId}.`, {
          path: ['needs', index, 'itemId'],
          detail: { itemId: need.itemId },
        }),
      );
    }
    if (!(need.quantity >= 0 && Number.isFinite(need.quantity))) {
      return err(
        bad(
          'What is wanted of a part must be zero or more.',
          ['needs', index, 'quantity'],
          need.quantity,
        ),
      );
    }
    wanted.set(need.itemId, (wanted.get(need.itemId) ?? 0) + need.quantity);
  }
  const groups = spec.groups.map((group) => groupPieces(group, wanted));
  let driving = groups[0];
  for (const group of groups) {
    if (driving === undefined || group.pieces > driving.pieces) driving = group;
  }
  const exactPieces = driving?.pieces ?? 0;
  const pieces = roundUpToMultiple(exactPieces, 1);
  return ok({
    pieces,
    exactPieces,
    massG: pieces * spec.pieceMassG,
    drivingGroup: exactPieces > 0 ? (driving?.group ?? null) : null,
    drivingItemId: exactPieces > 0 ? (driving?.largestItemId ?? null) : null,
    groups: groups.map(({ group, pieces: own }) => ({ group, pieces: own })),
    left: spec.groups.map((group, index) => leftOf(group, pieces - (groups[index]?.pieces ?? 0))),
  });
}

function groupPieces(group: PartGroup, wanted: ReadonlyMap<string, number>) {
  let pieces = 0;
  let largest = 0;
  let largestItemId: string | null = null;
  for (const part of group.parts) {
    const own = (wanted.get(part.itemId) ?? 0) / part.yieldPerPiece;
    pieces += own;
    if (own > largest) {
      largest = own;
      largestItemId = part.itemId;
    }
  }
  return { group: group.group, pieces, largestItemId };
}

function leftOf(group: PartGroup, pieces: number): GroupLeft {
  const free = Math.max(0, pieces);
  return {
    group: group.group,
    pieces: free,
    parts: group.parts.map((part) => ({
      itemId: part.itemId,
      quantity: free * part.yieldPerPiece,
    })),
  };
}

function findFault(spec: PartsSpec): CoreError | undefined {
  const { pieceMassG } = spec;
  if (!(pieceMassG > 0 && Number.isFinite(pieceMassG))) {
    return bad('A piece must weigh something.', ['pieceMassG'], pieceMassG);
  }
  if (spec.groups.length === 0) return bad('A piece needs at least one part.', ['groups'], 0);
  const seen = new Set<string>();
  for (const [g, group] of spec.groups.entries()) {
    if (group.parts.length === 0) {
      return bad(`The group ${group.group} has no part.`, ['groups', g, 'parts'], 0);
    }
    for (const [p, part] of group.parts.entries()) {
      const path = ['groups', g, 'parts', p] as const;
      if (seen.has(part.itemId)) {
        return bad(`${part.itemId} is named twice.`, [...path, 'itemId'], part.itemId);
      }
      seen.add(part.itemId);
      const amount = part.yieldPerPiece;
      if (!(amount > 0 && Number.isFinite(amount))) {
        return bad(`A piece must give some ${part.itemId}.`, [...path, 'yieldPerPiece'], amount);
      }
      if (part.baseUnit === 'g' && amount > pieceMassG) {
        return bad(
          `A piece cannot give more ${part.itemId} than it weighs.`,
          [...path, 'yieldPerPiece'],
          amount,
        );
      }
    }
  }
  return undefined;
}

function bad(message: string, path: readonly (string | number)[], value: unknown): CoreError {
  return coreError('out-of-range', message, { path, detail: { value } });
}
