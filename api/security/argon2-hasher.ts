import { hash, verify, type Options } from '@node-rs/argon2';
import type { PasswordHasher } from '../modules/access/index.ts';

/** Argon2id at 19 MiB, two passes, one lane (the OWASP password storage figures, from memory). */
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const satisfies Options;
const CURRENT = `$argon2id$v=19$m=${COST.memoryCost},t=${COST.timeCost},p=${COST.parallelism}$`;

/** The same password typed on two keyboards must give the same bytes. */
const normal = (password: string): string => password.normalize('NFKC');

/**
 * Hashes passwords with argon2id. The work runs on the thread pool, so at most as many hashes use
 * memory at once as the pool has threads.
 */
export function createArgon2Hasher(): PasswordHasher {
  return {
    hash: (password) => hash(normal(password), COST),
    verify: async (passwordHash, password) => {
      try {
        return await verify(passwordHash, normal(password));
      } catch {
        return false; // not a hash of ours
      }
    },
    isCurrent: (passwordHash) => passwordHash.startsWith(CURRENT),
  };
}
