import { randomUUID } from 'node:crypto';

// One chef on one tablet: what is asked, one thing after another, and how long each took.

export const KINDS = ['signIn', 'list', 'card', 'tick'] as const;
export type Kind = (typeof KINDS)[number];
/** Milliseconds of each answered request by its kind, and what was answered otherwise. */
export type Timings = Record<Kind, number[]> & { readonly wrong: string[] };

interface Task {
  readonly id: string;
  readonly version: { readonly id: string };
  readonly status: string;
  readonly toMake: { readonly amount: { readonly value: number; readonly unit: string } };
}

const NEXT: Readonly<Record<string, string>> = { to_do: 'start', started: 'finish' };
const CARDS = 20;
const TICKS = 30;

export class Cook {
  /** Requests of one morning. */
  static readonly requests = 2 + CARDS + TICKS;
  readonly #base: string;
  readonly #site: string;
  readonly #person: { readonly email: string; readonly password: string };
  readonly #times: Timings;
  #headers: Record<string, string> = {};

  constructor(base: string, site: string, email: string, password: string, times: Timings) {
    this.#base = base;
    this.#site = site;
    this.#person = { email, password };
    this.#times = times;
  }

  /** Signs in, opens the list, looks at cards and ticks tasks off, with a pause after each. */
  async morning(pause: () => Promise<unknown>): Promise<void> {
    await this.signIn();
    await pause();
    const tasks = await this.#list();
    await pause();
    for (let n = 0; n < CARDS; n += 1) {
      await this.#card(tasks, n);
      await pause();
    }
    for (let n = 0; n < TICKS; n += 1) {
      const task = tasks[Math.floor(n / 2) % tasks.length];
      if (task) await this.#tick(task, n % 2 === 0 ? 'start' : 'finish');
      await pause();
    }
  }

  /** A list, a card, and the next step of some task: started, finished, taken back. */
  async round(): Promise<void> {
    const tasks = await this.#list();
    await this.#card(tasks, Math.floor(Math.random() * CARDS));
    const task = tasks[Math.floor(Math.random() * tasks.length)];
    // Two cooks may press the same one: the later is told so.
    if (task) await this.#tick(task, NEXT[task.status] ?? 'undo', [200, 409]);
  }

  async signIn(): Promise<void> {
    const answer = await this.#ask('signIn', '/v1/session', [201], this.#person);
    const { csrfToken } = (answer?.body ?? {}) as { csrfToken?: string };
    const cookie = answer?.headers.getSetCookie()[0]?.split(';')[0];
    this.#headers = { cookie: cookie ?? '', 'x-csrf-token': csrfToken ?? '' };
  }

  async #list(): Promise<readonly Task[]> {
    const answer = await this.#ask('list', `/v1/sites/${this.#site}/prep-list`, [200]);
    return ((answer?.body ?? { tasks: [] }) as { tasks: Task[] }).tasks;
  }

  async #card(tasks: readonly Task[], n: number): Promise<void> {
    const version = tasks[n % tasks.length]?.version.id;
    await this.#ask('card', `/v1/recipe-versions/${version}/card?batches=${1 + (n % 5)}`, [200]);
  }

  async #tick(task: Task, what: string, fine: readonly number[] = [200]): Promise<void> {
    const body = what === 'finish' ? { made: task.toMake.amount } : {};
    await this.#ask('tick', `/v1/prep-tasks/${task.id}/${what}`, fine, body);
  }

  async #ask(
    kind: Kind,
    path: string,
    fine: readonly number[],
    body?: object,
  ): Promise<{ readonly headers: Headers; readonly body: unknown } | null> {
    const began = performance.now();
    const posted = body && {
      method: 'POST',
      body: JSON.stringify(body),
      headers: {
        ...{ ...this.#headers, 'content-type': 'application/json' },
        'idempotency-key': randomUUID(),
      },
    };
    try {
      const answer = await fetch(this.#base + path, posted ?? { headers: this.#headers });
      const text = await answer.text();
      this.#times[kind].push(performance.now() - began);
      if (fine.includes(answer.status)) {
        return { headers: answer.headers, body: JSON.parse(text) as unknown };
      }
      this.#times.wrong.push(`${kind} ${path}: ${answer.status} ${text.slice(0, 200)}`);
    } catch (error) {
      this.#times.wrong.push(`${kind} ${path}: ${String(error)}`);
    }
    return null;
  }
}
