import { Refusal, type Clock } from '../platform/index.ts';
import type { AttemptsRepository, Secrets } from './access.ports.ts';

const MINUTE_MS = 60_000;
/** Tries for one person from one address before both must wait. */
const PAIR = { attempts: 5, windowMs: 15 * MINUTE_MS } as const;
/** Tries for one person from everywhere (ASVS 2.2.1, from memory: at most 100 failures an hour). */
const PERSON = { attempts: 60, windowMs: 60 * MINUTE_MS } as const;
/** Failures from one address, whoever is named: a whole group may sit behind one address. */
const ADDRESS = { attempts: 200, windowMs: 15 * MINUTE_MS } as const;

interface Counted {
  readonly attempts: number;
  readonly windowStart: Date;
}

/**
 * Slows down guessing. Counts live in the database, so all replicas see the same ones. A try is
 * counted before the password is looked at, so that tries at the same moment cannot slip through.
 */
export class SignInThrottle {
  readonly #attempts: AttemptsRepository;
  readonly #secrets: Secrets;
  readonly #clock: Clock;

  constructor(attempts: AttemptsRepository, secrets: Secrets, clock: Clock) {
    this.#attempts = attempts;
    this.#secrets = secrets;
    this.#clock = clock;
  }

  /** @throws Refusal `too-many-requests` with `retryAfterSeconds` */
  async enter(email: string, address: string): Promise<void> {
    const now = this.#clock.now();
    const keys = this.#keys(email, address);
    const failed = await this.#attempts.peek(keys.address, now, ADDRESS.windowMs);
    if (failed.attempts >= ADDRESS.attempts) throw this.#wait(failed, ADDRESS.windowMs, now);
    const pair = await this.#attempts.add(keys.pair, now, PAIR.windowMs);
    if (pair.attempts > PAIR.attempts) throw this.#wait(pair, PAIR.windowMs, now);
    const person = await this.#attempts.add(keys.person, now, PERSON.windowMs);
    if (person.attempts > PERSON.attempts) throw this.#wait(person, PERSON.windowMs, now);
  }

  /** Counts a failure against the address. */
  async failed(address: string): Promise<void> {
    await this.#attempts.add(this.#keys('', address).address, this.#clock.now(), ADDRESS.windowMs);
  }

  /** Forgets the tries of this person from this address, and the counts of days gone by. */
  async succeeded(email: string, address: string): Promise<void> {
    await this.#attempts.clear([this.#keys(email, address).pair]);
    await this.#attempts.deleteBefore(new Date(this.#clock.now().getTime() - 24 * 60 * MINUTE_MS));
  }

  #keys(email: string, address: string) {
    return {
      pair: this.#secrets.hash(`pair\n${email}\n${address}`),
      person: this.#secrets.hash(`person\n${email}`),
      address: this.#secrets.hash(`address\n${address}`),
    };
  }

  #wait(counted: Counted, windowMs: number, now: Date): Refusal {
    const leftMs = counted.windowStart.getTime() + windowMs - now.getTime();
    const retryAfterSeconds = Math.max(1, Math.ceil(leftMs / 1000));
    return new Refusal(
      'too-many-requests',
      `Too many tries. Wait ${Math.ceil(retryAfterSeconds / 60)} minutes, then try again.`,
      { detail: { retryAfterSeconds } },
    );
  }
}
