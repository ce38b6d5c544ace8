import { mkdirSync, openSync, closeSync, readFileSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';

/** Holds a data folder for one process. */
export interface FolderLock {
  release(): void;
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/**
 * Takes the lock file of an embedded database folder. The embedded database allows one process;
 * two would damage it. A lock left by a process that is gone is taken over.
 * @throws Error in plain words when another living process holds the folder
 */
export function lockFolder(dir: string): FolderLock {
  mkdirSync(dir, { recursive: true });
  const file = path.join(dir, 'in-use-by.pid');
  for (let attempt = 0; attempt < 2; attempt += 1) {
    try {
      const fd = openSync(file, 'wx');
      writeSync(fd, String(process.pid));
      closeSync(fd);
      return { release: () => rmSync(file, { force: true }) };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
      const holder = Number(readFileSync(file, 'utf8').trim());
      if (Number.isInteger(holder) && holder > 0 && holder !== process.pid && isAlive(holder)) {
        throw new Error(
          `The data folder ${dir} is in use by process ${holder}. Stop that one first, or set DATA_DIR to another folder.`,
          { cause: error },
        );
      }
      rmSync(file, { force: true });
    }
  }
  throw new Error(`The data folder ${dir} could not be locked.`);
}
