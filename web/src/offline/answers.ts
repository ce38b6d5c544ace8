import { get, NoAnswer } from '../api/client.ts';
import { keep, kept } from './kept.ts';

/** An answer of the API, and since when this device has it when the service does not answer. */
export interface Answer<T> {
  readonly data: T;
  /** Null: fresh. Otherwise when it was kept, ms. */
  readonly keptAt: number | null;
}

interface KeptAnswer<T> {
  readonly data: T;
  readonly at: number;
}

/**
 * Asks the service, and falls back on what this device kept of the last answer.
 * @throws Problem when refused; NoAnswer when nothing answers and nothing was kept
 */
export async function ask<T>(path: string): Promise<Answer<T>> {
  try {
    const data = await get<T>(path);
    await keep('answers', path, { data, at: Date.now() } satisfies KeptAnswer<T>);
    return { data, keptAt: null };
  } catch (error) {
    if (!(error instanceof NoAnswer)) throw error;
    const last = await kept<KeptAnswer<T>>('answers', path);
    if (!last) throw error;
    return { data: last.data, keptAt: last.at };
  }
}

/** Puts an answer that came by another way where `ask` finds it. */
export function keepAnswer(path: string, data: unknown): Promise<unknown> {
  return keep('answers', path, { data, at: Date.now() });
}
