import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';
import {
  chromium,
  type BrowserContext,
  type BrowserContextOptions,
  type Page,
} from 'playwright-core';
import { afterEach, expect } from 'vitest';
import { readConfig } from '../../api/config.ts';
import { SteppedClock, type Role } from '../../api/modules/platform/index.ts';
import { createArgon2Hasher } from '../../api/security/argon2-hasher.ts';
import { startServer, type RunningServer } from '../../api/start-server.ts';
import { fillKitchen } from '../helpers/demo-site.ts';
import type { TestApp } from '../helpers/test-app.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

/** Where screenshots and prints go, for people to look at. */
export const OUTPUT = path.join(import.meta.dirname, '..', 'output');
export const PASSWORD = 'a-long-enough-password';
/** Half past six in the morning at the test's site in Rome. */
export const MORNING = '2026-03-10T05:30:00Z';

const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** The real service over a small synthetic kitchen, with a network to it that can be cut. */
export interface KitchenService {
  readonly server: RunningServer;
  readonly clock: SteppedClock;
  /** The address a browser uses; the cut lies before it. */
  readonly url: string;
  /** Nothing answers any more, as when the wifi goes. */
  cut(): Promise<void>;
  restore(): Promise<void>;
  close(): Promise<void>;
}

/** Starts the service. `people`: who can sign in, as name@example.org. */
export async function startKitchen(
  people: readonly { name: string; role: Role; siteIds: 'all' | readonly string[] }[],
): Promise<KitchenService> {
  mkdirSync(OUTPUT, { recursive: true });
  const database = await openTestDatabase();
  await fillKitchen({ database } as TestApp);
  const clock = new SteppedClock(MORNING);
  const passwordHash = await createArgon2Hasher().hash(PASSWORD);
  for (const { name, role, siteIds } of people) {
    await database.prisma.user.create({
      data: {
        id: `usr_${name}`,
        email: `${name}@example.org`,
        name,
        role,
        passwordHash,
        allSites: siteIds === 'all',
        ...(siteIds === 'all' ? {} : { sites: { create: siteIds.map((siteId) => ({ siteId })) } }),
      },
    });
  }
  const server = await startServer(readConfig({ PORT: '0', LOG_LEVEL: 'silent' }), {
    database,
    clock,
    logger: false,
  });
  const network = await startNetwork(Number(new URL(server.url).port));
  return {
    server,
    clock,
    ...network,
    close: async () => {
      await network.close();
      await server.close();
    },
  };
}

async function startNetwork(target: number) {
  const open = new Set<net.Socket>();
  const listener = net.createServer((client) => {
    const service = net.connect(target, '127.0.0.1');
    for (const [socket, other] of [
      [client, service],
      [service, client],
    ] as const) {
      open.add(socket);
      socket.on('error', () => other.destroy());
      socket.on('close', () => {
        open.delete(socket);
        other.destroy();
      });
      socket.pipe(other);
    }
  });
  const listen = (port: number) =>
    new Promise<void>((done) => listener.listen(port, '127.0.0.1', () => done()));
  await listen(0);
  const { port } = listener.address() as net.AddressInfo;
  const cut = async (): Promise<void> => {
    const closed = new Promise<void>((done) => listener.close(() => done()));
    for (const socket of open) socket.destroy();
    await closed;
  };
  return {
    url: `http://127.0.0.1:${port}`,
    cut,
    restore: () => listen(port),
    close: async () => {
      if (listener.listening) await cut();
    },
  };
}

/** A browser with an empty profile of its own. */
export interface TestBrowser {
  readonly context: BrowserContext;
  close(): Promise<void>;
}

/** Starts Chromium with the device's clock standing on the test's morning. */
export async function startBrowser(options: BrowserContextOptions = {}): Promise<TestBrowser> {
  const profile = mkdtempSync(path.join(os.tmpdir(), 'tamis-chromium-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
    headless: true,
    args: FLAGS,
    viewport: { width: 820, height: 1180 },
    locale: 'en-GB',
    ...options,
  });
  await context.clock.setFixedTime(MORNING);
  context.setDefaultTimeout(15_000);
  return {
    context,
    close: async () => {
      await context.close();
      rmSync(profile, { recursive: true, force: true });
    },
  };
}

/** Signs a person in by typing. */
export async function signIn(page: Page, url: string, name: string): Promise<void> {
  await page.goto(url);
  await page.getByLabel('Email').fill(`${name}@example.org`);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: /Sign in|Entra/ }).click();
}

/** An expectation that may take a moment to come true, on a slow machine too. */
export const eventually = <T>(look: () => T | Promise<T>) => expect.poll(look, { timeout: 20_000 });

/** Waits until the device can open the page without a network. */
export const worksOffline = (page: Page): Promise<unknown> =>
  page.evaluate(`navigator.serviceWorker.controller !== null || new Promise((done) =>
    navigator.serviceWorker.addEventListener('controllerchange', () => done(true)))`);

interface AxeViolation {
  readonly id: string;
  readonly help: string;
  readonly nodes: readonly { readonly html: string }[];
}

/** Fails with every breach of WCAG 2.2 A and AA that axe finds on the page as it stands. */
export async function expectAccessible(page: Page): Promise<void> {
  await page.evaluate(AXE);
  const found = (await page.evaluate(
    `axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })
       .then((result) => result.violations)`,
  )) as readonly AxeViolation[];
  expect(
    found.map(({ id, help, nodes }) => ({ id, help, where: nodes.map((n) => n.html) })),
  ).toEqual([]);
}

/** Everything one presses is at least 48 by 48 CSS pixels, and nothing scrolls sideways. */
export async function expectFingerSized(page: Page): Promise<void> {
  const small = await page.evaluate(`[...document.querySelectorAll(
      'button, select, input, textarea, summary, a.button, nav a, a.name, .orders a')]
    .map((element) => element.closest('label:has(input[type=checkbox], input[type=radio])') ?? element)
    .filter((element) => element.checkVisibility())
    .map((element) => ({ box: element.getBoundingClientRect(), text: element.outerHTML.slice(0, 90) }))
    .filter(({ box }) => box.height < 47.5 || box.width < 47.5)
    .map(({ box, text }) => Math.round(box.width) + ' x ' + Math.round(box.height) + ' ' + text)`);
  expect(small).toEqual([]);
  const sideways = await page.evaluate(
    'document.documentElement.scrollWidth - document.documentElement.clientWidth',
  );
  expect(sideways).toBe(0);
}

/**
 * Keeps a picture of the whole page in tests/output. The line that keeps to the lower edge of the
 * screen stands at the end of the page meanwhile, where one who scrolls down sees it.
 */
export async function picture(page: Page, name: string): Promise<void> {
  const stick = (position: string) =>
    page.evaluate(`document.querySelector('.connection').style.position = '${position}'`);
  await stick('static');
  await page.screenshot({ path: path.join(OUTPUT, `${name}.png`), fullPage: true });
  await stick('');
}

/** Keeps a picture and the words of the page when a test fails. Call once a test file. */
export function pictureFailures(page: () => Page | undefined): void {
  afterEach(async ({ task }) => {
    const open = page();
    if (task.result?.state !== 'fail' || !open) return;
    await picture(open, `failed ${task.name.slice(0, 40)}`);
    console.log(await open.locator('body').innerText());
  });
}

/** Prints the page on A4 into tests/output. @returns the number of sheets */
export async function print(page: Page, name: string): Promise<number> {
  const pdf = await page.pdf({ format: 'A4', path: path.join(OUTPUT, `${name}.pdf`) });
  return (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;
}
