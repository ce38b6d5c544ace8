import { describe, expect, it } from 'vitest';
import { serviceInstant } from '../../api/core/calendar/index.ts';
import { judgeCooling, judgeHolding, ruleSetOf, useByOf } from '../../api/core/safety/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

const US = ruleSetOf('us');
const UK = ruleSetOf('uk');
const at = (date: string, time = '10:00', zone = 'America/New_York') =>
  unwrap(serviceInstant(date, time, zone));

/** Minutes and degC from the start of a record, judged long after its last reading. */
function cooled(
  rules: typeof US,
  steps: readonly (readonly [number, number])[],
  course = 'cooked',
) {
  const readings = steps.map(([atMin, celsius]) => ({ atMin, celsius }));
  return unwrap(judgeCooling(rules.cooling[course as 'cooked'], { readings }, 10_000)).verdict;
}

/* Source: FDA Food Code 2022, 3-501.14(A) and (B), read in a state code that keeps its numbers. */
describe('cooling by the FDA Food Code', () => {
  it('is 57 to 21 °C within two hours and to 5 °C within six hours in all', () => {
    expect(
      cooled(US, [
        [0, 57],
        [120, 21],
        [360, 5],
      ]),
    ).toBe('met');
    expect(
      cooled(US, [
        [0, 57],
        [120, 21.5],
        [121, 21],
        [360, 5],
      ]),
    ).toBe('breach');
    expect(
      cooled(US, [
        [0, 57],
        [120, 21],
        [360, 5.5],
        [361, 5],
      ]),
    ).toBe('breach');
  });

  it('gives what the first stage did not use to the second: six hours are the whole', () => {
    expect(
      cooled(US, [
        [0, 57],
        [60, 21],
        [359, 5],
      ]),
    ).toBe('met');
  });

  it('lets the printed Fahrenheit figures pass: 135, 70 and 41 °F', () => {
    const f = (value: number) => ((value - 32) * 5) / 9;
    expect(
      cooled(US, [
        [0, f(135)],
        [120, f(70)],
        [360, f(41)],
      ]),
    ).toBe('met');
  });

  it('is four hours to 5 °C for food made from ingredients at room temperature', () => {
    expect(
      cooled(
        US,
        [
          [0, 22],
          [240, 5],
        ],
        'ambient',
      ),
    ).toBe('met');
    expect(
      cooled(
        US,
        [
          [0, 22],
          [240, 6],
          [250, 5],
        ],
        'ambient',
      ),
    ).toBe('breach');
  });
});

/* Source: FDA Food Code 2022, 3-501.17(A); examples published by a US health district (Southern
   Nevada: made 1 April, last day 7 April; burger cooked 1 June used in chili 3 June, 7 June). */
describe('date marking by the FDA Food Code', () => {
  const made = { shelfLifeMin: 30 * 1440, storage: 'chilled', rules: US, zone: 'America/New_York' };
  const input = { ...made, storage: 'chilled' as const, inputs: [], cookedAfter: false };
  const lastMinute = (date: string) => at(date, '24:00');

  it('keeps what is made on 1 April to the end of 7 April: the day of making is day 1', () => {
    const judged = unwrap(useByOf({ ...input, madeAtMin: at('2026-04-01') }));
    expect(judged.useByMin).toBe(lastMinute('2026-04-07'));
    expect(judged.reasons[0]?.grounds?.source).toContain('3-501.17');
  });

  it('keeps a chili of 3 June with a burger of 1 June to 7 June: the earliest made governs', () => {
    const burger = unwrap(useByOf({ ...input, madeAtMin: at('2026-06-01') }));
    const chili = unwrap(
      useByOf({
        ...input,
        madeAtMin: at('2026-06-03'),
        inputs: [{ name: 'Burger', lotId: 'lot_1', useByMin: burger.useByMin }],
      }),
    );
    expect(chili.useByMin).toBe(lastMinute('2026-06-07'));
    expect(chili.reasons[0]?.kind).toBe('input');
  });
});

/* Source: FDA Food Code 2022, 3-501.16(A). */
it('US cold holding is 5 °C or less and hot holding 57 °C or more', () => {
  const held = (kind: 'cold' | 'hot', celsius: number) =>
    unwrap(judgeHolding(kind, US[kind], [{ atMin: 0, celsius }], 1)).verdict;
  expect([held('cold', 5), held('cold', 5.1)]).toEqual(['within', 'breach']);
  expect([held('hot', 57), held('hot', 56.9)]).toEqual(['within', 'breach']);
});

/* Source: Food Safety and Hygiene (England) Regulations 2013, Schedule 4, paragraphs 2, 5, 6; the
   two hours of paragraph 7 are from memory. */
describe('holding by the law of England', () => {
  const held = (kind: 'cold' | 'hot', readings: readonly (readonly [number, number])[]) =>
    unwrap(
      judgeHolding(
        kind,
        UK[kind],
        readings.map(([atMin, celsius]) => ({ atMin, celsius })),
        10_000,
      ),
    ).verdict;

  it('is 8 °C or less when chilled, 63 °C or more when hot', () => {
    expect([held('cold', [[0, 8]]), held('hot', [[0, 63]])]).toEqual(['within', 'within']);
  });

  it('forgives less than four hours chilled and less than two hours hot, once', () => {
    expect(
      held('cold', [
        [0, 5],
        [60, 12],
        [239, 6],
      ]),
    ).toBe('tolerated');
    expect(
      held('cold', [
        [0, 5],
        [60, 12],
        [240, 6],
      ]),
    ).toBe('breach');
    expect(
      held('cold', [
        [0, 5],
        [60, 12],
        [90, 6],
        [200, 12],
        [230, 6],
      ]),
    ).toBe('breach');
    expect(
      held('hot', [
        [0, 70],
        [30, 50],
        [119, 70],
      ]),
    ).toBe('tolerated');
    expect(
      held('hot', [
        [0, 70],
        [30, 50],
        [120, 70],
      ]),
    ).toBe('breach');
  });
});

/* Source: advice of UK industry guides, read second-hand; the law says "as quickly as possible". */
it('UK advice is to cool within 90 minutes, and the rule says that it is advice', () => {
  expect(
    cooled(UK, [
      [0, 80],
      [10, 63],
      [100, 8],
    ]),
  ).toBe('met');
  expect(
    cooled(UK, [
      [0, 80],
      [10, 63],
      [101, 8],
    ]),
  ).toBe('breach');
  expect(UK.cooling.cooked.grounds.kind).toBe('guidance');
});

/* Source: Codex CXC 39-1993 (from memory): 60 to 10 °C within two hours, then 4 °C. */
it('EU sites follow Codex: 60 to 10 °C within two hours, and the rule says that EU law has no number', () => {
  const EU = ruleSetOf('eu');
  expect(
    cooled(EU, [
      [0, 60],
      [120, 10],
    ]),
  ).toBe('met');
  expect(
    cooled(EU, [
      [0, 60],
      [121, 10],
    ]),
  ).toBe('breach');
  expect(EU.cold.limit.celsius).toBe(4);
  expect(EU.cooling.cooked.grounds.source).toContain('gives no number');
});
