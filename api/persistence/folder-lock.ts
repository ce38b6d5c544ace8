import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import path from 'node:path';
import { setTimeout as timeout } from 'node:timers/promises';
import { isRunning, ownIdentity, type ProcessIdentity } from './process-identity.ts';

/** Holds a data folder for one process. */
export interface FolderLock {
  release(): void;
}

const LOCK_FILE = 'in-use-by.pid';
const SOCKET_FILE = 'in-use-by.sock';
/** The shortest limit of the common systems, in bytes. */
const LONGEST_SOCKET_PATH = 100;
/** A lock is filled and listened beside right after its file is made. */
const MADE_WITHIN_MS = 500;
const TRIES = 5;

/** Lock files of this process. */
const held = new Set<string>();

function read(file: string): string | null {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

/** What stands in a lock file (an earlier version wrote the number alone); null when half written. */
function toIdentity(text: string): ProcessIdentity | null {
  try {
    const value = JSON.parse(text) as number | Partial<ProcessIdentity>;
    const {
      pid,
      boot = null,
      space = null,
      start = null,
    } = typeof value === 'number' ? { pid: value } : value;
    return Number.isInteger(pid) && Number(pid) > 0
      ? { pid: Number(pid), boot, space, start }
      : null;
  } catch {
    return null;
  }
}

/** Where the holder of a folder listens; null where the path is too long for a socket. */
function socketOf(dir: string): string | null {
  const file = path.join(dir, SOCKET_FILE);
  return Buffer.byteLength(file) > LONGEST_SOCKET_PATH ? null : file;
}

/**
 * The holder listens beside the lock, and the system ends that with the process: the sign for those
 * to whom its number says nothing. Left out where the file system has no sockets.
 */
function listen(dir: string): Server {
  const server = createServer((socket) => socket.destroy());
  server.on('error', () => undefined);
  const file = socketOf(dir);
  if (file === null) return server;
  rmSync(file, { force: true });
  return server.listen(file).unref();
}

function isListening(dir: string): Promise<boolean> {
  const file = socketOf(dir);
  if (file === null) return Promise.resolve(false);
  return new Promise((resolve) => {
    const socket = connect(file);
    socket.once('error', () => resolve(false));
    socket.once('connect', () => {
      resolve(true);
      socket.destroy();
    });
  });
}

/** Whether the lock that says this is of a living process; null while that cannot be told. */
async function isHeld(dir: string, text: string | null): Promise<boolean | null> {
  const holder = text === null ? null : toIdentity(text);
  if (holder === null) return null;
  return isRunning(holder, ownIdentity()) ?? ((await isListening(dir)) ? true : null);
}

/** Takes a lock file away, unless another process was faster and what stands there is its new one. */
function takeAway(file: string, stale: string): void {
  const aside = `${file}.${process.pid}`;
  try {
    renameSync(file, aside);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  if (read(aside) === stale) rmSync(aside, { force: true });
  else renameSync(aside, file);
}

/**
 * Takes the lock of an embedded database folder. The embedded database allows one process; two would
 * damage it. A lock left by a process that is gone is taken over, also where a new process has its
 * number, as the first process of a container always has.
 * @throws Error in plain words when another living process holds the folder
 */
export async function lockFolder(dir: string): Promise<FolderLock> {
  mkdirSync(dir, { recursive: true });
  const file = path.resolve(dir, LOCK_FILE);
  for (let tries = 0; tries < TRIES; tries += 1) {
    try {
      writeFileSync(file, JSON.stringify(ownIdentity()), { flag: 'wx' });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
      let text = read(file);
      let holds = held.has(file) || (await isHeld(dir, text));
      if (holds === null) {
        await timeout(MADE_WITHIN_MS);
        text = read(file);
        holds = await isHeld(dir, text);
      }
      if (holds === true) {
        const holder = text === null ? null : toIdentity(text);
        throw new Error(
          `The data folder ${dir} is in use by process ${holder?.pid ?? process.pid}. Stop that one first, or set DATA_DIR to another folder.`,
          { cause: error },
        );
      }
      if (text !== null) takeAway(file, text);
      continue;
    }
    held.add(file);
    const server = listen(dir);
    return {
      release: () => {
        server.close();
        held.delete(file);
        rmSync(file, { force: true });
      },
    };
  }
  throw new Error(`The data folder ${dir} could not be locked.`);
}
