import { randomUUID } from 'node:crypto';
import { SITE } from '../helpers/demo-site.ts';
import {
  IMPORTED_ROWS,
  importedName,
  lotNote,
  type Ledger,
  type Made,
  type OrderPromise,
} from './ledger.ts';

// Callers that write all at once until the service dies under them, and keep what they were told.

/** Headers that sign a caller in. */
export type SignedIn = Readonly<Record<string, string>>;

interface Order {
  readonly id: string;
  readonly rev: number;
  readonly status: string;
  readonly number: number | null;
  readonly lines: readonly unknown[];
}
interface Task {
  readonly id: string;
  readonly status: string;
  readonly toMake: { readonly amount: { readonly value: number; readonly unit: string } };
}
interface Answer {
  readonly status: number;
  readonly body: unknown;
}
/** A request, and what its answer means. Sent again with the same key when none came. */
interface Asked {
  readonly path: string;
  readonly body: string;
  readonly type: 'application/json' | 'text/csv';
  readonly key: string;
  /** What to keep once it is known to be done; null where the answer to it was lost. */
  readonly told: (body: unknown) => void;
}

/** Thrown to end a caller's work when the service gave no answer. */
class NoAnswer extends Error {}

/** What happened so far, for the test's own sake. */
export interface Tally {
  /** Writes that were answered as done. */
  told: number;
  unanswered: number;
  /** Requests sent again of which the service said that they had been done. */
  alreadyDone: number;
  /** Answers that no caller should get. */
  readonly odd: string[];
}

export class Callers {
  readonly ledger: Ledger;
  readonly tally: Tally = { told: 0, unanswered: 0, alreadyDone: 0, odd: [] };
  readonly #headers: SignedIn;
  #base = '';
  #mark = 0;
  #unanswered: Asked[] = [];
  #answered: () => void = () => undefined;

  constructor(ledger: Ledger, headers: SignedIn) {
    this.ledger = ledger;
    this.#headers = headers;
  }

