import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import {
  PASSWORD,
  pictureFailures,
  signIn,
  startBrowser,
  startKitchen,
  type KitchenService,
} from './kitchen-in-browser.ts';

const DIST = path.join(import.meta.dirname, '..', '..', 'web', 'dist');
/** What a device waits for before it shows anything. */
const MOST_AT_FIRST = 150 * 1024;
/** What it fetches once, while people work already, to have every screen without a network. */
const MOST_IN_ALL = 300 * 1024;
const built = (ending: string): readonly string[] =>
  readdirSync(DIST, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith(ending));

describe('the built page', () => {
  it('is less than 300 KB of script in all, compressed', () => {
    const scripts = built('.js');
    expect(scripts).toContain('sw.js');
    expect(scripts.length).toBeGreaterThan(1);
    const sizes = scripts.map((file) => gzipSync(readFileSync(path.join(DIST, file))).length);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(MOST_IN_ALL);
  });

  it('has no script inside the page, so that the content policy can forbid it', () => {
    const page = readFileSync(path.join(DIST, 'index.html'), 'utf8');
    const scripts = page.match(/<script[^>]*>/g) ?? [];
    expect(scripts).toHaveLength(1);
    expect(scripts[0]).toMatch(/ src="\/assets\//);
    expect(page).not.toMatch(/ on[a-z]+=/);
  });

  it('lists every built file for work without a network', () => {
    const worker = readFileSync(path.join(DIST, 'sw.js'), 'utf8');
    const assets = readdirSync(path.join(DIST, 'assets')).filter(
      (name) => !/\.(br|gz)$/.test(name),
    );
    expect(assets.filter((name) => !worker.includes(`/assets/${name}`))).toEqual([]);
    expect(worker).not.toMatch(/__FILES__|__VERSION__/);
  });
});

let kitchen: KitchenService;
let open: Page | undefined;
pictureFailures(() => open);
beforeAll(async () => {
  kitchen = await startKitchen([
    { name: 'cleo', role: 'chef', siteIds: [SITE] },
    { name: 'lena', role: 'lead', siteIds: 'all' },
    { name: 'piet', role: 'purchasing', siteIds: 'all' },
  ]);
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
});
afterAll(async () => {
  await kitchen?.close();
});

interface Transfer {
  readonly address: string;
  readonly encoding: string;
  bytes: number;
}

/** Counts the scripts that a tab of its own fetches, without what the service worker fetches. */
async function watchScripts(context: BrowserContext, page: Page): Promise<readonly Transfer[]> {
  const protocol = await context.newCDPSession(page);
  const scripts = new Map<string, Transfer>();
  protocol.on('Network.responseReceived', ({ requestId, type, response }) => {
    if (type !== 'Script') return;
    const encoding = response.headers['content-encoding'] ?? 'none';
    scripts.set(requestId, { address: response.url, encoding, bytes: 0 });
  });
  const found: Transfer[] = [];
  protocol.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
    const script = scripts.get(requestId);
    if (script) found.push(Object.assign(script, { bytes: encodedDataLength }));
  });
  await protocol.send('Network.enable');
  return found;
}

