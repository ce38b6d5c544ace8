import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  BREACH_KINDS,
  celsiusOf,
  correctionsFor,
  judgeCooling,
  judgeHolding,
  plannedShelfLifeMin,
  RULE_SET_IDS,
  ruleSetOf,
  useByOf,
  type TemperatureReading,
} from '../../../api/core/safety/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const readings = fc.array(
  fc.record({
    atMin: fc.integer({ min: 0, max: 600 }),
    celsius: fc.double({ min: -5, max: 95, noNaN: true }),
  }),
  { minLength: 1, maxLength: 12 },
);
const ruleSet = fc.constantFrom(...RULE_SET_IDS).map(ruleSetOf);
const judge = (rules: ReturnType<typeof ruleSetOf>, given: readonly TemperatureReading[]) =>
  unwrap(judgeCooling(rules.cooling.cooked, { readings: given }, 2000));

describe('a cooling record', () => {
  it('is judged the same in whatever order it is written down', () => {
    fc.assert(
      fc.property(ruleSet, readings, fc.integer(), (rules, given, turn) => {
        const turned = [
          ...given.slice(turn % given.length),
          ...given.slice(0, turn % given.length),
        ];
        expect(judge(rules, turned)).toEqual(judge(rules, given));
      }),
    );
  });

  it('that kept the limit at every minute is never called a breach when read every minute', () => {
    fc.assert(
      fc.property(ruleSet, fc.double({ min: 0.2, max: 1, noNaN: true }), (rules, pace) => {
        const { from, targets } = rules.cooling.cooked;
        const start = from?.celsius ?? 0;
        const last = targets.at(-1);
        const first = targets[0];
        if (!last || !first) throw new Error('a limit has targets');
        // Falls in a straight line to the coldest target by a part of the shortest time.
        const span = Math.floor(first.withinMin * pace);
        const given = Array.from({ length: span + 1 }, (_, atMin) => ({
          atMin,
          celsius:
            atMin === span ? last.to.celsius : start - ((start - last.to.celsius) * atMin) / span,
        }));
        expect(judge(rules, given).verdict).toBe('met');
      }),
    );
  });

  it('never gets better by leaving a reading out, as long as the first and last stay', () => {
    fc.assert(
      fc.property(ruleSet, readings, fc.nat(), (rules, given, pick) => {
        // Of a food that only gets colder: heating again is another record.
        const colder = given.map((r) => r.celsius).sort((a, b) => b - a);
        const times = given.map((r) => r.atMin).sort((a, b) => a - b);
        const sorted = times.map((atMin, i) => ({ atMin, celsius: colder[i] ?? 0 }));
        fc.pre(sorted.length > 2 && new Set(times).size === times.length);
        const gone = 1 + (pick % (sorted.length - 2));
        const fewer = sorted.filter((_, i) => i !== gone);
        if (judge(rules, fewer).verdict === 'met') {
          expect(judge(rules, sorted).verdict).toBe('met');
        }
      }),
      { numRuns: 1000 },
    );
  });

  it('heated again does not hide that the limit was missed', () => {
    const given = [
      { atMin: 0, celsius: 70 },
      { atMin: 300, celsius: 40 },
      { atMin: 310, celsius: 80 },
      { atMin: 350, celsius: 4 },
    ];
    for (const id of RULE_SET_IDS) {
      const judged = judge(ruleSetOf(id), given);
      expect(judged.verdict).toBe('breach');
      expect(judged.remarks.join()).toContain('heated again');
    }
  });

  it('that begins below the start shows nothing until somebody says when it came off the heat', () => {
    const { cooked } = ruleSetOf('us').cooling;
    const late = [
      { atMin: 100, celsius: 40 },
      { atMin: 140, celsius: 20 },
      { atMin: 200, celsius: 4 },
    ];
    const judged = unwrap(judgeCooling(cooked, { readings: late }, 300));
    expect(judged.verdict).toBe('breach');
    expect(judged.remarks[0]).toContain('came off the heat');
    expect(unwrap(judgeCooling(cooked, { readings: late, offHeatMin: 60 }, 300)).verdict).toBe(
      'met',
    );
    expect(unwrap(judgeCooling(cooked, { readings: late, offHeatMin: 0 }, 300)).verdict).toBe(
      'breach',
    );
  });

  it('is under way until a limit falls due, and a breach once none of its readings shows it', () => {
    const { cooked } = ruleSetOf('us').cooling;
    const record = { readings: [{ atMin: 0, celsius: 80 }] };
    expect(unwrap(judgeCooling(cooked, record, 119)).verdict).toBe('under-way');
    expect(unwrap(judgeCooling(cooked, record, 120)).verdict).toBe('breach');
    expect(unwrap(judgeCooling(cooked, { readings: [] }, 120)).verdict).toBe('no-readings');
  });

  it('refuses a reading of the future and one that is no number', () => {
    const { cooked } = ruleSetOf('uk').cooling;
    for (const bad of [
      { atMin: 11, celsius: 20 },
      { atMin: 5, celsius: Number.NaN },
    ]) {
      const judged = judgeCooling(cooked, { readings: [bad] }, 10);
      expect(judged).toMatchObject({ ok: false, error: { kind: 'out-of-range' } });
    }
  });
});

