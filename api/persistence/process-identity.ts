import { readFileSync, readlinkSync } from 'node:fs';

/**
 * What tells one process from every other, earlier and later ones with its number included. Null
 * where the system does not say (there is no /proc).
 */
export interface ProcessIdentity {
  readonly pid: number;
  /** Differs after every start of the machine. */
  readonly boot: string | null;
  /** The set of processes that the number is one of: a container has its own. */
  readonly space: string | null;
  /** When the process was started, in the system's ticks. */
  readonly start: string | null;
}

function orNull(read: () => string): string | null {
  try {
    return read();
  } catch {
    return null;
  }
}

/** Field 22 of proc(5)'s stat, behind the name, which may hold anything; null for one that has ended. */
function startOf(pid: number): string | null {
  const stat = orNull(() => readFileSync(`/proc/${pid}/stat`, 'utf8'));
  const [state, ...rest] = stat?.slice(stat.lastIndexOf(')') + 2).split(' ') ?? [];
  return state === undefined || 'ZX'.includes(state) ? null : (rest[18] ?? null);
}

/** @returns the identity of this process */
export function ownIdentity(): ProcessIdentity {
  return {
    pid: process.pid,
    boot: orNull(() => readFileSync('/proc/sys/kernel/random/boot_id', 'utf8').trim()),
    space: orNull(() => readlinkSync('/proc/self/ns/pid')),
    start: startOf(process.pid),
  };
}

function answersToSignals(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** @returns whether the process runs; null for one in another space, whose number says nothing here */
export function isRunning(of: ProcessIdentity, own: ProcessIdentity): boolean | null {
  if (of.boot !== null && own.boot !== null && of.boot !== own.boot) return false;
  if (of.space !== own.space && of.space !== null && own.space !== null) return null;
  if (of.start !== null && own.start !== null) return startOf(of.pid) === of.start;
  // The number alone: one's own was another's before.
  return of.pid !== own.pid && answersToSignals(of.pid);
}
