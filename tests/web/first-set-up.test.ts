import { type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  expectAccessible,
  expectFingerSized,
  PASSWORD,
  picture,
  pictureFailures,
  startBrowser,
  startKitchen,
  type KitchenService,
  type TestBrowser,
} from './kitchen-in-browser.ts';

let kitchen: KitchenService;
let browser: TestBrowser;
let page: Page;
pictureFailures(() => page);

beforeAll(async () => {
  kitchen = await startKitchen([]);
  browser = await startBrowser({ viewport: { width: 360, height: 740 } });
  page = await browser.context.newPage();
});
afterAll(async () => {
  await browser?.close();
  await kitchen?.close();
});

describe('the first set-up in Chromium', () => {
  it('asks for the code of the terminal, says what is wrong, and signs the first person in', async () => {
    const code = await kitchen.server.services.access.setup.beginSetup();
    expect(code).toMatch(/\S{6,}/);
    await page.goto(kitchen.url);
    await page.getByRole('heading', { name: 'First set-up' }).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'set-up-phone');
    await page.getByLabel(/Code shown/).fill('not-the-code');
    await page.getByLabel('Name of the group').fill('Lakeside Houses');
    await page.getByLabel('Your name').fill('Ada');
    await page.getByLabel('Email').fill('ada@example.org');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Finish set-up' }).click();
    await page.getByRole('alert').filter({ hasText: /code/i }).waitFor();
    await page.getByLabel(/Code shown/).fill(code ?? '');
    await page.getByRole('button', { name: 'Finish set-up' }).click();
    await page.getByRole('button', { name: /Sign out: Ada/ }).waitFor();
    const users = await kitchen.server.database.prisma.user.findMany();
    expect(users.map(({ email, role, allSites }) => [email, role, allSites])).toEqual([
      ['ada@example.org', 'admin', true],
    ]);
  });
});
