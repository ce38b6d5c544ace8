import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ExplanationGraph, FormulaName } from '../../../api/core/explanation/index.ts';
import {
  chain,
  evaluate,
  ExplanationBuilder,
  roundToStep,
  roundUpToMultiple,
  subgraph,
} from '../../../api/core/explanation/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

/** Covers to batches to flour: 42 covers, half order the tart, 30 g curd each, 500 g a batch. */
function tartMorning() {
  const builder = new ExplanationBuilder();
  const covers = builder.given({
    id: 'covers',
    label: 'Covers at dinner',
    value: 42,
    unit: 'covers',
    source: { kind: 'covers snapshot', id: 'cov_7' },
  });
  const share = builder.given({
    id: 'share',
    label: 'Share of the tart',
    value: 0.5,
    unit: 'fraction',
  });
  const portions = builder.add({
    id: 'portions',
    label: 'Tart portions',
    unit: 'portions',
    formula: 'product',
    inputs: [{ nodeId: covers }, { nodeId: share }],
  });
  const stock = builder.given({ id: 'stock', label: 'Curd in the fridge', value: 100, unit: 'g' });
  const net = builder.add({
    id: 'net',
    label: 'Curd still needed',
    unit: 'g',
    formula: 'not-below-zero',
    inputs: [
      { nodeId: portions, factor: 30 },
      { nodeId: stock, factor: -1 },
    ],
  });
  const batches = builder.add({
    id: 'batches',
    label: 'Curd batches',
    unit: 'batches',
    formula: 'round-up-to-multiple',
    inputs: [{ nodeId: net, factor: 1 / 500 }],
    parameters: { multiple: 0.5 },
  });
  builder.given({ id: 'unrelated', label: 'Something else', value: 9, unit: 'each' });
  return { builder, batches };
}

describe('an explanation built while planning', () => {
  it('works the figure out from its inputs as it is added', () => {
    const { builder, batches } = tartMorning();
    expect(builder.value('portions')).toBe(21);
    expect(builder.value('net')).toBe(530);
    expect(builder.value(batches)).toBe(1.5);
  });

  it('gives the same figure again from the leaves alone, whatever the stored values say', () => {
    const { builder, batches } = tartMorning();
    const stored = JSON.parse(JSON.stringify(builder.graph())) as ExplanationGraph;
    const spoiled: ExplanationGraph = {
      nodes: stored.nodes.map((n) => (n.formula === 'given' ? n : { ...n, value: -1 })),
    };
    expect(unwrap(evaluate(spoiled, batches))).toBe(1.5);
  });

  it('moves with a leaf: twice the covers is twice the portions', () => {
    const { builder, batches } = tartMorning();
    const graph: ExplanationGraph = {
      nodes: builder.graph().nodes.map((n) => (n.id === 'covers' ? { ...n, value: 84 } : n)),
    };
    expect(unwrap(evaluate(graph, 'portions'))).toBe(42);
    expect(unwrap(evaluate(graph, batches))).toBe(2.5);
  });

  it('keeps only what a figure rests on, inputs first', () => {
    const { builder, batches } = tartMorning();
    const ids = unwrap(subgraph(builder.graph(), batches)).nodes.map((n) => n.id);
    expect(ids).toEqual(['covers', 'share', 'portions', 'stock', 'net', 'batches']);
  });

  it('reads as a chain from covers to batches', () => {
    const { builder, batches } = tartMorning();
    const lines = unwrap(chain(builder.graph(), batches));
    expect(lines[0]).toBe('Covers at dinner: 42 covers (covers snapshot cov_7)');
    expect(lines[2]).toBe(
      'Tart portions: 21 portions = 42 covers [Covers at dinner] × 0.5 fraction [Share of the tart]',
    );
    expect(lines.at(-1)).toBe(
      'Curd batches: 1.5 batches = 0.002 × 530 g [Curd still needed], rounded up to a multiple of 0.5',
    );
  });

  it('gives equal content one id and different content another, in any run', () => {
    const ids = [1, 2].map(() => {
      const builder = new ExplanationBuilder();
      const first = builder.given({ label: 'Flour', value: 1, unit: 'g' });
      expect(builder.given({ unit: 'g', value: 1, label: 'Flour' })).toBe(first);
      expect(builder.given({ label: 'Flour', value: 2, unit: 'g' })).not.toBe(first);
      expect(builder.size).toBe(2);
      return first;
    });
    expect(ids[0]).toBe(ids[1]);
  });

  it('refuses a used id for another figure, an unknown input and a figure that is no number', () => {
    const builder = new ExplanationBuilder();
    builder.given({ id: 'a', label: 'A', value: 1, unit: 'g' });
    expect(builder.given({ id: 'a', label: 'A', value: 1, unit: 'g' })).toBe('a');
    expect(() => builder.given({ id: 'a', label: 'A', value: 2, unit: 'g' })).toThrow(
      'already in use',
    );
    expect(() => builder.given({ label: 'B', value: NaN, unit: 'g' })).toThrow('finite');
    expect(() =>
      builder.add({ label: 'C', unit: 'g', formula: 'weighted-sum', inputs: [{ nodeId: 'no' }] }),
    ).toThrow('no explanation node no');
    const zero = builder.given({ label: 'Zero', value: 0, unit: 'g' });
    expect(() =>
      builder.add({
        label: 'D',
        unit: 'g',
        formula: 'quotient',
        inputs: [{ nodeId: 'a' }, { nodeId: zero }],
      }),
    ).toThrow('divide by zero');
  });
});