  /**
   * Sends what had no answer once more, then writes until the service is gone.
   * @param answered called after each write that was answered
   */
  async work(base: string, answered: () => void): Promise<void> {
    this.#base = base;
    this.#answered = answered;
    const again = this.#unanswered.splice(0);
    const work: (() => Promise<void>)[] = [
      () => this.#order('2026-03-24'),
      () => this.#order('2026-03-25'),
      () => this.#task(0),
      () => this.#task(1),
      () => this.#stock(),
      () => this.#import(),
      () => this.#plan(),
    ];
    await untilGone(async () => {
      for (const asked of again.splice(0)) {
        if (!(await this.#send(asked))) {
          this.#unanswered.push(...again.splice(0));
          throw new NoAnswer();
        }
      }
    });
    if (this.#unanswered.length > 0) return;
    await Promise.all(work.map((one) => untilGone(one, true)));
  }

  /** An order on a date of its own from nothing to cancelled, its number used up. */
  async #order(deliveryDate: string): Promise<void> {
    const open = (await this.#get(`/v1/orders?siteId=${SITE}&deliveryDate=${deliveryDate}`)) as {
      items: Order[];
    };
    const left = open.items.find(({ status }) => status !== 'cancelled');
    let order = left
      ? ((await this.#get(`/v1/orders/${left.id}`)) as Order)
      : ((await this.#post('/v1/orders', {
          siteId: SITE,
          supplierId: 'sup_mill',
          deliveryDate,
        })) as Order | undefined);
    if (!order) return;
    this.#ordered(order);
    if (order.lines.length === 0) order = await this.#step(order, 'lines', LINE);
    if (order?.status === 'proposed') order = await this.#step(order, 'approve');
    if (order?.status === 'approved') await this.#step(order, 'cancel', { reason: 'Not needed.' });
  }

  async #step(order: Order, step: string, body?: object): Promise<Order> {
    const promise = this.ledger.orders[order.id] as OrderPromise;
    promise.pending = true;
    const answer = await this.#call(`/v1/orders/${order.id}/${step}`, {
      method: 'POST',
      headers: { ...JSON_TYPE, 'if-match': `"${order.rev}"` },
      body: JSON.stringify(body ?? null),
    });
    if (!answer) {
      this.tally.unanswered += 1;
      throw new NoAnswer();
    }
    if (answer.status !== 200) throw this.#odd(`${step} of an order`, answer);
    this.#done();
    this.#ordered(answer.body as Order);
    return answer.body as Order;
  }

  #ordered({ id, rev, status, number, lines }: Order): void {
    this.ledger.orders[id] = { id, rev, status, number, lines: lines.length, pending: false };
  }

  /** One task started, finished and taken back. */
  async #task(position: number): Promise<void> {
    const list = (await this.#get(`/v1/sites/${SITE}/prep-list`)) as { tasks: Task[] };
    const task = list.tasks.sort((a, b) => (a.id < b.id ? -1 : 1))[position];
    if (!task) return;
    const step = STEPS[task.status];
    if (!step) throw this.#odd('a task', { status: 0, body: task });
    const promise = (this.ledger.tasks[task.id] = {
      id: task.id,
      status: task.status,
      pending: step.to as string | null,
    });
    const body = step.verb === 'finish' ? { made: task.toMake.amount } : {};
    await this.#post(`/v1/prep-tasks/${task.id}/${step.verb}`, body, () => {
      promise.status = step.to;
      promise.pending = null;
    });
  }

  /** A count of two items, and a lot that was found. */
  async #stock(): Promise<void> {
    const mark = this.#next();
    const counted = this.#promise(this.ledger.counts, mark);
    const useBy = '2026-03-18T10:00:00Z';
    const item = (itemKind: string, itemId: string, unit: string, value: number) => ({
      ...{ itemKind, itemId, useBy },
      amount: { value, unit },
    });
    const counts = [
      item('ingredient', 'ing_butter', 'g', mark),
      item('component', 'rcp_shell', '{each}', mark),
    ];
    await this.#post(`/v1/sites/${SITE}/stock-counts`, { counts }, counted);
    const found = this.#next();
    await this.#post(
      `/v1/sites/${SITE}/stock-lots`,
      { ...item('ingredient', 'ing_flour', 'g', found), source: 'found', note: lotNote(found) },
      this.#promise(this.ledger.lots, found),
    );
  }

  async #import(): Promise<void> {
    const mark = this.#next();
    const rows = Array.from({ length: IMPORTED_ROWS }, (_, row) => `${importedName(mark, row)},g`);
    await this.#post(
      '/v1/ingredients/import',
      ['name,base_unit', ...rows].join('\n'),
      this.#promise(this.ledger.imports, mark),
    );
  }

  /** A plan, and the orders worked out from it. */
  async #plan(): Promise<void> {
    await this.#post(`/v1/sites/${SITE}/prep-plans`, { days: 2 }, (plan) => {
      if (plan !== null) this.ledger.plans.push((plan as { id: string }).id);
    });
    await this.#post('/v1/order-runs', { siteIds: [SITE], days: 2 });
  }

  #next(): number {
    this.#mark += 1;
    return this.#mark;
  }

  #promise(of: Made[], mark: number): () => void {
    const made = { mark, told: false };
    of.push(made);
    return () => {
      made.told = true;
    };
  }

  async #get(path: string): Promise<unknown> {
    const answer = await this.#call(path, {});
    if (!answer) throw new NoAnswer();
    if (answer.status !== 200) throw this.#odd(path, answer);
    return answer.body;
  }

  /** @returns the body where it was done */
  async #post(
    path: string,
    body: object | string,
    told: Asked['told'] = () => undefined,
  ): Promise<unknown> {
    const csv = typeof body === 'string';
    const answer = await this.#send({
      ...{ path, told, key: randomUUID() },
      body: csv ? body : JSON.stringify(body),
      type: csv ? 'text/csv' : 'application/json',
    });
    if (!answer) throw new NoAnswer();
    return answer.status < 300 ? answer.body : undefined;
  }

  /** @returns null when no answer came: it is kept, and sent again to the next process */
  async #send(asked: Asked): Promise<Answer | null> {
    const { path, body, type, key, told } = asked;
    const headers = { 'content-type': type, 'idempotency-key': key };
    const answer = await this.#call(path, { method: 'POST', headers, body });
    if (!answer) {
      this.tally.unanswered += 1;
      this.#unanswered.push(asked);
      return null;
    }
    const problem = (answer.body as { type?: string } | null)?.type ?? '';
    if (answer.status < 300) {
      this.#done();
      told(answer.body);
    } else if (problem.endsWith('/already-done')) {
      this.tally.alreadyDone += 1;
      told(null);
    } else if (answer.status === 409 && !problem.endsWith('/still-in-progress')) {
      // Another caller was faster: a plan that keeps changing, a task it does without.
    } else {
      throw this.#odd(`POST ${path}`, answer);
    }
    return answer;
  }

  #done(): void {
    this.tally.told += 1;
    this.#answered();
  }

  #odd(what: string, { status, body }: Answer): Error {
    this.tally.odd.push(`${what}: ${status} ${JSON.stringify(body).slice(0, 300)}`);
    return new NoAnswer();
  }

  async #call(path: string, init: RequestInit): Promise<Answer | null> {
    try {
      const answer = await fetch(this.#base + path, {
        ...init,
        headers: { ...this.#headers, ...(init.headers as Record<string, string>) },
      });
      const text = await answer.text();
      return { status: answer.status, body: JSON.parse(text) as unknown };
    } catch {
      return null;
    }
  }
}

const JSON_TYPE = { 'content-type': 'application/json' };
const LINE = { packId: 'pack_flour', packs: 2 };
const STEPS: Readonly<Record<string, { readonly verb: string; readonly to: string }>> = {
  to_do: { verb: 'start', to: 'started' },
  started: { verb: 'finish', to: 'done' },
  done: { verb: 'undo', to: 'to_do' },
};

/** Does something, over and over where told to, until the service gives no answer. */
async function untilGone(work: () => Promise<void>, again = false): Promise<void> {
  try {
    do await work();
    while (again);
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
  }
}
