import { Refusal } from '../modules/platform/index.ts';
import { Prisma } from './generated/client.ts';

/**
 * Runs a write and turns a broken uniqueness rule into a Refusal `conflict` with `message`.
 * Other database errors pass through and become faults.
 */
export async function refuseDuplicates<T>(
  message: string,
  pointer: string,
  write: () => Promise<T>,
): Promise<T> {
  try {
    return await write();
  } catch (error) {
    if (error instanceof Prisma.PrismaClientKnownRequestError && error.code === 'P2002') {
      throw new Refusal('conflict', message, { issues: [{ pointer, message }] });
    }
    throw error;
  }
}

/** What a database error comes to: away or out of connections, no room to write, a clash to repeat. */
export type DatabaseFault = 'away' | 'full' | 'clash';

// Prisma's codes, SQLSTATE (PostgreSQL manual, appendix A) and the system's own names of errors.
const CODES: Readonly<Record<DatabaseFault, readonly RegExp[]>> = {
  away: [
    /^P(1001|1002|1008|1017|2024|2028|2037)$/,
    /^(08...|57P0[1-5]|53300|25P03)$/,
    /^(ECONNREFUSED|ECONNRESET|ENOTFOUND|EAI_AGAIN|ETIMEDOUT|EPIPE)$/,
    /^(DatabaseNotReachable|ConnectionClosed|SocketTimeout|TooManyConnections)$/,
    /connection terminated|timeout exceeded when trying to connect|server closed the connection/i,
  ],
  full: [/^(53100|53200|58030|ENOSPC|EDQUOT|EROFS)$/, /no space left on device/i],
  clash: [/^P2034$/, /^(40001|40P01)$/, /^TransactionWriteConflict$/],
};

function* marksOf(error: unknown, depth = 0): Generator<string> {
  if (typeof error !== 'object' || error === null || depth > 5) return;
  const { code, originalCode, kind, message, cause, meta, driverAdapterError, errors } =
    error as Record<string, unknown>;
  for (const mark of [code, originalCode, kind, message]) if (typeof mark === 'string') yield mark;
  for (const inner of [cause, meta, driverAdapterError, ...(Array.isArray(errors) ? errors : [])]) {
    yield* marksOf(inner, depth + 1);
  }
}

/** @returns what kind of database fault an error is; null when it is none of these */
export function faultOf(error: unknown): DatabaseFault | null {
  if (error instanceof Refusal) return null;
  const marks = [...marksOf(error)];
  for (const fault of ['full', 'clash', 'away'] as const) {
    if (marks.some((mark) => CODES[fault].some((code) => code.test(mark)))) return fault;
  }
  return null;
}
