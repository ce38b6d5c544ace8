import type { Grounds } from './grounds.ts';
import { guidance, law } from './grounds.ts';
import type { TemperatureLimit } from './temperature.ts';

export const RULE_SET_IDS = ['uk', 'eu', 'us'] as const;
export type RuleSetId = (typeof RULE_SET_IDS)[number];

/** `cooked`: cooled from hot. `ambient`: put together from ingredients at room temperature. */
export const COOLING_COURSES = ['cooked', 'ambient'] as const;
export type CoolingCourse = (typeof COOLING_COURSES)[number];

/** To this temperature or colder within this long of the start of the clock. */
export interface CoolingTarget {
  readonly to: TemperatureLimit;
  readonly withinMin: number;
}

export interface CoolingLimit {
  /** The clock starts when the food falls through this; null: from the first reading. */
  readonly from: TemperatureLimit | null;
  /** In order of time, all counted from the same start. */
  readonly targets: readonly CoolingTarget[];
  readonly grounds: Grounds;
}

/** Time outside a holding limit that a rule forgives, once. */
export interface HoldingTolerance {
  readonly lessThanMin: number;
  readonly grounds: Grounds;
}

export interface HoldingLimit {
  readonly limit: TemperatureLimit;
  readonly grounds: Grounds;
  readonly tolerance: HoldingTolerance | null;
}

/** Calendar days a chilled ready-to-eat food made here may be kept. */
export interface DateCap {
  /** The day of making is day 1. */
  readonly days: number;
  readonly heldAtMost: TemperatureLimit;
  readonly grounds: Grounds;
}

export interface RuleSet {
  readonly id: RuleSetId;
  readonly name: string;
  readonly cooling: Readonly<Record<CoolingCourse, CoolingLimit>>;
  readonly cold: HoldingLimit;
  readonly hot: HoldingLimit;
  /** Core temperature of food heated again after a doubt. */
  readonly reheat: {
    readonly to: TemperatureLimit;
    readonly text: string;
    readonly grounds: Grounds;
  };
  /** Null where the law names no number of days: the recipe's own shelf life stands. */
  readonly dateCap: DateCap | null;
  readonly remarks: readonly string[];
}

const FOOD_CODE = 'US FDA Food Code 2022';
const UK_REGULATIONS =
  'Food Safety and Hygiene (England) Regulations 2013 (SI 2013/2996), Schedule 4';
const CODEX_CATERING = 'Codex CXC 39-1993, mass catering (from memory)';
const FRENCH_ORDER = 'French order of 21 December 2009, annexes I and IV';

const UK: RuleSet = {
  id: 'uk',
  name: 'United Kingdom',
  cooling: {
    cooked: {
      from: { celsius: 63 },
      targets: [{ to: { celsius: 8 }, withinMin: 90 }],
      grounds: guidance(
        'The law says as quickly as possible (Regulation 852/2004, annex II, chapter IX); 90 minutes is what industry guides advise',
      ),
    },
    ambient: {
      from: null,
      targets: [{ to: { celsius: 8 }, withinMin: 90 }],
      grounds: guidance('The same 90 minutes, counted from the end of making'),
    },
  },
  cold: {
    limit: { celsius: 8 },
    grounds: law(`${UK_REGULATIONS}, paragraph 2`),
    tolerance: {
      lessThanMin: 240,
      grounds: law(`${UK_REGULATIONS}, paragraph 5: service or display, once`),
    },
  },
  hot: {
    limit: { celsius: 63 },
    grounds: law(`${UK_REGULATIONS}, paragraph 6`),
    tolerance: {
      lessThanMin: 120,
      grounds: law(`${UK_REGULATIONS}, paragraph 7: service or display, once (from memory)`),
    },
  },
  reheat: {
    to: { celsius: 75 },
    text: '75 °C in the middle for 30 seconds, or 70 °C for 2 minutes; in Scotland 82 °C unless that spoils it',
    grounds: guidance(
      'Food Standards Agency cooking advice; Scotland: Food Hygiene (Scotland) Regulations 2006',
    ),
  },
  dateCap: null,
  remarks: [
    'UK law names no number of days for food made on the premises: the shelf life of the recipe stands.',
    'A fridge set to 5 °C keeps food below the legal 8 °C when its door is opened (Food Standards Agency advice).',
  ],
};

const EU: RuleSet = {
  id: 'eu',
  name: 'European Union',
  cooling: {
    cooked: {
      from: { celsius: 60 },
      targets: [{ to: { celsius: 10 }, withinMin: 120 }],
      grounds: guidance(
        `${CODEX_CATERING}; Regulation (EC) 852/2004, annex II, chapter IX, point 6 says as quickly as possible and gives no number`,
      ),
    },
    ambient: {
      from: null,
      targets: [{ to: { celsius: 10 }, withinMin: 120 }],
      grounds: guidance('The same two hours, counted from the end of making'),
    },
  },
  cold: { limit: { celsius: 4 }, grounds: guidance(CODEX_CATERING), tolerance: null },
  hot: {
    limit: { celsius: 63 },
    grounds: law(`${FRENCH_ORDER} (holding: from memory)`),
    tolerance: null,
  },
  reheat: {
    to: { celsius: 63 },
    text: '63 °C in the middle within one hour',
    grounds: law(`${FRENCH_ORDER}, for France; other countries differ`),
  },
  dateCap: null,
  remarks: [
    'EU law names no number of days or degrees for a kitchen; member states and local codes do.',
    `France: 63 to 10 °C in under two hours, kept at 3 °C, three days after the day of making unless a study shows more (${FRENCH_ORDER}).`,
  ],
};

const US: RuleSet = {
  id: 'us',
  name: 'United States (FDA Food Code)',
  cooling: {
    cooked: {
      from: { celsius: 57, fahrenheit: 135 },
      targets: [
        { to: { celsius: 21, fahrenheit: 70 }, withinMin: 120 },
        { to: { celsius: 5, fahrenheit: 41 }, withinMin: 360 },
      ],
      grounds: law(`${FOOD_CODE}, 3-501.14(A), where a state has adopted it`),
    },
    ambient: {
      from: null,
      targets: [{ to: { celsius: 5, fahrenheit: 41 }, withinMin: 240 }],
      grounds: law(`${FOOD_CODE}, 3-501.14(B), where a state has adopted it`),
    },
  },
  cold: {
    limit: { celsius: 5, fahrenheit: 41 },
    grounds: law(`${FOOD_CODE}, 3-501.16(A)`),
    tolerance: null,
  },
  hot: {
    limit: { celsius: 57, fahrenheit: 135 },
    grounds: law(`${FOOD_CODE}, 3-501.16(A)`),
    tolerance: null,
  },
  reheat: {
    to: { celsius: 74, fahrenheit: 165 },
    text: '74 °C (165 °F) for 15 seconds, reached within 2 hours',
    grounds: law(`${FOOD_CODE}, 3-403.11`),
  },
  dateCap: {
    days: 7,
    heldAtMost: { celsius: 5, fahrenheit: 41 },
    grounds: law(`${FOOD_CODE}, 3-501.17(A): the day of preparation is day 1`),
  },
  remarks: [
    'Time alone may stand for temperature (4 hours, or 6 hours below 21 °C) only by a procedure written beforehand: Food Code 3-501.19.',
    'Freezing stops the seven days; thawing goes on with those that are left.',
  ],
};

const RULE_SETS: Readonly<Record<RuleSetId, RuleSet>> = { uk: UK, eu: EU, us: US };

/** The limits that hold where a site is. */
export function ruleSetOf(id: RuleSetId): RuleSet {
  return RULE_SETS[id];
}