describe('food held cold', () => {
  it('is within its limit exactly when every reading is', () => {
    fc.assert(
      fc.property(ruleSet, readings, (rules, given) => {
        const inside = given.every((r) => r.celsius <= rules.cold.limit.celsius);
        const { verdict, excursions } = unwrap(judgeHolding('cold', rules.cold, given, 2000));
        expect(verdict === 'within').toBe(inside);
        for (const one of excursions) expect(one.toMin).toBeGreaterThanOrEqual(one.fromMin);
      }),
    );
  });

  it('counts the time it may have been warm: from the last good reading to the next, or to now', () => {
    const { cold } = ruleSetOf('uk');
    const given = [
      { atMin: 0, celsius: 5 },
      { atMin: 60, celsius: 10 },
    ];
    expect(unwrap(judgeHolding('cold', cold, given, 200)).excursions).toEqual([
      { fromMin: 0, toMin: 200, worstCelsius: 10, over: false },
    ]);
  });
});

describe('a use-by', () => {
  const base = {
    madeAtMin: 29_000_000,
    shelfLifeMin: 3 * 1440,
    storage: 'chilled' as const,
    zone: 'Europe/Rome',
    inputs: [],
    cookedAfter: false,
  };

  it('is the earliest of shelf life, rule set and inputs, and says which', () => {
    fc.assert(
      fc.property(
        ruleSet,
        fc.integer({ min: 1, max: 40 * 1440 }),
        fc.array(fc.integer({ min: -1440, max: 40 * 1440 }), { maxLength: 4 }),
        fc.boolean(),
        (rules, shelfLifeMin, lives, cookedAfter) => {
          const inputs = lives.map((life, i) => ({
            name: `Input ${i}`,
            lotId: `lot_${i}`,
            useByMin: base.madeAtMin + life,
          }));
          const got = unwrap(useByOf({ ...base, rules, shelfLifeMin, inputs, cookedAfter }));
          const own = base.madeAtMin + shelfLifeMin;
          const bounds = cookedAfter ? [own] : [own, ...inputs.map((i) => i.useByMin)];
          const cap = got.reasons.find((r) => r.kind === 'rule-set')?.atMin ?? Infinity;
          expect(got.useByMin).toBe(Math.min(cap, ...bounds));
          expect(got.reasons[0]?.atMin).toBe(got.useByMin);
          expect(got.notice).toContain('local codes');
        },
      ),
    );
  });

  it('of the rule set holds for chilled food only', () => {
    const rules = ruleSetOf('us');
    for (const storage of ['frozen', 'ambient'] as const) {
      const got = unwrap(useByOf({ ...base, storage, rules, shelfLifeMin: 60 * 1440 }));
      expect(got.useByMin).toBe(base.madeAtMin + 60 * 1440);
    }
  });

  it('planned is never later than what the rule set then allows, at whatever hour it is made', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1439 }), ruleSet, (minute, rules) => {
        const madeAtMin = base.madeAtMin + minute;
        const shelfLifeMin = 20 * 1440;
        const planned = plannedShelfLifeMin(shelfLifeMin, 'chilled', rules);
        const real = unwrap(useByOf({ ...base, madeAtMin, shelfLifeMin, rules }));
        expect(madeAtMin + planned).toBeLessThanOrEqual(real.useByMin);
      }),
    );
  });

  it('of a recipe that keeps no time at all is refused', () => {
    const refused = useByOf({ ...base, shelfLifeMin: 0, rules: ruleSetOf('eu') });
    expect(refused).toMatchObject({ ok: false, error: { kind: 'out-of-range' } });
  });
});

it('a temperature outside what a kitchen reads is refused, and Fahrenheit is converted', () => {
  expect(unwrap(celsiusOf({ value: 41, unit: '[degF]' }))).toBeCloseTo(5, 9);
  expect(unwrap(celsiusOf({ value: 82, unit: 'Cel' }))).toBe(82);
  expect(celsiusOf({ value: 820, unit: 'Cel' }).ok).toBe(false);
});

it('every limit and every correction says what it rests on, and throwing away is always a choice', () => {
  for (const id of RULE_SET_IDS) {
    const rules = ruleSetOf(id);
    const grounds = [
      rules.cooling.cooked.grounds,
      rules.cooling.ambient.grounds,
      rules.cold.grounds,
      rules.hot.grounds,
      rules.reheat.grounds,
    ];
    for (const kind of BREACH_KINDS) {
      const choices = correctionsFor(kind, rules);
      grounds.push(...choices.map((choice) => choice.grounds));
      expect(choices.at(-1)?.id).toBe('throw-away');
      expect(choices.length).toBeGreaterThan(1);
    }
    for (const { source } of grounds) expect(source.length).toBeGreaterThan(10);
  }
});
