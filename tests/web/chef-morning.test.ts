import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startServer, type RunningServer } from '../../api/start-server.ts';
import { readConfig } from '../../api/config.ts';
import { SteppedClock } from '../../api/modules/platform/index.ts';
import { createArgon2Hasher } from '../../api/security/argon2-hasher.ts';
import { fillKitchen, SITE } from '../helpers/demo-site.ts';
import { SYSTEM, type TestApp } from '../helpers/test-app.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

const OUTPUT = path.join(import.meta.dirname, '..', 'output');
const PASSWORD = 'a-long-enough-password';
const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

let server: RunningServer;
let browser: BrowserContext;
let profile: string;
let page: Page;

beforeAll(async () => {
  mkdirSync(OUTPUT, { recursive: true });
  const database = await openTestDatabase();
  await fillKitchen({ database } as TestApp);
  const passwordHash = await createArgon2Hasher().hash(PASSWORD);
  await database.prisma.user.create({
    data: {
      id: 'usr_cleo',
      email: 'cleo@example.org',
      name: 'Cleo',
      role: 'chef',
      passwordHash,
      sites: { create: [{ siteId: SITE }] },
    },
  });
  server = await startServer(readConfig({ PORT: '0', LOG_LEVEL: 'silent' }), {
    database,
    clock: new SteppedClock('2026-03-10T05:30:00Z'),
    logger: false,
  });
  await server.services.prep.workOut(SYSTEM, SITE, 3);
  profile = mkdtempSync(path.join(os.tmpdir(), 'tamis-chromium-'));
  browser = await chromium.launchPersistentContext(profile, {
    executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
    headless: true,
    args: FLAGS,
    viewport: { width: 820, height: 1180 },
  });
  page = await browser.newPage();
});
afterAll(async () => {
  await browser?.close();
  await server?.close();
  if (profile) rmSync(profile, { recursive: true, force: true });
});

describe("a chef's morning in Chromium", () => {
  it('goes from sign-in to the list, the scaled card and a tick that is in the database', async () => {
    await page.goto(server.url);
    await page.getByLabel('Email').fill('cleo@example.org');
    await page.getByLabel('Password').fill('not the right one');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('alert').filter({ hasText: /\w/ }).waitFor();
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();

    await page.getByRole('heading', { level: 1, name: /10 March/ }).waitFor();
    const curd = page.getByRole('listitem').filter({ hasText: 'Lemon curd' }).first();
    await curd.waitFor();
    await page.screenshot({ path: path.join(OUTPUT, 'list-tablet.png'), fullPage: true });

    await curd.getByRole('link', { name: /Open card/ }).click();
    await page.getByRole('heading', { name: 'Lemon curd' }).waitFor();
    await page.getByText('Lemon juice').waitFor();
    await page.getByRole('button', { name: 'Why this figure?' }).click();
    await page
      .getByText(/Covers expected/)
      .first()
      .waitFor();
    await page.screenshot({ path: path.join(OUTPUT, 'card-tablet.png'), fullPage: true });

    await page.getByLabel(/What was made/).fill('1150');
    await page.getByRole('button', { name: 'Tick off' }).click();
    await page.getByText('Ticked off.').waitFor();
    const lots = await server.database.prisma.stockLot.findMany();
    expect(lots.map((lot) => [lot.itemId, lot.quantity])).toEqual([['rcp_curd', 1150]]);
  });

  it('fits a phone without scrolling sideways and prints on A4', async () => {
    await page.setViewportSize({ width: 360, height: 740 });
    await page.goto(`${server.url}/#/list/${SITE}/2026-03-10`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    const overflow = await page.evaluate(
      'document.documentElement.scrollWidth - document.documentElement.clientWidth',
    );
    expect(overflow).toBeLessThanOrEqual(0);
    await page.screenshot({ path: path.join(OUTPUT, 'list-phone.png'), fullPage: true });
    const pdf = await page.pdf({ format: 'A4', path: path.join(OUTPUT, 'list-a4.pdf') });
    expect(pdf.subarray(0, 5).toString()).toBe('%PDF-');
  });
});
