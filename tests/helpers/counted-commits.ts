import { requestId } from '../../api/modules/platform/index.ts';
import type { Database } from '../../api/persistence/database.ts';

/** A database that counts what each request commits, and can die under one after so many commits. */
export interface CountedDatabase {
  readonly database: Database;
  /** Transactions that the request of this id has committed. */
  commitsOf(id: string): number;
  /** From now on a request's transactions beyond so many fail, as if the process had died; null: none do. */
  dieAfter(commits: number | null): void;
}

export function countCommits(over: Database): CountedDatabase {
  const commits = new Map<string, number>();
  let most: number | null = null;
  const transaction = async (...asked: unknown[]): Promise<unknown> => {
    const id = requestId();
    const before = commits.get(id ?? '') ?? 0;
    if (id !== undefined && most !== null && before >= most) throw new Error('The process died.');
    const run = over.prisma.$transaction.bind(over.prisma) as (...all: unknown[]) => unknown;
    const done = await run(...asked);
    if (id !== undefined) commits.set(id, (commits.get(id) ?? 0) + 1);
    return done;
  };
  const prisma = new Proxy(over.prisma, {
    get: (target, key) =>
      key === '$transaction' ? transaction : (Reflect.get(target, key) as unknown),
  });
  return {
    database: { ...over, prisma },
    commitsOf: (id) => commits.get(id) ?? 0,
    dieAfter: (after) => {
      most = after;
    },
  };
}
