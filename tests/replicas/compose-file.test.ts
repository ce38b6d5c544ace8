import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { readConfig } from '../../api/config.ts';

// The files that README points to, held against what the service reads and does.

const read = (name: string) =>
  readFileSync(path.join(import.meta.dirname, '..', '..', 'api', 'deploy', name), 'utf8');
const compose = read('compose.yaml');
const proxy = read('haproxy.cfg');

/** The settings of the service as the compose file gives them. */
function settings(): Record<string, string> {
  const [, block = ''] = /^ {2}environment:\n((?: {4}.*\n)+)/m.exec(compose) ?? [];
  return Object.fromEntries(
    [...block.matchAll(/^ {4}(\w+): '?(.*?)'?$/gm)].map(([, name = '', value = '']) => [
      name,
      value.replace(/\$\{\w+:[?-]\w*\}/g, 'a-secret-of-twenty-letters'),
    ]),
  );
}

describe('the compose file', () => {
  it('sets only what the service reads, with values it takes', () => {
    const given = settings();
    expect(Object.keys(given).length).toBeGreaterThan(5);
    const config = readConfig(given);
    expect(config).toMatchObject({ host: '0.0.0.0', secureCookies: true });
    expect(config.databaseUrl).toMatch(/^postgres:.*@database\//);
    // A name the service does not know would be passed over in silence.
    const source = readFileSync(
      path.join(import.meta.dirname, '..', '..', 'api', 'config.ts'),
      'utf8',
    );
    for (const name of Object.keys(given)) expect(source).toMatch(new RegExp(`^  ${name}: z`, 'm'));
    const replicas = compose.match(/^ {2}tamis-\d: \*tamis$/gm) ?? [];
    // Three more each for night work and readiness; PostgreSQL's own default is 100.
    expect(replicas.length * (config.poolMax + 4)).toBeLessThan(97);
  });

  it('believes the addresses of its own network only, where the proxy is', () => {
    expect(compose).toContain(`subnet: ${settings().TRUST_PROXY}`);
    expect(proxy).toContain('option forwardfor');
    expect(proxy).toContain('del-header x-forwarded-for');
  });

  it('waits for a process that is asked to stop as long as it may take', () => {
    const drainS = Number(settings().DRAIN_SECONDS);
    const graceS = Number(/stop_grace_period: (\d+)s/.exec(compose)?.[1]);
    expect(graceS).toBeGreaterThanOrEqual(drainS + 25);
    // The proxy notices well before listening ends.
    const everyS = Number(/inter (\d+)s fall 1 /.exec(proxy)?.[1]);
    expect(drainS).toBeGreaterThanOrEqual(3 * everyS);
    expect(proxy).toContain('option httpchk GET /readyz');
  });

  it('names each process to the proxy', () => {
    const named = (text: string, pattern: RegExp) => [...text.matchAll(pattern)].map((m) => m[1]);
    const processes = named(compose, /^ {2}(tamis-\d): \*tamis$/gm);
    expect(processes).toHaveLength(3);
    expect(named(proxy, /^ {2}server (tamis-\d) tamis-\d:8040$/gm)).toEqual(processes);
  });

  it('copies every folder into the image that the service is built from', () => {
    for (const part of ['prisma', 'api', 'web'])
      expect(compose).toContain(`COPY ${part} ./${part}`);
    expect(compose).toContain('COPY tsconfig.json prisma.config.ts ./');
  });
});
