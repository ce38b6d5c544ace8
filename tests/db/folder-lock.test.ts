import { fork, spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { lockFolder } from '../../api/persistence/folder-lock.ts';
import { ownIdentity } from '../../api/persistence/process-identity.ts';

// Who may open the folder of an embedded database. What an earlier process left there is written by
// hand, so that each way of being gone can be tried.

let dir: string;
const closing: (() => unknown)[] = [];
const lockFile = () => path.join(dir, 'in-use-by.pid');
beforeEach(() => {
  dir = mkdtempSync(path.join(os.tmpdir(), 'tamis-lock-'));
});
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
  rmSync(dir, { recursive: true, force: true });
});

const left = (lock: object | string) =>
  writeFileSync(lockFile(), typeof lock === 'string' ? lock : JSON.stringify(lock));
const own = ownIdentity();
const take = async () => {
  const lock = await lockFolder(dir);
  closing.push(() => lock.release());
  return lock;
};
const inUse = (pid: number | string) => new RegExp(`is in use by process ${pid}\\.`);
/** The kernel's record of processes: without it (not Linux) only numbers can be compared. */
const withProc = own.start === null ? it.skip : it;

/** Another living process, which ends with the test. */
function another(): ChildProcess & { readonly pid: number } {
  const child = spawn(process.execPath, ['-e', 'setInterval(() => undefined, 1000)']);
  const gone = new Promise((resolve) => child.once('exit', resolve));
  closing.push(() => {
    child.kill('SIGKILL');
    return gone;
  });
  if (child.pid === undefined) throw new Error('No process was begun.');
  return child as ChildProcess & { readonly pid: number };
}
const startOf = (pid: number) =>
  readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ')[19] ?? '';

describe('the folder of an embedded database', () => {
  it('is held once: a second opening is refused by name, and goes through after the first is closed', async () => {
    const first = await take();
    await expect(lockFolder(dir)).rejects.toThrow(inUse(process.pid));
    first.release();
    expect(existsSync(lockFile())).toBe(false);
    await take();
  });

  withProc('stays with the living process that the lock is of', async () => {
    const { pid } = another();
    left({ ...own, pid, start: startOf(pid) });
    await expect(lockFolder(dir)).rejects.toThrow(inUse(pid));
    expect(JSON.parse(readFileSync(lockFile(), 'utf8'))).toMatchObject({ pid });
  });

  withProc(
    'is taken over where another process has the number of the one that is gone',
    async () => {
      const { pid } = another();
      left({ ...own, pid, start: String(Number(startOf(pid)) - 500) });
      await take();
    },
  );

  withProc(
    'is taken over by the process that has the number itself, as a container’s first',
    async () => {
      left({ ...own, start: '21' });
      await take();
      expect(JSON.parse(readFileSync(lockFile(), 'utf8'))).toEqual(own);
    },
  );

  withProc('is taken over after the machine was started again', async () => {
    left({ ...own, pid: another().pid, boot: '00000000-0000-4000-8000-000000000000' });
    await take();
  });

  it('stays with a process in another container while that listens, and is taken over after', async () => {
    left({ ...own, space: 'pid:[1]', start: '21' });
    const listening = createServer();
    await new Promise<void>((done) => listening.listen(path.join(dir, 'in-use-by.sock'), done));
    if (own.space !== null) await expect(lockFolder(dir)).rejects.toThrow(inUse(own.pid));
    await new Promise((done) => listening.close(done));
    left({ ...own, space: 'pid:[1]', start: '21' });
    await take();
  });

  it('is taken over from a process that was killed while it took the lock', async () => {
    left('');
    await take();
  });

  it('reads the lock of an earlier version, which is a number alone', async () => {
    const other = another();
    left(String(other.pid));
    await expect(lockFolder(dir)).rejects.toThrow(inUse(other.pid));
    const gone = new Promise((resolve) => other.once('exit', resolve));
    other.kill('SIGKILL');
    await gone;
    await take();
  });

  it('goes to one of several processes that find the lock of a killed one at the same moment', async () => {
    left({ ...own, pid: 4_194_305, start: '21' });
    const rivals = [1, 2, 3].map(() => {
      const child = fork('tests/db/lock-rival.ts', [dir], { execArgv: ['--import', 'tsx'] });
      closing.push(() => child.kill('SIGKILL'));
      return child;
    });
    const said = (child: ChildProcess) =>
      new Promise<string>((resolve) => child.once('message', (word) => resolve(String(word))));
    await Promise.all(rivals.map(said));
    const words = rivals.map(said);
    for (const rival of rivals) rival.send('go');
    const answers = await Promise.all(words);
    expect(answers.filter((word) => word === 'taken')).toHaveLength(1);
    expect(answers.filter((word) => inUse('\\d+').test(word))).toHaveLength(2);
  });
});
