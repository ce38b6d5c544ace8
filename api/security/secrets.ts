import { hash, randomBytes, randomInt, timingSafeEqual } from 'node:crypto';
import type { Secrets } from '../modules/access/index.ts';

const SECRET_BYTES = 32;
/** Letters and digits that are not mistaken for one another when read off a terminal. */
const CODE_LETTERS = '23456789ABCDEFGHJKMNPQRSTVWXYZ';

/** Secrets from the operating system's generator; 256 bits, so a plain SHA-256 is enough to keep them. */
export function createSecrets(): Secrets {
  const sha256 = (secret: string) => hash('sha256', secret, 'buffer');
  return {
    make: () => randomBytes(SECRET_BYTES).toString('base64url'),
    makeCode: () =>
      Array.from({ length: 4 }, () =>
        Array.from({ length: 4 }, () => CODE_LETTERS[randomInt(CODE_LETTERS.length)]).join(''),
      ).join('-'),
    hash: (secret) => hash('sha256', secret, 'hex'),
    same: (a, b) => timingSafeEqual(sha256(a), sha256(b)),
  };
}