describe('an explanation read back from storage', () => {
  const leaf = { id: 'a', label: 'A', value: 1, unit: 'g', formula: 'given', inputs: [] } as const;

  it('is refused when a figure rests on itself', () => {
    const ring = (id: string, on: string) =>
      ({
        id,
        label: id,
        value: 1,
        unit: 'g',
        formula: 'weighted-sum',
        inputs: [{ nodeId: on }],
      }) as const;
    const result = evaluate({ nodes: [ring('p', 'q'), ring('q', 'p')] }, 'p');
    expect(result).toMatchObject({ ok: false, error: { kind: 'broken-explanation' } });
  });

  it('is refused when a node is absent', () => {
    expect(evaluate({ nodes: [leaf] }, 'zz')).toMatchObject({
      ok: false,
      error: { kind: 'missing-data', detail: { nodeId: 'zz' } },
    });
  });

  it.each([
    ['round-up-to-multiple', { multiple: 0 }],
    ['round-to-step', {}],
    ['clamp', { lower: 2, upper: 1 }],
    ['quotient', {}],
    ['distribution-quantile', { distribution: 'normal', level: 0.9 }],
    ['distribution-quantile', { distribution: 'poisson', level: 1 }],
    ['distribution-quantile', { distribution: 'negative-binomial', level: 0.9 }],
    ['no-such-formula' as FormulaName, {}],
  ] as const)('is refused when %s does not fit its parameters %o', (formula, parameters) => {
    const node = {
      id: 'b',
      label: 'B',
      value: 1,
      unit: 'g',
      formula,
      inputs: [{ nodeId: 'a' }],
      parameters,
    };
    expect(evaluate({ nodes: [leaf, node] }, 'b')).toMatchObject({
      ok: false,
      error: { kind: 'broken-explanation', detail: { nodeId: 'b' } },
    });
  });

  it('follows a chain of 100 000 figures without running out of stack', () => {
    const nodes = Array.from({ length: 100_000 }, (_, i) =>
      i === 0
        ? leaf
        : {
            id: `n${i}`,
            label: 'next',
            value: 0,
            unit: 'g',
            formula: 'weighted-sum' as const,
            inputs: [{ nodeId: i === 1 ? 'a' : `n${i - 1}` }],
          },
    );
    expect(unwrap(evaluate({ nodes }, 'n99999'))).toBe(1);
  });
});

