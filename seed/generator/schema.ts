import { z } from 'zod';

import { SWEETENER_KINDS } from '../../api/core/frozen-base/index.ts';

import type {
  AllergenCode,
  DemoEvent,
  DemoIngredient,
  DemoMenu,
  DemoOverride,
  DemoPack,
  DemoPar,
  DemoRecipe,
  DemoSite,
  DemoSupplier,
  SeasonStarts,
} from './types.ts';

// The shape of each file under seed/data. Unknown members are refused: they are slips of the pen.

const key = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be a kebab-case key');
const text = z.string().min(1);
const above0 = z.number().positive().finite();
const atLeast0 = z.number().nonnegative().finite();
const fraction = z.number().gt(0).lte(1);
const share = z.number().min(0).max(1);
const days = z.int();
const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'must be HH:MM');
const money = z.string().regex(/^\d+\.\d{2}$/, 'must be a decimal with two places');
const baseUnit = z.enum(['g', 'ml', 'each']);
const storage = z.enum(['chilled', 'frozen', 'ambient']);
const currency = z.enum(['EUR', 'GBP']);
const season = z.enum(['spring', 'summer', 'autumn', 'winter']);
const weekday = z.union([
  z.literal(1),
  z.literal(2),
  z.literal(3),
  z.literal(4),
  z.literal(5),
  z.literal(6),
  z.literal(7),
]);

const ALLERGENS: readonly AllergenCode[] = [
  'gluten:wheat',
  'gluten:barley',
  'gluten:oats',
  'gluten:rye',
  'milk',
  'eggs',
  'nuts:almond',
  'nuts:hazelnut',
  'nuts:pistachio',
  'nuts:walnut',
  'soybeans',
  'sulphites',
  'sesame',
  'peanuts',
  'lupin',
  'celery',
  'mustard',
  'fish',
  'crustaceans',
  'molluscs',
];
const allergens = z.strictObject({
  contains: z.array(z.enum(ALLERGENS)),
  mayContain: z.array(z.enum(ALLERGENS)),
});

const ingredient: z.ZodType<DemoIngredient> = z.strictObject({
  key,
  name: text,
  category: text,
  baseUnit,
  storage,
  shelfLifeDays: z.int().positive(),
  density: z.strictObject({ gPerMl: above0, source: text }).exactOptional(),
  pieceMass: z.strictObject({ massG: above0, source: text }).exactOptional(),
  measures: z.array(z.strictObject({ name: text, massG: above0, source: text })).exactOptional(),
  trimYield: z.strictObject({ fraction, source: text }).exactOptional(),
  partOf: z
    .strictObject({
      piece: key,
      group: text,
      order: z.int().positive(),
      yieldPerPiece: above0,
      source: text,
    })
    .exactOptional(),
  gelatine: z
    .strictObject({ bloom: above0, sheetMassG: above0.exactOptional(), source: text })
    .exactOptional(),
  allergens: allergens.nullable(),
  nutrition: z
    .strictObject({
      source: text,
      energyKcal: atLeast0.exactOptional(),
      fatG: atLeast0.exactOptional(),
      saturatesG: atLeast0.exactOptional(),
      carbohydrateByDifferenceG: atLeast0.exactOptional(),
      sugarsG: atLeast0.exactOptional(),
      fibreG: atLeast0.exactOptional(),
      proteinG: atLeast0.exactOptional(),
      sodiumMg: atLeast0.exactOptional(),
      waterG: atLeast0.exactOptional(),
      alcoholG: atLeast0.exactOptional(),
    })
    .exactOptional(),
  makeup: z
    .strictObject({
      sugars: z.partialRecord(z.enum(SWEETENER_KINDS), share).exactOptional(),
      milkSolidsFraction: share.exactOptional(),
      alcoholFraction: share.exactOptional(),
      saltFraction: share.exactOptional(),
      ph: z.number().min(0).max(14).exactOptional(),
      inMix: z.enum(['flour', 'dissolves', 'stays-whole', 'taken-out']).exactOptional(),
      source: text,
    })
    .exactOptional(),
  composition: z
    .strictObject({
      waterFraction: share,
      sugarsFraction: share,
      fatFraction: share,
      source: text,
    })
    .exactOptional(),
  months: z.array(z.int().min(1).max(12)).min(1).exactOptional(),
  withdrawn: z.strictObject({ daysFromToday: days, reason: text }).exactOptional(),
  notBought: z.boolean().exactOptional(),
  note: text.exactOptional(),
});

