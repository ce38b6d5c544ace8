import type { FastifyInstance } from 'fastify';
import { invalid, toPointer } from '../modules/platform/index.ts';

/** Deeper than any body of ours; shallower than any parser's or serializer's stack. */
const MOST_LEVELS = 40;

interface Step {
  readonly value: unknown;
  readonly path: readonly PropertyKey[];
}

const MESSAGE = {
  deep: `Nested more than ${MOST_LEVELS} levels deep.`,
  nul: 'Holds a NUL character, which text cannot.',
  surrogate: 'Holds half of a character (an unpaired surrogate).',
} as const;

const PLAIN = /^[\x20-\x7e]*$/;

function faultOf(text: string): string | null {
  // What most are: nothing but plain characters.
  if (PLAIN.test(text)) return null;
  if (text.includes('\0')) return MESSAGE.nul;
  // With the u flag a pair is one character, so only half a pair is a surrogate.
  return /\p{Surrogate}/u.test(text) ? MESSAGE.surrogate : null;
}

/**
 * Finds what no database keeps as text: NUL characters and unpaired surrogates, in values and keys,
 * and nesting that would exhaust a stack. Walks without recursion.
 * @returns the first fault with its JSON pointer, or null
 */
export function unstorable(root: unknown): { pointer: string; message: string } | null {
  const open: Step[] = [{ value: root, path: [] }];
  for (let step = open.pop(); step; step = open.pop()) {
    const { value, path } = step;
    if (typeof value === 'string') {
      const message = faultOf(value);
      if (message) return { pointer: toPointer(path), message };
    } else if (typeof value === 'object' && value !== null && !Buffer.isBuffer(value)) {
      if (path.length >= MOST_LEVELS) {
        return { pointer: toPointer(path.slice(0, 3)), message: MESSAGE.deep };
      }
      for (const [key, inner] of Object.entries(value)) {
        const message = faultOf(key);
        if (message) return { pointer: toPointer(path), message };
        open.push({ value: inner, path: [...path, key] });
      }
    }
  }
  return null;
}

function refusalOf(prefix: string, value: unknown): Error | null {
  if (value === undefined || value === null) return null;
  const fault = unstorable(value);
  return fault && invalid(`${prefix}${fault.pointer}`, fault.message);
}

/** Refuses requests whose path, query or body holds text that cannot be kept. */
export function registerStorableText(app: FastifyInstance): void {
  app.addHook('preValidation', (request, _reply, done) => {
    done(
      refusalOf('/params', request.params) ??
        refusalOf('/querystring', request.query) ??
        refusalOf('', request.body) ??
        undefined,
    );
  });
}
