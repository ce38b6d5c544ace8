import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';
import supertest from 'supertest';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

/** A service in a process of its own, as `npm start` runs it. */
interface Started {
  readonly child: ChildProcess;
  readonly output: () => string;
  /** The address it printed; null when it ended instead. */
  readonly url: string | null;
  readonly ended: Promise<number | null>;
}

let dir: string;
const children: ChildProcess[] = [];
beforeEach(() => {
  dir = mkdtempSync(path.join(os.tmpdir(), 'tamis-start-'));
});
afterEach(async () => {
  for (const child of children.splice(0)) {
    if (child.exitCode === null && child.signalCode === null) {
      const gone = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGKILL');
      await gone;
    }
  }
  rmSync(dir, { recursive: true, force: true });
});

async function start(env: Record<string, string> = {}): Promise<Started> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'api/server.ts'], {
    env: { PATH: process.env.PATH ?? '', PORT: '0', DATA_DIR: path.join(dir, 'data'), ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  children.push(child);
  let output = '';
  const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
  const url = await new Promise<string | null>((resolve) => {
    const read = (chunk: Buffer) => {
      output += chunk.toString('utf8');
      const found = /tamis is at (http:\S+)/.exec(output);
      // The address is the last line it prints, after the set-up code.
      if (found?.[1]) resolve(found[1]);
    };
    child.stdout.on('data', read);
    child.stderr.on('data', read);
    void ended.then(() => resolve(null));
  });
  return { child, output: () => output, url, ended };
}

describe('the service started on its own', () => {
  it('sets up with the printed code, keeps its data over a restart, and logs no secrets', async () => {
    const first = await start();
    const code = /with this code: (\S+)/.exec(first.output())?.[1] ?? '';
    expect(code).toMatch(/^\w{4}(-\w{4}){3}$/);
    const password = 'three ovens at dawn';
    const agent = supertest.agent(first.url ?? '');
    await agent
      .post('/v1/setup')
      .send({
        setupCode: code,
        email: 'ada@lakes.example',
        name: 'Ada',
        password,
        groupName: 'Lakes',
      })
      .expect(201);
    const made = await agent.post('/v1/session').send({ email: 'ada@lakes.example', password });
    expect(made.status).toBe(201);
    await agent.get('/readyz').expect(200, { status: 'ok' });
    await agent.get('/healthz').expect(200);
    first.child.kill('SIGTERM');
    expect(await first.ended).toBe(0);
    // The line of the last request was still held when the signal came.
    expect(first.output()).toContain('"route":"/healthz"');
    const secret = /tamis_session=([\w-]+)/.exec(made.headers['set-cookie']?.[0] ?? '')?.[1];
    expect(first.output()).toContain('"route":"/v1/session"'); // requests are logged
    for (const hidden of [password, secret, made.body.csrfToken]) {
      expect(hidden).toBeTruthy();
      expect(first.output()).not.toContain(hidden);
    }
    expect(existsSync(path.join(dir, 'data', 'in-use-by.pid'))).toBe(false);

    const second = await start();
    expect(second.output()).not.toContain('code');
    await supertest
      .agent(second.url ?? '')
      .get('/v1/session')
      .set('cookie', `tamis_session=${secret}`)
      .expect(200);
  });

  it('ends with one plain line when its data folder is in use', async () => {
    const first = await start({ LOG_LEVEL: 'silent' });
    const second = await start();
    expect(second.url).toBeNull();
    expect(await second.ended).toBe(1);
    expect(second.output().trim().split('\n')).toEqual([
      expect.stringMatching(/^The data folder .* is in use by process \d+\./),
    ]);
    await supertest
      .agent(first.url ?? '')
      .get('/healthz')
      .expect(200);
  });

  it('ends with one plain line when its port is taken, and lets go of the folder', async () => {
    const holder = net.createServer();
    await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve));
    const { port } = holder.address() as net.AddressInfo;
    const refused = await start({ PORT: String(port) });
    expect(await refused.ended).toBe(1);
    expect(refused.output().trim()).toBe(
      `Port ${port} on 127.0.0.1 is taken. Stop what uses it, or set PORT to another number.`,
    );
    expect(existsSync(path.join(dir, 'data', 'in-use-by.pid'))).toBe(false);
    await new Promise((resolve) => holder.close(resolve));
  });

  it('ends with plain lines when a setting is wrong', async () => {
    const refused = await start({ PORT: 'eighty', DATABASE_URL: 'mysql://x' });
    expect(await refused.ended).toBe(1);
    expect(refused.output()).toMatch(
      /These settings are not right:\n {2}PORT: .*\n {2}DATABASE_URL: /,
    );
  });
});
