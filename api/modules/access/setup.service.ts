import { invalid, Refusal, type Actor } from '../platform/index.ts';
import { checkPassword } from './password-rules.ts';
import { normalEmail, type AccessDependencies } from './session.service.ts';
import { SignInThrottle } from './sign-in-throttle.ts';

const CODE_PREFIX = 'setup-code:';
const GROUP_NAME = 'group-name';
const CODE_LIVES_MS = 24 * 60 * 60_000;

export interface SetupInput {
  readonly setupCode: string;
  readonly email: string;
  readonly name: string;
  readonly password: string;
  readonly groupName: string;
}

/** The code as it was printed, however it was typed. */
function normalCode(code: string): string {
  return code.toUpperCase().replace(/[^0-9A-Z]/g, '');
}

/** Makes the first person, by a code that only whoever started the service can read. */
export class SetupService {
  readonly #deps: AccessDependencies;

  constructor(deps: AccessDependencies) {
    this.#deps = deps;
  }

  /** Whether there is nobody yet. */
  async needed(): Promise<boolean> {
    return (await this.#deps.work.read.access.users.count()) === 0;
  }

  /** The name of the group, where somebody gave one. */
  async groupName(): Promise<string | null> {
    const value = await this.#deps.work.read.access.settings.find(GROUP_NAME);
    return typeof value === 'string' ? value : null;
  }

  /** Names the group without a set-up code; for loaders of a known group. */
  async nameGroup(name: string): Promise<void> {
    await this.#deps.work.run(({ access }) => access.settings.put(GROUP_NAME, name));
  }

  /**
   * Makes a code while there is nobody; null otherwise. Each start and each replica makes its own;
   * all of them work for a day, until the first person is made. Only hashes are kept.
   */
  async beginSetup(): Promise<string | null> {
    if (!(await this.needed())) return null;
    const code = this.#deps.secrets.makeCode();
    const key = CODE_PREFIX + this.#deps.secrets.hash(normalCode(code));
    await this.#deps.work.run(({ access }) =>
      access.settings.put(key, { madeAt: this.#deps.clock.now().toISOString() }),
    );
    return code;
  }

  /**
   * Makes the first person, an admin of every site.
   * @throws Refusal `conflict` when there is somebody already; `invalid-input` for a wrong code or
   * weak password; `too-many-requests`
   */
  async setUp(input: SetupInput, address: string): Promise<void> {
    const { clock, hasher, newId, secrets, work } = this.#deps;
    if (!(await this.needed())) throw this.#done();
    const throttle = new SignInThrottle(work.read.access.attempts, secrets, clock);
    await throttle.enter('set-up', address);
    const key = CODE_PREFIX + secrets.hash(normalCode(input.setupCode));
    const found = await work.read.access.settings.find(key);
    if (!isFresh(found, clock.now())) {
      // Another set-up may have ended meanwhile, which takes the codes away.
      if (!(await this.needed())) throw this.#done();
      throw invalid(
        '/setupCode',
        'This is not the set-up code that the service printed when it started.',
      );
    }
    await throttle.succeeded('set-up', address);
    const email = normalEmail(input.email);
    checkPassword(input.password, [email, input.name, input.groupName], '/password');
    const passwordHash = await hasher.hash(input.password);
    const id = newId('usr');
    await work.run(async ({ access, audit }) => {
      // The row is the lock: of two set-ups at one moment, only one can insert it.
      if (!(await access.settings.insert('set-up-by', id))) throw this.#done();
      if ((await access.users.count()) > 0) throw this.#done();
      await access.settings.put(GROUP_NAME, input.groupName);
      await access.users.insert(
        id,
        { email, name: input.name, role: 'admin', siteIds: 'all' },
        passwordHash,
      );
      await access.settings.deleteByPrefix(CODE_PREFIX);
      const actor: Actor = { kind: 'user', id, name: input.name, role: 'admin', siteIds: 'all' };
      await audit.append({ actor, action: 'set-up', subjectKind: 'user', subjectId: id });
    });
  }

  #done(): Refusal {
    return new Refusal('conflict', 'The service is set up already. Sign in, or ask an admin.');
  }
}

function isFresh(value: unknown, now: Date): boolean {
  if (typeof value !== 'object' || value === null || !('madeAt' in value)) return false;
  const madeAt = Date.parse(String(value.madeAt));
  return now.getTime() - madeAt < CODE_LIVES_MS;
}