const lineCommon = {
  amount: z.strictObject({ value: above0, unit: text }),
  trimYield: fraction.exactOptional(),
  cookingYield: above0.exactOptional(),
  perBatch: z.boolean().exactOptional(),
  note: text.exactOptional(),
};
const line = z.union([
  z.strictObject({ ingredient: key, ...lineCommon }),
  z.strictObject({ component: key, ...lineCommon }),
  z.strictObject({ byProduct: key, ...lineCommon }),
]);

const step = z.strictObject({
  text,
  kind: z.enum(['work', 'bake', 'set', 'chill', 'freeze', 'infuse', 'rest', 'cook']),
  workingMin: z.int().nonnegative(),
  waitingMin: z.int().nonnegative(),
  equipment: z.strictObject({ kind: key, amount: above0 }).exactOptional(),
  temperatureC: z.number().exactOptional(),
  holdMaxMin: z.int().positive().exactOptional(),
  cooling: z.boolean().exactOptional(),
});

const version = z.strictObject({
  number: z.int().positive(),
  status: z.enum(['published', 'draft']),
  firstServiceDaysAgo: days.nullable(),
  changeNote: text.exactOptional(),
  output: z.strictObject({ value: above0, unit: baseUnit }),
  pieceMassG: above0.exactOptional(),
  byProducts: z.array(
    z.strictObject({
      key,
      name: text,
      value: above0,
      unit: baseUnit,
      shelfLifeHours: above0,
      storage,
      mayStartBatch: z.boolean(),
    }),
  ),
  batch: z.strictObject({ min: above0, max: above0, multiple: above0 }),
  shelfLifeHours: above0,
  storage,
  lines: z.array(line).min(1),
  steps: z.array(step).min(1),
  cautions: z.array(text).exactOptional(),
});

const recipe: z.ZodType<DemoRecipe> = z.strictObject({
  key,
  name: text,
  kind: z.enum(['component', 'dish']),
  family: z.enum([
    'dish',
    'syrup',
    'infusion',
    'paste',
    'laminated',
    'shell',
    'baked-puff',
    'sponge',
    'cake',
    'biscuit',
    'crumble',
    'baked-yeast',
    'choux-paste',
    'baked-choux',
    'scone',
    'meringue',
    'dried-meringue',
    'custard',
    'curd',
    'cream',
    'mousse',
    'frozen-parfait',
    'ice-cream',
    'sorbet',
    'fruit',
    'fruit-jelly',
    'fluid-gel',
    'jam',
    'caramel',
    'brittle',
    'praline',
    'ganache',
    'glaze',
    'chocolate',
    'clarified-butter',
    'wash',
    'assembly',
    'filled-tart',
  ]),
  station: z.enum(['larder', 'oven', 'stove', 'freezer', 'pass']),
  versions: z.array(version).min(1),
  prices: z
    .array(z.strictObject({ currency, amount: money, taxRateFraction: share }))
    .exactOptional(),
  targetFoodCostFraction: fraction.exactOptional(),
});

