import type { BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import {
  pictureFailures,
  startBrowser,
  startKitchen,
  type KitchenService,
  type TestBrowser,
} from './kitchen-in-browser.ts';

// What nearly every browser test works in: one service, one browser, one page. Each test file has
// a module of its own, so these are its own too.

export let kitchen: KitchenService;
export let browser: TestBrowser;
export let page: Page;

/**
 * Opens a kitchen and a browser before the tests of a file and closes both after them; a test that
 * fails leaves a picture of `page`. What else the tests need goes into a `beforeAll` after this.
 * @param people who can sign in, as name@example.org
 */
export function inKitchen(
  people: Parameters<typeof startKitchen>[0],
  options: BrowserContextOptions = {},
): void {
  pictureFailures(() => page);
  beforeAll(async () => {
    kitchen = await startKitchen(people);
    browser = await startBrowser(options);
    page = await browser.context.newPage();
  });
  afterAll(async () => {
    await browser?.close();
    await kitchen?.close();
  });
}
