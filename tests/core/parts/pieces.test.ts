import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate, ExplanationBuilder } from '../../../api/core/explanation/index.ts';
import type { PartsSpec } from '../../../api/core/parts/index.ts';
import { checkPartsSpec, explainPieces, piecesNeeded } from '../../../api/core/parts/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

/**
 * One lemon: 48 g juice (USDA SR28 item 09152, weight of the juice of one lemon) or 58 g flesh in
 * segments (09150, fruit of 2⅛ in); 6 g zest, one tablespoon of grated peel (09156): that a lemon
 * gives a tablespoon is common practice, no source. Piece 110 g: 58 g ÷ 0.53 (09150 refuse 47 %).
 */
const LEMON: PartsSpec = {
  pieceItemId: 'lemon',
  pieceMassG: 110,
  groups: [
    { group: 'zest', parts: [{ itemId: 'zest', yieldPerPiece: 6, baseUnit: 'g' }] },
    {
      group: 'flesh',
      parts: [
        { itemId: 'juice', yieldPerPiece: 48, baseUnit: 'g' },
        { itemId: 'segments', yieldPerPiece: 58, baseUnit: 'g' },
      ],
    },
  ],
};

describe('pieces for shared parts', () => {
  it('are the largest need, not the sum, and say which part drives them', () => {
    const need = unwrap(
      piecesNeeded(LEMON, [
        { itemId: 'zest', quantity: 60 },
        { itemId: 'juice', quantity: 240 },
      ]),
    );
    expect(need).toMatchObject({
      pieces: 10,
      exactPieces: 10,
      massG: 1100,
      drivingGroup: 'zest',
      drivingItemId: 'zest',
    });
    // Five lemons are zested only: their flesh is free for juice or segments.
    expect(need.left[1]).toEqual({
      group: 'flesh',
      pieces: 5,
      parts: [
        { itemId: 'juice', quantity: 240 },
        { itemId: 'segments', quantity: 290 },
      ],
    });
  });

  it('add up inside a group: a lemon is juiced or segmented, not both', () => {
    const need = unwrap(
      piecesNeeded(LEMON, [
        { itemId: 'juice', quantity: 96 },
        { itemId: 'segments', quantity: 174 },
        { itemId: 'zest', quantity: 12 },
      ]),
    );
    expect(need).toMatchObject({ pieces: 5, drivingGroup: 'flesh', drivingItemId: 'segments' });
    expect(need.groups).toEqual([
      { group: 'zest', pieces: 2 },
      { group: 'flesh', pieces: 5 },
    ]);
    expect(need.left[0]).toEqual({
      group: 'zest',
      pieces: 3,
      parts: [{ itemId: 'zest', quantity: 18 }],
    });
  });

  it('are bought whole, and what rounding adds is left too', () => {
    const need = unwrap(piecesNeeded(LEMON, [{ itemId: 'juice', quantity: 100 }]));
    expect(need.pieces).toBe(3);
    expect(need.exactPieces).toBeCloseTo(100 / 48, 12);
    expect(need.left[1]?.pieces).toBeCloseTo(3 - 100 / 48, 12);
  });

  it('are none when nothing is wanted', () => {
    expect(unwrap(piecesNeeded(LEMON, []))).toMatchObject({
      pieces: 0,
      massG: 0,
      drivingGroup: null,
      drivingItemId: null,
    });
  });

  it('refuse a part the piece does not give, and a need below zero', () => {
    expect(piecesNeeded(LEMON, [{ itemId: 'pips', quantity: 1 }])).toMatchObject({
      error: { kind: 'missing-component', path: ['needs', 0, 'itemId'] },
    });
    expect(piecesNeeded(LEMON, [{ itemId: 'zest', quantity: -1 }])).toMatchObject({
      error: { kind: 'out-of-range', path: ['needs', 0, 'quantity'] },
    });
  });

  const zest = { itemId: 'zest', yieldPerPiece: 6 };
  it.each([
    [
      'a part with no yield',
      { ...LEMON, groups: [{ group: 'zest', parts: [{ ...zest, yieldPerPiece: 0 }] }] },
    ],
    [
      'more grams than the piece weighs',
      {
        ...LEMON,
        groups: [
          { group: 'zest', parts: [{ ...zest, yieldPerPiece: 111, baseUnit: 'g' as const }] },
        ],
      },
    ],
    [
      'a part named twice',
      { ...LEMON, groups: [...LEMON.groups, { group: 'again', parts: [zest] }] },
    ],
    ['a weightless piece', { ...LEMON, pieceMassG: 0 }],
    ['no part at all', { ...LEMON, groups: [] }],
    ['an empty group', { ...LEMON, groups: [{ group: 'zest', parts: [] }] }],
  ])('refuse a specification with %s', (_what, spec) => {
    expect(checkPartsSpec(spec)).toMatchObject({ ok: false, error: { kind: 'out-of-range' } });
  });

  it('cover every need, and one piece less would not (property)', () => {
    const amount = fc.double({ min: 0, max: 5000, noNaN: true });
    fc.assert(
      fc.property(amount, amount, amount, (zestG, juiceG, segmentsG) => {
        const need = unwrap(
          piecesNeeded(LEMON, [
            { itemId: 'zest', quantity: zestG },
            { itemId: 'juice', quantity: juiceG },
            { itemId: 'segments', quantity: segmentsG },
          ]),
        );
        const serves = (pieces: number): boolean =>
          pieces * 6 >= zestG * (1 - 1e-8) - 1e-6 &&
          pieces >= (juiceG / 48 + segmentsG / 58) * (1 - 1e-8) - 1e-6;
        expect(serves(need.pieces)).toBe(true);
        expect(need.pieces === 0 || !serves(need.pieces - 1 - 1e-5)).toBe(true);
        for (const [i, group] of need.left.entries()) {
          expect(group.pieces + (need.groups[i]?.pieces ?? NaN)).toBeCloseTo(need.pieces, 6);
        }
      }),
    );
  });

  it('are rebuilt from their explanation alone (property)', () => {
    const amount = fc.double({ min: 0, max: 5000, noNaN: true });
    fc.assert(
      fc.property(amount, amount, (zestG, juiceG) => {
        const builder = new ExplanationBuilder();
        const leaf = (itemId: string, value: number) => ({
          itemId,
          nodeId: builder.given({ id: itemId, label: itemId, value, unit: 'g' }),
        });
        const needs = [leaf('zest', zestG), leaf('juice', juiceG)];
        const options = { pieceName: 'Lemon', idPrefix: 'lemon:' };
        const nodes = unwrap(explainPieces(LEMON, needs, builder, options));
        const plain = unwrap(
          piecesNeeded(LEMON, [
            { itemId: 'zest', quantity: zestG },
            { itemId: 'juice', quantity: juiceG },
          ]),
        );
        const graph = builder.graph();
        expect(unwrap(evaluate(graph, nodes.piecesNodeId))).toBe(plain.pieces);
        expect(unwrap(evaluate(graph, nodes.massNodeId))).toBe(plain.massG);
        for (const left of plain.left) {
          const nodeId = nodes.leftNodeIds.get(left.group) ?? '';
          expect(unwrap(evaluate(graph, nodeId))).toBeCloseTo(left.pieces, 6);
        }
      }),
    );
  });

  it('are not explained where they are refused', () => {
    const builder = new ExplanationBuilder();
    const nodeId = builder.given({ label: 'pips', value: 1, unit: 'g' });
    const result = explainPieces(LEMON, [{ itemId: 'pips', nodeId }], builder, {
      pieceName: 'Lemon',
      idPrefix: 'x:',
    });
    expect(result).toMatchObject({ ok: false, error: { kind: 'missing-component' } });
    expect(builder.size).toBe(1);
  });
});
