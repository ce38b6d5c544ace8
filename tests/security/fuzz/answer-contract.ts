import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import type { OpenApiDocument, Operation } from './requests.ts';

/** An answer as it came over the wire. */
export interface Answer {
  readonly status: number;
  readonly type: string;
  readonly text: string;
}

/** What only our own side should know: files, drivers, queries, stacks. */
const INTERNALS =
  /node_modules|\.(ts|js|mjs):\d+|\bat [\w.<>]+ \(|prisma|pglite|postgres|sqlstate|violates|relation "|column "|constraint|ECONN|invalid byte sequence|syntax error at|zoderror/i;

/**
 * Checks answers against the OpenAPI document: the status is one it names, the content type too,
 * and the body follows its schema. Refusals are problems that show nothing of the inside.
 */
export class AnswerContract {
  readonly #document: OpenApiDocument;
  readonly #ajv: Ajv2020;
  readonly #validators = new Map<string, ValidateFunction>();

  constructor(document: OpenApiDocument) {
    this.#document = document;
    this.#ajv = new Ajv2020({ strict: false, allErrors: false, validateFormats: false });
    this.#ajv.addSchema(document, 'document');
  }

  /** @returns what is wrong with the answer, in words; nothing when all is well */
  faults(operation: Operation, answer: Answer): readonly string[] {
    const { status, type, text } = answer;
    if (status >= 500) return [`status ${status}: ${text.slice(0, 200)}`];
    const named = this.#document.paths[operation.path]?.[operation.method.toLowerCase()]?.responses;
    const group = `${Math.floor(status / 100)}XX`;
    const key = named?.[status] ? String(status) : group;
    const response = named?.[key];
    if (!response) return [`status ${status} is not in the document`];
    const faults: string[] = [];
    if (status >= 400 && INTERNALS.test(text))
      faults.push(`shows its inside: ${text.slice(0, 300)}`);
    const media = type.split(';')[0] ?? '';
    if (!response.content || status === 204) {
      if (text !== '') faults.push('a body where the document has none');
      return faults;
    }
    if (!response.content[media])
      return [...faults, `content type ${media} is not in the document`];
    if (!media.endsWith('json')) return faults;
    const body: unknown = JSON.parse(text);
    if (status >= 400 && (body as { status?: unknown }).status !== status) {
      faults.push('the problem names another status');
    }
    const validate = this.#validator(operation, key, media);
    if (!validate(body)) {
      faults.push(`not its schema: ${this.#ajv.errorsText(validate.errors).slice(0, 300)}`);
    }
    return faults;
  }

  #validator({ path, method }: Operation, key: string, media: string): ValidateFunction {
    const parts = ['paths', path, method.toLowerCase(), 'responses', key, 'content', media];
    const pointer = [...parts, 'schema']
      .map((part) => encodeURIComponent(part.replaceAll('~', '~0').replaceAll('/', '~1')))
      .join('/');
    const known = this.#validators.get(pointer);
    if (known) return known;
    const made = this.#ajv.compile({ $ref: `document#/${pointer}` });
    this.#validators.set(pointer, made);
    return made;
  }
}
