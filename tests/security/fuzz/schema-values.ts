import type { JsonSchema } from '../../http/sample-of-schema.ts';
import type { Dice } from './dice.ts';

/** The part of JSON Schema that bounds values, beside what `JsonSchema` has. */
export interface BoundedSchema extends JsonSchema {
  readonly maximum?: number;
  readonly maxLength?: number;
  readonly maxItems?: number;
  readonly items?: BoundedSchema;
  readonly properties?: Readonly<Record<string, BoundedSchema>>;
  readonly additionalProperties?: boolean | BoundedSchema;
}

/** Values no field of ours wants: types, sizes, Unicode, injection, nesting. */
export const HOSTILE: readonly unknown[] = [
  null,
  true,
  0,
  -1,
  1e308,
  -1e308,
  5e-324,
  2_147_483_647,
  2_147_483_648,
  9_007_199_254_740_992,
  0.1 + 0.2,
  '',
  ' ',
  'x'.repeat(10_000),
  'ß'.repeat(3_000),
  '\u0000',
  'a\u0000b',
  '\ud800',
  'x\udfff',
  '\u202etnemirepxe',
  '👩🏽‍🍳'.repeat(50),
  'e\u0301'.repeat(200),
  '\r\nset-cookie: a=b',
  "'; DROP TABLE orders; --",
  "1' OR '1'='1",
  '$' + '{7*7}{{7*7}}',
  '<script>alert(1)</script>',
  '../../../../etc/passwd',
  '%00%2e%2e%2f',
  '=1+1',
  '0000-00-00',
  '9999-12-31',
  '275760-09-14',
  '2026-02-30',
  '2026-03-14T25:61:61Z',
  '-271821-04-19T23:59:59Z',
  '9999-12-31T23:59:59-23:59',
  'NaN',
  'Infinity',
  '1e999',
  '-0.0000000000000000001',
  '9'.repeat(40),
  [],
  [[[[[[[[[[]]]]]]]]]],
  {},
  { $ne: null },
  { constructor: { prototype: { polluted: true } } },
  { length: 1e9 },
];

/** Ids and names that stand in the database, by the field that takes them. */
export type KnownValues = (field: string) => string | null;

export interface ValueMaker {
  readonly dice: Dice;
  readonly named: Readonly<Record<string, BoundedSchema>>;
  readonly known: KnownValues;
}

export function resolve(
  schema: BoundedSchema,
  named: ValueMaker['named'],
  pickOne: (choices: readonly BoundedSchema[]) => BoundedSchema,
): BoundedSchema {
  let at = schema;
  for (;;) {
    const choices = at.anyOf ?? at.oneOf ?? at.allOf;
    if (at.$ref !== undefined) at = named[at.$ref.split('/').at(-1) ?? ''] ?? {};
    else if (choices && choices.length > 0) at = pickOne(choices);
    else return at;
  }
}

function textOf(schema: BoundedSchema, field: string, { dice, known }: ValueMaker): string {
  if (schema.enum) return String(dice.pick(schema.enum));
  const stands = dice.chance(0.9) ? known(field) : null;
  if (stands !== null) return stands;
  if (schema.format === 'date-time' || /At$/.test(field)) {
    return `2026-03-${String(1 + dice.below(28)).padStart(2, '0')}T0${dice.below(9)}:30:00Z`;
  }
  const pattern = schema.pattern ?? '';
  if (schema.format === 'date' || pattern.startsWith('^\\d{4}-\\d{2}-\\d{2}')) {
    return `2026-03-${String(1 + dice.below(28)).padStart(2, '0')}`;
  }
  if (schema.format === 'email') return `cook${dice.below(1e6)}@lakes.example`;
  if (pattern.includes('[0-5]\\d')) return dice.pick(['00:00', '06:30', '19:00', '23:59']);
  if (pattern.includes('[A-Z]{3}')) return dice.pick(['EUR', 'CHF', 'XXX']);
  if (pattern.startsWith('^[a-z]+_')) return `rcp_none${dice.below(100)}`;
  if (pattern.includes('\\d{1,10}')) return dice.pick(['0', '12.40', '9999999999.9999', '0.0001']);
  if (field === 'unit') return dice.pick(['g', 'kg', 'mL', '{each}', '[tsp_us]', 'sheet']);
  if (field === 'zone') return dice.pick(['Europe/Rome', 'Pacific/Apia', 'Europe/Rom']);
  if (field === 'cursor') return Buffer.from(`rcp_${dice.below(10)}`).toString('base64url');
  const least = Math.max(1, schema.minLength ?? 1);
  const most = Math.min(schema.maxLength ?? 60, 60);
  const length = dice.chance(0.15) ? (schema.maxLength ?? 200) : least + dice.below(most);
  return `n${dice.below(1e6)}${'abc é ñ 餅 '.repeat(Math.ceil(length / 10))}`.slice(
    0,
    Math.max(least, length),
  );
}

function numberOf(schema: BoundedSchema, whole: boolean, dice: Dice): number {
  const least = schema.minimum ?? schema.exclusiveMinimum ?? 0;
  const most = schema.maximum ?? 1_000;
  const value = dice.pick([least, most, least + 1, (least + Math.min(most, 500)) / 2, 0.1, 12]);
  return whole ? Math.round(value) : value;
}

/** A value that the schema allows, as far as the schema says everything. */
export function allowed(
  schema: BoundedSchema,
  field: string,
  make: ValueMaker,
  depth = 0,
): unknown {
  const { dice, named } = make;
  const at = resolve(schema, named, (choices) => dice.pick(choices));
  if (at.const !== undefined) return at.const;
  if (at.enum) return dice.pick(at.enum);
  switch (Array.isArray(at.type) ? at.type[0] : at.type) {
    case 'string':
      return textOf(at, field, make);
    case 'integer':
      return numberOf(at, true, dice);
    case 'number':
      return numberOf(at, false, dice);
    case 'boolean':
      return dice.chance(0.5);
    case 'array': {
      const length = Math.min(at.maxItems ?? 3, (at.minItems ?? 0) + dice.below(depth > 3 ? 1 : 3));
      return Array.from({ length }, () => allowed(at.items ?? {}, field, make, depth + 1));
    }
    case 'object': {
      const entries = Object.entries(at.properties ?? {}).filter(
        ([key]) => at.required?.includes(key) || dice.chance(depth > 3 ? 0.1 : 0.6),
      );
      return Object.fromEntries(
        entries.map(([key, inner]) => [key, allowed(inner, key, make, depth + 1)]),
      );
    }
    default:
      return null;
  }
}

/** Every place in a value where something can be swapped: the path of keys to it. */
export function places(value: unknown, path: readonly string[] = []): (readonly string[])[] {
  if (typeof value !== 'object' || value === null) return [path];
  return [path, ...Object.entries(value).flatMap(([key, v]) => places(v, [...path, key]))];
}

/** A copy with the value at the path replaced, or taken out when `to` is undefined. */
export function swapped(value: unknown, path: readonly string[], to: unknown): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return to;
  const copy = (Array.isArray(value) ? [...value] : { ...(value as object) }) as Record<
    string,
    unknown
  >;
  if (rest.length === 0 && to === undefined) delete copy[key];
  else copy[key] = swapped(copy[key], rest, to);
  return copy;
}