const site: z.ZodType<DemoSite> = z.strictObject({
  key,
  name: text,
  place: text,
  lake: text,
  zone: text,
  currency,
  ruleSet: z.enum(['eu', 'uk']),
  seats: z.int().positive(),
  services: z
    .array(
      z.strictObject({
        key,
        name: text,
        startTime: clock,
        endTime: clock,
        weekdays: z.array(weekday).min(1),
        maxCovers: z.int().positive(),
        statedCovers: z.int().positive(),
      }),
    )
    .min(1),
  hours: z.array(
    z.strictObject({ weekday, opens: clock, closes: clock, people: z.int().positive() }),
  ),
  closedWeekdays: z.array(weekday),
  equipment: z.array(z.strictObject({ kind: key, name: text, count: z.int().positive() })),
  demand: z.array(
    z.strictObject({
      service: key,
      baseCovers: above0,
      weekdayFactors: z.tuple([above0, above0, above0, above0, above0, above0, above0]),
      monthFactors: z.array(above0).length(12),
      yearlyTrend: z.number().min(-0.5).max(0.5),
      bookedShare: share,
      medianLeadDays: above0,
      cancelShare: share,
      noShowShare: share,
      weatherWeight: share,
    }),
  ),
});

const event: z.ZodType<DemoEvent> = z.strictObject({
  site: key,
  fromDays: days,
  toDays: days,
  kind: z.enum(['closed', 'private-hire', 'event']),
  services: z.array(key).min(1).exactOptional(),
  guests: z.int().positive().exactOptional(),
  dish: key.exactOptional(),
  coversFactor: above0.exactOptional(),
  name: text,
});

const menu: z.ZodType<DemoMenu> = z.strictObject({
  key,
  site: key,
  name: text,
  services: z.array(key).min(1),
  lines: z
    .array(
      z.strictObject({
        dish: key,
        share: fraction,
        seasons: z.array(season).min(1).exactOptional(),
      }),
    )
    .min(1),
});

const supplier: z.ZodType<DemoSupplier> = z.strictObject({
  key,
  name: text,
  zone: text,
  currency,
  language: z.enum(['en', 'it']),
  sites: z.array(key).min(1),
  deliveryWeekdays: z.array(weekday).min(1),
  cutoff: z.strictObject({ daysBefore: z.int().nonnegative(), time: clock }),
  leadDays: z.int().nonnegative(),
  minimumOrder: money,
  deliveryCharge: money,
  note: text.exactOptional(),
});

const pack: z.ZodType<DemoPack> = z.strictObject({
  supplier: key,
  sku: text,
  gtin: z.string().regex(/^2\d{12}$/, 'must be 13 digits beginning with 2'),
  ingredient: key,
  name: text,
  quantityBase: above0,
  prices: z
    .array(
      z.strictObject({
        fromDaysAgo: days,
        amount: money,
        breaks: z
          .array(z.strictObject({ minPacks: z.int().min(2), amount: money }))
          .exactOptional(),
      }),
    )
    .min(1),
});

const monthDay = z.string().regex(/^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/, 'must be MM-DD');
const seasonStarts: z.ZodType<SeasonStarts> = z.strictObject({
  spring: monthDay,
  summer: monthDay,
  autumn: monthDay,
  winter: monthDay,
});

/** One schema for each kind of file under seed/data; every file opens with a note on what is invented. */
const par = z.strictObject({
  site: key,
  recipe: key,
  rule: z.enum(['fixed', 'service_level', 'margin_against_waste']),
  quantity: above0.optional(),
  level: z.number().gt(0).lt(1).optional(),
  reviewDays: days.min(1),
  leadDays: days.min(0),
  reason: text,
}) satisfies z.ZodType<DemoPar>;

const override = z.strictObject({
  site: key,
  service: key,
  inDays: days,
  covers: z.int().min(0),
  enteredBy: text,
  reason: text,
}) satisfies z.ZodType<DemoOverride>;

export const fileSchemas = {
  group: z.strictObject({ note: text, name: text, seasonStarts }),
  sites: z.strictObject({ note: text, sites: z.array(site) }),
  events: z.strictObject({ note: text, events: z.array(event) }),
  menus: z.strictObject({ note: text, menus: z.array(menu) }),
  suppliers: z.strictObject({ note: text, suppliers: z.array(supplier) }),
  ingredients: z.strictObject({ note: text, ingredients: z.array(ingredient) }),
  recipes: z.strictObject({ note: text, recipes: z.array(recipe) }),
  packs: z.strictObject({ note: text, packs: z.array(pack) }),
  pars: z.strictObject({ note: text, pars: z.array(par), overrides: z.array(override) }),
};
