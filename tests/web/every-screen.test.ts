import { beforeAll, describe, expect, it } from 'vitest';
import { en } from '../../web/src/texts/en.ts';
import { it as italian } from '../../web/src/texts/it.ts';
import { wordingBy } from '../../web/src/show/wording.ts';
import { saidIt } from '../../web/src/texts/said/it.ts';
import { addresses, pageFiles, WITHOUT_ADDRESS } from './every-screen.ts';
import { makeThings } from './every-thing.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  signIn,
} from './kitchen-in-browser.ts';
import {
  expectNoSidewaysScroll,
  expectNothingClipped,
  expectReadableLines,
  expectStill,
  watchShifts,
} from './layout.ts';

const IDS = { task: 'x', lot: 'x', order: 'x', sheet: 'x', version: 'x', supplier: 'x' };
const TABLET = { width: 820, height: 1180 };
const PHONE = { width: 360, height: 740 };
const WIDE = { width: 3840, height: 2160 };
/** Pictures of 8 million points take their time; these show how a page is laid out. */
const PICTURED_WIDE = ['DayPage', 'GroupPage', 'OrderPage', 'MenusPage', 'SupplierPage'];
let opened: Readonly<Record<string, string>>;

inKitchen([{ name: 'ada', role: 'admin', siteIds: 'all' }], { viewport: TABLET });
beforeAll(async () => {
  opened = addresses(await makeThings(kitchen));
  await watchShifts(page);
  await signIn(page, kitchen.url, 'ada');
  await page.getByRole('heading', { level: 1, name: /All sites/ }).waitFor();
});

/** Opens a screen as if for the first time and waits until what it shows is there. */
async function open(name: string): Promise<void> {
  await page.goto('about:blank');
  await page.goto(`${kitchen.url}/${opened[name]}`);
  await settled();
}
async function settled(): Promise<void> {
  await page.getByRole('main').getByRole('heading', { level: 1 }).first().waitFor();
  await page.waitForLoadState('networkidle');
  const waiting = [en.loading, italian.loading];
  await eventually(() =>
    page.evaluate(`document.querySelector('main .soon') === null
      && !${JSON.stringify(waiting)}.some((text) => document.querySelector('main').innerText.includes(text))`),
  ).toBe(true);
  // What stands there is the screen, not its excuse.
  expect(await page.getByRole('main').getByRole('alert').allInnerTexts()).toEqual([]);
}

/** Texts of one language that the other writes otherwise. */
const onlyEnglish = Object.entries(en).flatMap(([key, text]) =>
  typeof text === 'string' && (italian as Record<string, unknown>)[key] !== text ? [text] : [],
);
/** Sentences of the service that stand there in English though there is Italian for them. */
const inItalian = wordingBy(saidIt, ',');
const sentencesInEnglish = async (): Promise<string[]> =>
  (
    (await page.evaluate(`[...document.querySelectorAll('main *')]
      .filter((at) => at.checkVisibility() && at.children.length === 0)
      .map((at) => at.textContent.trim())`)) as string[]
  ).filter((text) => /[.!?]$/.test(text) && inItalian(text) !== null);
const textsShown = () =>
  page.evaluate(`(() => {
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const found = [];
    while (walk.nextNode()) {
      const at = walk.currentNode.parentElement;
      if (at.checkVisibility() && !at.closest('[lang=en]:not(html)')) found.push(walk.currentNode.textContent.trim());
    }
    return found;
  })()`) as Promise<string[]>;

it('the table names every screen there is', () => {
  expect([...Object.keys(addresses(IDS)), ...WITHOUT_ADDRESS].sort()).toEqual(pageFiles);
});

describe.each(Object.keys(addresses(IDS)))('%s', (name) => {
  it('is accessible by light on a tablet, big enough to press, and does not jump', async () => {
    await page.setViewportSize(TABLET);
    await page.emulateMedia({ colorScheme: 'light' });
    await page.evaluate(`localStorage.setItem('tamis-language', 'en')`);
    await open(name);
    await expectStill(page);
    await expectAccessible(page);
    await expectFingerSized(page);
    await expectNothingClipped(page);
    await picture(page, `screen ${name} tablet`);
  });

  it('fills a very wide screen without lines that lose the eye', async () => {
    if (!page.url().endsWith(opened[name] ?? '')) await open(name);
    await page.setViewportSize(WIDE);
    await settled();
    if (PICTURED_WIDE.includes(name)) await picture(page, `screen ${name} wide`);
    await expectReadableLines(page);
    await expectNoSidewaysScroll(page);
  });

  it('is accessible in the dark on a phone, in the other language, with nothing cut off', async () => {
    await page.setViewportSize(PHONE);
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.evaluate(`localStorage.setItem('tamis-language', 'it')`);
    await open(name);
    await picture(page, `screen ${name} phone dark`);
    await expectAccessible(page);
    await expectFingerSized(page);
    await expectNothingClipped(page);
    await expectNoSidewaysScroll(page);
    const shown = await textsShown();
    expect(shown.length).toBeGreaterThan(5);
    expect(shown.filter((text) => onlyEnglish.includes(text))).toEqual([]);
    expect(await sentencesInEnglish()).toEqual([]);
    expect(shown.filter((text) => /undefined|\[object|=>|NaN/.test(text))).toEqual([]);
  });
});

describe.each([
  ['SignInPage', false],
  ['SetUpPage', true],
])('%s, before anybody is signed in', (name, needed) => {
  it.each([
    ['light', TABLET, 'en'],
    ['dark', PHONE, 'it'],
  ] as const)('is accessible in the %s', async (colorScheme, size, language) => {
    await page.context().clearCookies();
    await page.route('**/v1/setup', (route) => route.fulfill({ json: { needed } }));
    await page.setViewportSize(size);
    await page.emulateMedia({ colorScheme });
    await page.evaluate(`localStorage.setItem('tamis-language', '${language}')`);
    await page.goto('about:blank');
    await page.goto(kitchen.url);
    await page.getByLabel('Email').waitFor();
    expect(await page.getByLabel('Email').count()).toBe(1);
    await expectStill(page);
    await expectAccessible(page);
    await expectFingerSized(page);
    await expectNothingClipped(page);
    await picture(page, `screen ${name} ${colorScheme}`);
    await page.unroute('**/v1/setup');
  });
});