/** Somebody who is signed in already, on a device that has nothing of the page yet. */
async function sessionOf(name: string) {
  const answer = await fetch(`${kitchen.url}/v1/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: `${name}@example.org`, password: PASSWORD }),
  });
  const [cookie = ''] = answer.headers.getSetCookie();
  const [, key = '', value = ''] = /^([^=]+)=([^;]*)/.exec(cookie) ?? [];
  return { name: key, value, url: kitchen.url };
}

const sumOf = (transfers: readonly Transfer[]): number =>
  transfers.reduce((sum, { bytes }) => sum + bytes, 0);

describe('what a device fetches before it shows the first screen', () => {
  it.each([
    ['cleo', 'the prep list', /10 March/],
    ['lena', 'all sites', /All sites/],
    ['piet', 'the orders', /Orders/],
    ['cleo', 'the prep list in Italian', /10 marzo/, 'it-IT'],
  ])(
    'is less than 150 KB of compressed script when %s opens %s',
    async (name, what, title, locale = 'en-GB') => {
      const browser = await startBrowser({ locale });
      await browser.context.addCookies([await sessionOf(name)]);
      const page = (open = await browser.context.newPage());
      const scripts = await watchScripts(browser.context, page);
      await page.goto(kitchen.url);
      await page.getByRole('heading', { level: 1, name: title }).waitFor();
      expect(scripts.length).toBeGreaterThan(3);
      expect(scripts.filter(({ bytes }) => bytes === 0)).toEqual([]);
      // Small files gain nothing and go as they are.
      const plain = scripts.filter(({ encoding }) => encoding === 'none');
      expect(plain.filter(({ bytes }) => bytes > 2_048)).toEqual([]);
      console.log(`${what}: ${Math.round(sumOf(scripts) / 1024)} KB of script at first`);
      expect(sumOf(scripts)).toBeLessThan(MOST_AT_FIRST);
      open = undefined;
      await browser.close();
    },
  );
});

describe('a screen that is left before its script is there', () => {
  it('is not shown in place of the one that was gone to, then or later', async () => {
    const browser = await startBrowser({ serviceWorkers: 'block' });
    const page = (open = await browser.context.newPage());
    await signIn(page, kitchen.url, 'cleo');
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    let letGo: () => void = () => undefined;
    const held = new Promise<void>((resolve) => (letGo = resolve));
    await page.route('**/FridgePage-*.js', async (route) => {
      await held;
      await route.continue();
    });
    const go = (name: string) => page.getByRole('link', { name, exact: true }).click();
    await go('Fridge');
    await page.getByRole('main').getByText('One moment').waitFor();
    await go('Recipes');
    await page.getByRole('heading', { level: 1, name: 'Recipes' }).waitFor();
    letGo();
    await page.waitForLoadState('networkidle');
    await go('Prep list');
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    await go('Recipes');
    await page.getByRole('heading', { level: 1, name: 'Recipes' }).waitFor();
    await go('Fridge');
    await page.getByRole('heading', { level: 1, name: 'Count the fridge' }).waitFor();
    open = undefined;
    await browser.close();
  });
});

describe('a screen whose script does not come', () => {
  it('says so and can be loaded again; nothing jumps while it comes late', async () => {
    const browser = await startBrowser({ serviceWorkers: 'block' });
    const page = (open = await browser.context.newPage());
    await signIn(page, kitchen.url, 'cleo');
    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    await page.route('**/FridgePage-*.js', (route) => route.abort());
    await page.getByRole('link', { name: 'Fridge', exact: true }).click();
    await page.getByText('This screen could not be fetched').waitFor();
    await page.unroute('**/FridgePage-*.js');
    // The script is held back until the screen has said that it is coming.
    let letGo: () => void = () => undefined;
    const held = new Promise<void>((resolve) => (letGo = resolve));
    await page.route('**/FridgePage-*.js', async (route) => {
      await held;
      await route.continue();
    });
    await page.getByRole('button', { name: 'Load it' }).click();
    await page.getByRole('main').getByText('One moment').waitFor();
    letGo();
    await page.getByRole('heading', { level: 1, name: 'Count the fridge' }).waitFor();
    const shift = await page.evaluate(`new Promise((done) => {
      new PerformanceObserver((list) => done(list.getEntries()
        .filter((e) => !e.hadRecentInput).reduce((sum, e) => sum + e.value, 0)))
        .observe({ type: 'layout-shift', buffered: true });
      setTimeout(() => done(0), 400);
    })`);
    // 0.1 is the bound of 'good' in Web Vitals, https://web.dev/articles/cls
    expect(shift).toBeLessThan(0.1);
    open = undefined;
    await browser.close();
  });
});
