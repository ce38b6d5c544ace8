import type { JsonSchema } from '../../http/sample-of-schema.ts';
import { workbook, XLSX } from '../../helpers/make-workbook.ts';
import {
  allowed,
  HOSTILE,
  places,
  swapped,
  type BoundedSchema,
  type ValueMaker,
} from './schema-values.ts';

/** An operation of the OpenAPI document. */
export interface Operation {
  readonly method: string;
  readonly path: string;
  readonly parameters: readonly {
    readonly name: string;
    readonly in: string;
    readonly required?: boolean;
    readonly schema?: BoundedSchema;
  }[];
  readonly body: { readonly type: string; readonly schema: BoundedSchema } | null;
}

export interface MadeRequest {
  readonly method: string;
  readonly url: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly payload?: string | Buffer;
  /** How it was made, for the report. */
  readonly how: string;
}

export interface OpenApiDocument {
  readonly paths: Readonly<Record<string, Readonly<Record<string, DocumentOperation>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, JsonSchema>> };
}
export interface DocumentOperation {
  readonly parameters?: Operation['parameters'];
  readonly requestBody?: {
    readonly content?: Readonly<Record<string, { schema?: BoundedSchema }>>;
  };
  readonly responses: Readonly<
    Record<string, { readonly content?: Readonly<Record<string, { schema?: JsonSchema }>> }>
  >;
}

export function operationsOf(document: OpenApiDocument): readonly Operation[] {
  return Object.entries(document.paths).flatMap(([path, item]) =>
    Object.entries(item).map(([method, { parameters = [], requestBody }]) => {
      const [type, content] = Object.entries(requestBody?.content ?? {}).at(-1) ?? [];
      return {
        method: method.toUpperCase(),
        path,
        parameters,
        body: type === undefined ? null : { type, schema: content?.schema ?? {} },
      };
    }),
  );
}

const HOSTILE_TEXT = HOSTILE.filter(
  (v): v is string => typeof v === 'string' && v.length > 0 && v.length < 4000,
);
const encode = (text: string) => encodeURIComponent(text.replace(/\p{Surrogate}/gu, '\ufffd'));

const CSV_HEADS: Readonly<Record<string, string>> = {
  '/v1/ingredients/import': 'name,base_unit',
  '/v1/packs/import': 'supplier,sku,ingredient,name,content,gtin,price',
  '/v1/sites/{siteId}/covers-imports/{kind}': 'service,service_date,taken_at,booked',
};

function csvText(operation: Operation, { dice }: ValueMaker): string {
  const head = CSV_HEADS[operation.path] ?? 'name,unit';
  const cell = () =>
    dice.pick(['Dinner', '2026-03-14', '2026-03-10T05:00:00Z', '12', ...HOSTILE_TEXT]);
  const row = () =>
    head
      .split(',')
      .map(() => (dice.chance(0.5) ? `"${cell().replaceAll('"', '""')}"` : cell()))
      .join(',');
  const rows = Array.from({ length: dice.below(6) }, row);
  const text = [head, ...rows].join(dice.pick(['\n', '\r\n', '\r']));
  return dice.pick([
    text,
    `\ufeff${text}`,
    text.replaceAll(',', ';'),
    `${text}\n"open quote`,
    `${head},${head}\n1,2`,
    `${head}\n${'"'.repeat(5_001)}`,
    `${head}\n${','.repeat(20_000)}`,
    '\u0000\u0000',
    '',
  ]);
}

/** The cells of such a file as a workbook, now and then with a byte of it changed or its end cut off. */
function workbookFile(operation: Operation, make: ValueMaker): Buffer {
  const { dice } = make;
  // XML holds none of these, not even escaped.
  const plain = (cell: string): string => cell.replace(/[\p{Cc}\p{Surrogate}\ufffe\uffff]/gu, '');
  const cells = csvText(operation, make)
    .split(/\r?\n|\r/)
    .map((line) => line.split(',').slice(0, 300).map(plain));
  const file = workbook(cells);
  if (dice.chance(0.2)) file[dice.below(file.length)] = dice.below(256);
  return dice.chance(0.1) ? file.subarray(0, dice.below(file.length)) : file;
}

const BROKEN_JSON = [
  '',
  '{',
  '{"a":1,}',
  '[1,2',
  'null',
  '"text"',
  '{"__proto__":{"a":1}}',
  '{"constructor":{"prototype":{"a":1}}}',
  '{"a":1e99999}',
  "{'a':1}",
  '\ufeff{}',
  '{"a":"\\ud800"}',
  `${'['.repeat(20_000)}${']'.repeat(20_000)}`,
  `${'{"a":'.repeat(5_000)}1${'}'.repeat(5_000)}`,
  JSON.stringify({ a: 'x'.repeat(1_200_000) }),
];
const CONTENT_TYPES = [
  'text/plain',
  'application/xml',
  'multipart/form-data; boundary=x',
  'application/x-www-form-urlencoded',
  'application/json; charset=utf-16',
  'text/csv',
  XLSX,
  'application/ld+json',
  'application/JSON',
  '/',
  'a'.repeat(300),
];
const HEADER_VALUES = ['"0"', '"999999999"', '"9999999999"', '*', 'W/"1"', 'x', '"1", "2"', '""'];

