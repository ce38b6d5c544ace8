import { NoAnswer } from '../api/client.ts';
import { ask } from '../offline/answers.ts';
import { words } from '../texts/index.svelte.ts';

/** A list whose entries are changed in forms of their own, one of them open at a time. */
export class EditedList<T> {
  readonly #path: string;
  items = $state.raw<readonly T[] | null>(null);
  /** Whose form is open: an entry's id, 'new', or none. */
  open = $state('');
  problem = $state('');
  said = $state('');
  busy = $state(false);

  /** @param path where the list is read */
  constructor(path: string) {
    this.#path = path;
    void this.load();
  }

  async load(): Promise<void> {
    try {
      this.items = (await ask<{ items: T[] }>(this.#path)).data.items;
    } catch (error) {
      this.problem = error instanceof NoAnswer ? words.t.neverKept : (error as Error).message;
    }
  }

  /** A form has saved. */
  saved(said: string): void {
    this.open = '';
    this.said = said;
    void this.load();
  }

  /** Does something to an entry and reads the list again; says what is done meanwhile and after. */
  async act(work: () => Promise<unknown>, during: string, after: string): Promise<void> {
    this.busy = true;
    this.problem = '';
    this.said = during;
    try {
      await work();
      this.said = after;
      await this.load();
    } catch (error) {
      this.said = '';
      this.problem = error instanceof NoAnswer ? words.t.noAnswer : (error as Error).message;
    }
    this.busy = false;
  }
}
