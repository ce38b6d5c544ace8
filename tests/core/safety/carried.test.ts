import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  judgeCarried,
  RULE_SET_IDS,
  ruleSetOf,
  useByOfCarried,
} from '../../../api/core/safety/index.ts';
import { serviceInstant, toRfc3339 } from '../../../api/core/calendar/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const HOUR = 60;
const ruleSets = fc.constantFrom(...RULE_SET_IDS).map(ruleSetOf);

describe('the use-by of what came from another site', () => {
  it('is never later than any of its bounds, and one of them is it', () => {
    fc.assert(
      fc.property(
        fc.record({
          madeAtMin: fc.integer({ min: 29_000_000, max: 29_100_000 }),
          roadMin: fc.integer({ min: 0, max: 2000 }),
          lifeMin: fc.integer({ min: 1, max: 20_000 }),
          minutes: fc.option(fc.integer({ min: 1, max: 20_000 })),
          after: fc.constantFrom<'making' | 'transfer'>('making', 'transfer'),
          storage: fc.constantFrom<'chilled' | 'frozen' | 'ambient'>(
            'chilled',
            'frozen',
            'ambient',
          ),
          rules: ruleSets,
        }),
        ({ madeAtMin, roadMin, lifeMin, minutes, after, storage, rules }) => {
          const arrivedAtMin = madeAtMin + roadMin;
          const useByMin = madeAtMin + lifeMin;
          const keeping = minutes === null ? null : { minutes, after };
          const found = unwrap(
            useByOfCarried({
              madeAtMin,
              arrivedAtMin,
              useByMin,
              lotId: 'lot_1',
              keeping,
              storage,
              rules,
              zone: 'Europe/Rome',
            }),
          );
          expect(found.useByMin).toBeLessThanOrEqual(useByMin);
          if (keeping) {
            const from = after === 'making' ? madeAtMin : arrivedAtMin;
            expect(found.useByMin).toBeLessThanOrEqual(from + keeping.minutes);
          }
          expect(found.useByMin).toBe(Math.min(...found.reasons.map(({ atMin }) => atMin)));
          expect(found.reasons[0]?.atMin).toBe(found.useByMin);
        },
      ),
    );
  });

  it('at a site under the Food Code ends with the seventh day, the day of making counted', () => {
    const madeAtMin = unwrap(serviceInstant('2026-03-09', '10:00', 'America/New_York'));
    const found = unwrap(
      useByOfCarried({
        madeAtMin,
        arrivedAtMin: madeAtMin + 6 * HOUR,
        useByMin: madeAtMin + 20 * 24 * HOUR,
        lotId: 'lot_1',
        keeping: null,
        storage: 'chilled',
        rules: ruleSetOf('us'),
        zone: 'America/New_York',
      }),
    );
    expect(toRfc3339(found.useByMin)).toBe('2026-03-16T04:00:00Z');
    expect(found.reasons[0]?.kind).toBe('rule-set');
  });
});

describe('a temperature read when food is carried', () => {
  it('is judged by the cold limit of the site’s rule set, with no time forgiven', () => {
    fc.assert(
      fc.property(ruleSets, fc.double({ min: -5, max: 20, noNaN: true }), (rules, celsius) => {
        const { verdict } = judgeCarried(celsius, 'chilled', rules);
        const limit = Math.max(
          rules.cold.limit.celsius,
          ((rules.cold.limit.fahrenheit ?? -100) - 32) / 1.8,
        );
        expect(verdict).toBe(celsius > limit ? 'warm' : 'within');
      }),
    );
    expect(judgeCarried(6, 'chilled', ruleSetOf('eu'))).toMatchObject({
      verdict: 'warm',
      message: '6 °C when it was carried: 4 °C or colder is the limit.',
    });
    expect(judgeCarried(6, 'chilled', ruleSetOf('uk')).verdict).toBe('within');
  });

  it('lets frozen food be a little warmer for short, and judges nothing that keeps at room temperature', () => {
    expect(judgeCarried(-16, 'frozen', ruleSetOf('eu')).verdict).toBe('within');
    expect(judgeCarried(-10, 'frozen', ruleSetOf('eu')).verdict).toBe('warm');
    expect(judgeCarried(24, 'ambient', ruleSetOf('us'))).toMatchObject({
      verdict: 'not-judged',
      limit: null,
    });
  });

  it('always comes with the notice that local codes decide', () => {
    for (const storage of ['chilled', 'frozen', 'ambient'] as const) {
      expect(judgeCarried(3, storage, ruleSetOf('uk')).notice).toMatch(/local codes/);
    }
  });
});
