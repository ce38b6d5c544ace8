/** As much of JSON Schema as the OpenAPI document uses. */
export interface JsonSchema {
  readonly $ref?: string;
  readonly type?: string | readonly string[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly default?: unknown;
  readonly example?: unknown;
  readonly format?: string;
  readonly pattern?: string;
  readonly minLength?: number;
  readonly minItems?: number;
  readonly minimum?: number;
  readonly exclusiveMinimum?: number;
  readonly items?: JsonSchema;
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
  readonly anyOf?: readonly JsonSchema[];
  readonly oneOf?: readonly JsonSchema[];
  readonly allOf?: readonly JsonSchema[];
}

const OF_PATTERN: readonly (readonly [RegExp, string])[] = [
  [/\\d\{4\}-\\d\{2\}-\\d\{2\}\$/, '2026-03-09'],
  [/A-Z\]\{3\}/, 'EUR'],
  [/^\^\[a-z\]\+_/, 'rcp_x'],
  [/:\[0-5\]\\d/, '12:30'],
];

function text(schema: JsonSchema): string {
  if (schema.format === 'date-time') return '2026-03-12T05:30:00Z';
  if (schema.format === 'date') return '2026-03-09';
  if (schema.format === 'email') return 'lena@lakes.example';
  const known = OF_PATTERN.find(([pattern]) => schema.pattern && pattern.test(schema.pattern));
  return known?.[1] ?? 'x'.repeat(Math.max(1, schema.minLength ?? 1));
}

/** A small valid value: required members only, examples and defaults where there are any. */
export function sampleOf(schema: JsonSchema, named: Readonly<Record<string, JsonSchema>>): unknown {
  if (schema.$ref !== undefined) {
    const target = named[schema.$ref.split('/').at(-1) ?? ''];
    if (!target) throw new Error(`The document names no ${schema.$ref}.`);
    return sampleOf(target, named);
  }
  for (const given of [schema.const, schema.example, schema.default, schema.enum?.[0]]) {
    if (given !== undefined) return given;
  }
  const [choice] = schema.anyOf ?? schema.oneOf ?? schema.allOf ?? [];
  if (choice) return sampleOf(choice, named);
  switch (Array.isArray(schema.type) ? schema.type[0] : schema.type) {
    case 'string':
      return text(schema);
    case 'integer':
    case 'number':
      return Math.max(schema.minimum ?? 0, (schema.exclusiveMinimum ?? 0) + 1);
    case 'boolean':
      return false;
    case 'array':
      return Array.from({ length: schema.minItems ?? 0 }, () =>
        sampleOf(schema.items ?? {}, named),
      );
    case 'object':
      return Object.fromEntries(
        (schema.required ?? []).map((key) => [
          key,
          sampleOf(schema.properties?.[key] ?? {}, named),
        ]),
      );
    default:
      return null;
  }
}