describe('rounding inside an explanation', () => {
  it('takes arithmetic noise for the whole batch it is', () => {
    expect(roundUpToMultiple(3.0000000001, 1)).toBe(3);
    expect(roundUpToMultiple(0.1 + 0.2, 0.3)).toBe(0.3);
    expect(roundUpToMultiple(3.000001, 1)).toBe(4);
  });

  it('makes nothing for no need and at least the minimum for any', () => {
    expect(roundUpToMultiple(0, 1, 2)).toBe(0);
    expect(roundUpToMultiple(-5, 1)).toBe(0);
    expect(roundUpToMultiple(0.2, 1, 2)).toBe(2);
    expect(roundUpToMultiple(0.2, 0.5, 0.75)).toBe(1);
  });

  it('rounds halves away from zero, on the scale step the cook has', () => {
    expect(roundToStep(2.5, 1)).toBe(3);
    expect(roundToStep(-2.5, 1)).toBe(-3);
    expect(roundToStep(1.005, 0.01)).toBeCloseTo(1.01, 12);
    expect(roundToStep(0.4, 1)).toBe(0);
  });

  it('covers the need and overshoots by less than one multiple (property)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        fc.double({ min: 1e-2, max: 1e3, noNaN: true }),
        (need, multiple) => {
          const made = roundUpToMultiple(need, multiple);
          expect(made).toBeGreaterThanOrEqual(need * (1 - 1e-8) - 1e-8 * multiple);
          expect(made - need).toBeLessThan(multiple * (1 + 1e-8));
        },
      ),
    );
  });
});

describe('a quantile inside an explanation', () => {
  // R qnbinom and qpois: 0.95 quantiles of mean 42.5, size 10, and of mean 10.
  it.each([
    ['negative-binomial', 42.5, 69],
    ['poisson', 10, 15],
  ])('is the exact one of the %s with mean %d', (distribution, mean, expected) => {
    const builder = new ExplanationBuilder();
    const nodeId = builder.given({ label: 'Portions on average', value: mean, unit: 'portions' });
    const enough = builder.add({
      label: 'Portions to have ready',
      unit: 'portions',
      formula: 'distribution-quantile',
      inputs: [{ nodeId, role: 'mean' }],
      parameters: { distribution, level: 0.95, size: 10 },
    });
    expect(builder.value(enough)).toBe(expected);
    expect(unwrap(evaluate(builder.graph(), enough))).toBe(expected);
    expect(unwrap(chain(builder.graph(), enough)).at(-1)).toContain(
      'enough in 95 of 100 such services',
    );
  });
});

describe('any explanation (property)', () => {
  const FORMULAS = [
    'weighted-sum',
    'product',
    'maximum',
    'minimum',
    'not-below-zero',
    'round-up-to-multiple',
    'round-to-step',
    'clamp',
    'distribution-quantile',
  ] as const;

  it('evaluates to the value planning gave it, from the leaves alone', () => {
    // A stand-in quantile: any deterministic function of mean, size and level will do here.
    const options = {
      quantile: (d: { mean: number; size?: number }, level: number) =>
        Math.ceil(d.mean * (1 + level) + (d.size ?? 0)),
    };
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 1, maxLength: 5 }),
        fc.array(
          fc.record({
            formula: fc.constantFrom(...FORMULAS),
            picks: fc.array(
              fc.record({ at: fc.nat(), factor: fc.double({ min: 0, max: 1, noNaN: true }) }),
              { minLength: 1, maxLength: 4 },
            ),
            step: fc.double({ min: 0.1, max: 10, noNaN: true }),
          }),
          { maxLength: 15 },
        ),
        (leaves, steps) => {
          const builder = new ExplanationBuilder(options);
          const ids = leaves.map((value, i) =>
            builder.given({ id: `leaf${i}`, label: 'leaf', value, unit: 'g' }),
          );
          for (const [i, { formula, picks, step }] of steps.entries()) {
            const used = formula === 'distribution-quantile' ? picks.slice(0, 1) : picks;
            const inputs = used.map((p) => ({
              nodeId: ids[p.at % ids.length] ?? '',
              factor: p.factor,
            }));
            const parameters = {
              multiple: step,
              step,
              lower: 1,
              upper: 50,
              distribution: i % 2 === 0 ? 'poisson' : 'negative-binomial',
              level: 0.9,
              size: 3,
            };
            ids.push(builder.add({ label: 'step', unit: 'g', formula, inputs, parameters }));
          }
          const graph = builder.graph();
          const bare: ExplanationGraph = {
            nodes: graph.nodes.map((n) => (n.formula === 'given' ? n : { ...n, value: NaN })),
          };
          for (const id of ids) expect(unwrap(evaluate(bare, id, options))).toBe(builder.value(id));
        },
      ),
    );
  });
});
