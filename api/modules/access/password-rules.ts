import { Refusal } from '../platform/index.ts';

/** NIST SP 800-63B (from memory): length counts, mixtures of letters and signs are not asked for. */
export const PASSWORD_MIN = 12;
export const PASSWORD_MAX = 128;

const KEYBOARD_RUNS = [
  'abcdefghijklmnopqrstuvwxyz',
  '01234567890123456789',
  'qwertyuiopasdfghjklzxcvbnm',
  'qwertzuiopasdfghjklyxcvbnm',
  'azertyuiopqsdfghjklmwxcvbn',
];

function refuse(pointer: string, message: string): never {
  throw new Refusal('invalid-input', message, { issues: [{ pointer, message }] });
}

/** The shortest piece that gives the text when repeated. */
function repeatedPiece(text: string): string {
  for (let length = 1; length <= text.length / 2; length += 1) {
    const piece = text.slice(0, length);
    if (text.length % length === 0 && piece.repeat(text.length / length) === text) return piece;
  }
  return text;
}

function isRun(text: string): boolean {
  const backwards = [...text].reverse().join('');
  return KEYBOARD_RUNS.some((run) => run.includes(text) || run.includes(backwards));
}

/**
 * Refuses a password that is too short, too long, a short piece repeated, a run of the keyboard,
 * or made of the person's own name or address.
 * @param about words an attacker would try first: email, name, name of the group
 * @throws Refusal `invalid-input` at `pointer`
 */
export function checkPassword(password: string, about: readonly string[], pointer: string): void {
  const text = password.normalize('NFKC');
  const length = [...text].length;
  if (length < PASSWORD_MIN) {
    refuse(
      pointer,
      `A password has at least ${PASSWORD_MIN} characters; a short sentence is good.`,
    );
  }
  if (length > PASSWORD_MAX) {
    refuse(pointer, `A password has at most ${PASSWORD_MAX} characters.`);
  }
  const plain = text.toLowerCase();
  if (repeatedPiece(plain).length < PASSWORD_MIN / 2 || isRun(plain)) {
    refuse(pointer, 'This password is a run or a repetition; it is among the first to be tried.');
  }
  let rest = plain;
  for (const word of [
    ...about,
    ...about.flatMap((a) => a.split(/[^\p{L}\p{N}]+/u)),
    'tamis',
    'password',
  ]) {
    const known = word.normalize('NFKC').toLowerCase();
    if ([...known].length >= 3) rest = rest.replaceAll(known, '');
  }
  if ([...rest.replace(/[^\p{L}\p{N}]+/gu, '')].length < 6) {
    refuse(pointer, 'This password is mostly your own name, address or the word password.');
  }
}
