const LETTERS = 'abcdefghijkmnpqrstuvwxyz23456789';
const GROUPS = 4;
const GROUP_LENGTH = 4;

/**
 * A password to hand over: sixteen letters and digits in groups of four, none of which reads like
 * another (no l, 1, o or 0); 80 bits drawn from the device's own source of chance.
 */
export function madeUpPassword(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(GROUPS * GROUP_LENGTH));
  // Thirty-two letters divide 256: every letter is as likely as every other.
  const letters = [...bytes].map((byte) => LETTERS[byte % LETTERS.length] ?? '').join('');
  return letters.replace(/(.{4})(?=.)/g, '$1-');
}