interface MadeBody {
  readonly payload?: string | Buffer;
  readonly how: string;
  readonly type?: string;
}

function bodyOf(operation: Operation, make: ValueMaker): MadeBody {
  const { dice } = make;
  if (!operation.body) {
    return dice.chance(0.1)
      ? { payload: dice.pick(BROKEN_JSON), how: 'unasked body' }
      : { how: 'no body' };
  }
  if (operation.body.type === 'text/csv') {
    if (dice.chance(0.7)) return { payload: csvText(operation, make), how: 'csv file' };
    return { payload: workbookFile(operation, make), how: 'workbook', type: XLSX };
  }
  const whole = allowed(operation.body.schema, '', make);
  const at = dice.pick(places(whole));
  const roll = dice.next();
  if (roll < 0.35) return { payload: JSON.stringify(whole), how: 'allowed body' };
  if (roll < 0.75) {
    const value = dice.pick(HOSTILE);
    return {
      payload: JSON.stringify(swapped(whole, at, value)) ?? 'null',
      how: `hostile value at /${at.join('/')}`,
    };
  }
  if (roll < 0.83) {
    return {
      payload: JSON.stringify(swapped(whole, at, undefined)) ?? '',
      how: `without /${at.join('/')}`,
    };
  }
  if (roll < 0.88) {
    const more = { ...(whole as object), 'no such field': 1, isAdmin: true, role: 'admin' };
    return { payload: JSON.stringify(more), how: 'more fields' };
  }
  if (roll < 0.92) {
    const text = JSON.stringify(whole);
    return {
      payload: text.startsWith('{') ? `${text.slice(0, -1)},${text.slice(1)}` : text,
      how: 'every key twice',
    };
  }
  return { payload: dice.pick(BROKEN_JSON), how: 'broken body' };
}

/** One request to the operation: allowed, at a boundary, or hostile in one or more places. */
export function makeRequest(operation: Operation, make: ValueMaker): MadeRequest {
  const { dice, known } = make;
  const how: string[] = [];
  const url = operation.path.replace(/\{(\w+)\}/g, (_, name: string) => {
    if (dice.chance(0.1)) {
      how.push(`hostile ${name}`);
      return dice.chance(0.1)
        ? dice.pick(['%00', '%ff%fe', '%', '..%2f..', '%F0%9F%8D%8B'])
        : encode(dice.pick(HOSTILE_TEXT));
    }
    const parameter = operation.parameters.find((p) => p.name === name && p.in === 'path');
    return encode(
      known(name) ?? String(allowed(parameter?.schema ?? { type: 'string' }, name, make)),
    );
  });
  const query: string[] = [];
  for (const parameter of operation.parameters.filter((p) => p.in === 'query')) {
    if (!parameter.required && dice.chance(0.5)) continue;
    if (parameter.required && dice.chance(0.05)) continue;
    const hostile = dice.chance(0.2);
    if (hostile) how.push(`hostile ${parameter.name}`);
    const value = hostile
      ? dice.pick(HOSTILE_TEXT)
      : String(allowed(parameter.schema ?? {}, parameter.name, make));
    query.push(`${parameter.name}=${encode(value)}`);
    if (dice.chance(0.05))
      query.push(`${parameter.name}=${encode(value)}`, `${parameter.name}[x]=1`);
  }
  const headers: Record<string, string> = {};
  if (['PUT', 'POST', 'DELETE', 'PATCH'].includes(operation.method)) {
    if (dice.chance(0.9))
      headers['if-match'] = dice.chance(0.15) ? dice.pick(HEADER_VALUES) : '"1"';
    if (dice.chance(0.2)) {
      headers['idempotency-key'] = dice.pick([
        'short',
        'x'.repeat(200),
        `key-${dice.below(50)}-fuzz`,
      ]);
    }
  }
  if (dice.chance(0.05)) headers['x-request-id'] = dice.pick(['x'.repeat(5000), '<b>', 'a b']);
  const { payload, how: bodyHow, type } = bodyOf(operation, make);
  how.push(bodyHow);
  if (payload !== undefined) {
    const wrong = dice.chance(0.06);
    if (wrong) how.push('wrong content type');
    headers['content-type'] = wrong
      ? dice.pick(CONTENT_TYPES)
      : (type ?? operation.body?.type ?? 'application/json');
  }
  return {
    method: operation.method,
    url: query.length > 0 ? `${url}?${query.join('&')}` : url,
    headers,
    ...(payload === undefined ? {} : { payload }),
    how: how.join(', '),
  };
}
