import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { faultOf } from '../../api/persistence/database-errors.ts';
import { eachValue, ServerMessages } from '../../api/persistence/server-messages.ts';

// Messages as the PostgreSQL manual lays them out ("Message Formats", protocol 3.0), written here by hand.

const int16 = (value: number): Buffer => {
  const bytes = Buffer.alloc(2);
  bytes.writeInt16BE(value);
  return bytes;
};
const int32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeInt32BE(value);
  return bytes;
};
const cstring = (text: string): Buffer => Buffer.from(`${text}\0`);
const message = (kind: string, ...parts: Buffer[]): Buffer => {
  const body = Buffer.concat(parts);
  return Buffer.concat([Buffer.from(kind), int32(body.length + 4), body]);
};

const columns = (names: readonly string[]): Buffer =>
  message(
    'T',
    int16(names.length),
    ...names.flatMap((name, i) => [
      ...[cstring(name), int32(16_384), int16(i + 1), int32(25), int16(-1), int32(-1), int16(0)],
    ]),
  );
const row = (values: readonly (string | null)[]): Buffer =>
  message(
    'D',
    int16(values.length),
    ...values.flatMap((value) =>
      value === null ? [int32(-1)] : [int32(Buffer.byteLength(value)), Buffer.from(value)],
    ),
  );
const complete = message('C', cstring('SELECT 1'));
const ready = message('Z', Buffer.from('I'));
const failed = (code: string, text: string): Buffer =>
  message(
    'E',
    ...['SERROR', 'VERROR', `C${code}`, `M${text}`, 'Hlook again'].map(cstring),
    Buffer.from([0]),
  );
const notice = message('N', cstring('Sremark'), Buffer.from([0]));

/** What is told of bytes that arrive in pieces. */
function told(pieces: readonly Buffer[]): unknown[] {
  const seen: unknown[] = [];
  const messages = new ServerMessages({
    described: (found) => seen.push(['columns', ...found.map(({ name, type }) => [name, type])]),
    row: (bytes, at) => {
      const values: Record<number, string> = {};
      eachValue(bytes, at, (i, from, to) => (values[i] = bytes.toString('utf8', from, to)));
      seen.push(['row', values]);
    },
    complete: () => seen.push('complete'),
    failed: (error) => seen.push(['failed', error.message, (error as { code?: string }).code]),
    ready: () => seen.push('ready'),
  });
  for (const piece of pieces) messages.take(piece);
  return seen;
}

describe('what a server says', () => {
  it('is told message by message, with NULLs left out and what is for nobody passed over', () => {
    const all = [
      ...[message('1'), message('t', int16(0)), columns(['zone', 'body']), message('2'), notice],
      ...[row(['Europe/Rome', null]), row(['', 'crème brûlée 🍮']), complete, ready],
    ];
    expect(told(all)).toEqual([
      ['columns', ['zone', 25], ['body', 25]],
      ['row', { 0: 'Europe/Rome' }],
      ['row', { 0: '', 1: 'crème brûlée 🍮' }],
      'complete',
      'ready',
    ]);
  });

  it('of a fault keeps the code by which it is judged', () => {
    expect(told([failed('57P01', 'terminating connection')])).toEqual([
      ['failed', 'terminating connection', '57P01'],
    ]);
    let fault: unknown;
    const nobody = { described: () => 0, row: () => 0, complete: () => 0, ready: () => 0 };
    new ServerMessages({ ...nobody, failed: (error) => (fault = error) }).take(
      failed('57P01', 'terminating connection'),
    );
    expect(faultOf(fault)).toBe('away');
  });

  it('is the same however the bytes are cut', () => {
    const one = fc.oneof(
      fc
        .array(fc.option(fc.string({ unit: 'grapheme', maxLength: 300 })), { maxLength: 5 })
        .map(row),
      fc.array(fc.stringMatching(/^[a-z]{1,9}$/), { maxLength: 5 }).map(columns),
      fc.constantFrom(complete, ready, notice, failed('22012', 'division by zero')),
    );
    fc.assert(
      fc.property(
        fc.array(one, { minLength: 1, maxLength: 12 }),
        fc.array(fc.integer({ min: 1, max: 400 }), { minLength: 1, maxLength: 40 }),
        (messages, sizes) => {
          const bytes = Buffer.concat(messages);
          const pieces: Buffer[] = [];
          for (let from = 0, i = 0; from < bytes.length; i += 1) {
            const to = from + (sizes[i % sizes.length] ?? 1);
            pieces.push(bytes.subarray(from, to));
            from = to;
          }
          expect(told(pieces)).toEqual(messages.flatMap((each) => told([each])));
        },
      ),
    );
  });
});
