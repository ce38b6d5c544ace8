import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { browser, inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  MORNING,
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  print,
  signIn,
} from './kitchen-in-browser.ts';

inKitchen([{ name: 'cleo', role: 'chef', siteIds: [SITE] }]);
beforeAll(async () => {
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 3);
});

const entry = (name: string) => page.getByRole('listitem').filter({ hasText: name }).first();
const tasks = () => kitchen.server.database.prisma.prepTask;
const lots = () => kitchen.server.database.prisma.stockLot.findMany({ orderBy: { itemId: 'asc' } });

describe("a chef's morning in Chromium", () => {
  it('says in words that a password is wrong, and signs in with the right one', async () => {
    await page.goto(kitchen.url);
    await page.getByLabel('Email').fill('cleo@example.org');
    await page.getByLabel('Password').fill('not the right one');
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('alert').filter({ hasText: /\w/ }).waitFor();
    await signIn(page, kitchen.url, 'cleo');
    await page.getByRole('heading', { level: 1, name: /Tuesday 10 March, today/ }).waitFor();
  });

  it('opens on today: what to start first, how much, for whom, by when', async () => {
    await entry('Lemon curd').waitFor();
    const planned = await tasks().findMany({
      where: { siteId: SITE, makeDate: new Date('2026-03-10T00:00:00Z') },
      orderBy: { startBy: 'asc' },
    });
    expect(planned.length).toBeGreaterThan(0);
    const shown = await page
      .locator('[data-task]')
      .evaluateAll((items) =>
        items.map((item) => (item as unknown as { dataset: { task: string } }).dataset.task),
      );
    const now = planned.filter(({ startBy }) => startBy.getTime() <= Date.parse(MORNING) + 900_000);
    const later = planned.filter((task) => !now.includes(task));
    expect(shown).toEqual(
      [...now, ...later.toSorted((a, b) => a.station.localeCompare(b.station))].map(({ id }) => id),
    );
    const curd = await entry('Lemon curd').innerText();
    expect(curd).toMatch(/\d\d:\d\d/);
    expect(curd).toMatch(/\d(\.\d+)?\s(kg|g)/);
    expect(curd).toMatch(/\d+\sbatch/);
    expect(curd).toMatch(/For Lemon tart/);
    await page
      .getByText(/about 40 covers|about \d+ covers \(\d+ to \d+\)/)
      .first()
      .waitFor();
    await page.getByText(/food-safety plan, local codes and licensed practice/).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'list-tablet');
  });

  it('keeps every task where it is while somebody works, and brings forward what must be begun now', async () => {
    const order = () =>
      page
        .locator('[data-task]')
        .evaluateAll((items) =>
          items.map((item) => (item as unknown as { dataset: { task: string } }).dataset.task),
        );
    const before = await order();
    const planned = await tasks().findMany({ orderBy: { startBy: 'desc' } });
    const last = planned.find(({ id }) => id === before.at(-1) || before.includes(id));
    const due = new Date((last?.startBy.getTime() ?? 0) - 600_000);
    const focused = () => page.evaluate('document.activeElement.getAttribute("aria-label")');
    const link = page.locator(`[data-task="${last?.id}"] a`);
    await link.focus();
    const name = await focused();
    // The page reads the clock when it is looked at again.
    const lookAgain = () => page.evaluate('document.dispatchEvent(new Event("visibilitychange"))');
    await browser.context.clock.setFixedTime(new Date(due.getTime() - 2));
    await page.keyboard.press('Shift');
    await browser.context.clock.setFixedTime(due);
    await lookAgain();
    expect(await order()).toEqual(before);
    await browser.context.clock.setFixedTime(new Date(due.getTime() + 120_000));
    await lookAgain();
    const now = page.getByRole('region', { name: /^Start now/ });
    await now.locator(`[data-task="${last?.id}"]`).waitFor();
    expect(await now.locator('[data-task]').count()).toBe(before.length);
    expect(await focused()).toBe(name);
    await browser.context.clock.setFixedTime(MORNING);
    await page.reload();
    await entry('Lemon curd').waitFor();
    expect(await order()).toEqual(before);
  });

  it('filters by station, and remembers which station this tablet stands at', async () => {
    await page.getByRole('radio', { name: 'oven' }).check();
    await page
      .locator('[data-task]')
      .filter({ hasText: 'Lemon curd' })
      .first()
      .waitFor({ state: 'detached' });
    const shown = await page.locator('[data-task]').allInnerTexts();
    expect(shown.length).toBeGreaterThan(0);
    expect(shown.filter((text) => !/Tart shell/.test(text))).toEqual([]);
    await page.reload();
    await page.getByRole('radio', { name: 'oven' }).waitFor();
    expect(await page.getByRole('radio', { name: 'oven' }).isChecked()).toBe(true);
    await page.getByRole('radio', { name: 'All' }).check();
    await entry('Lemon curd').waitFor();
  });

  it('shows the scaled card, its steps and why the figure is what it is', async () => {
    await page.getByRole('link', { name: 'Card for Lemon curd' }).first().click();
    await page.getByRole('heading', { level: 1, name: /Lemon curd/ }).waitFor();
    // A screen reader goes on at the new page, not at the link that is gone.
    expect(await page.evaluate('document.activeElement.id')).toBe('main');
    await page.getByRole('cell', { name: /Lemon juice/ }).waitFor();
    await page.getByRole('checkbox', { name: 'Step 1 done' }).check();
    await page.getByRole('button', { name: /Time 6 h/ }).click();
    await page.getByRole('region', { name: 'Waiting' }).getByText('Lemon curd').waitFor();
    await page.getByRole('button', { name: 'Why this figure?' }).click();
    await page
      .getByText(/Lemon curd made: /)
      .first()
      .waitFor();
    await page.getByText(/^Covers: \d+ figures$/).click();
    await page
      .getByText(/Covers expected/)
      .first()
      .waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'card-tablet');
    await page.reload();
    expect(await page.getByRole('checkbox', { name: 'Step 1 done' }).isChecked()).toBe(true);
    await page.getByRole('button', { name: /Stop the timer/ }).click();
  });

  it('ticks off with what was really made, which makes a stock lot; undo takes both back', async () => {
    await page.getByLabel(/What was made/).fill('0');
    await page.getByRole('button', { name: 'Made', exact: true }).click();
    await page.getByText('Write a number above zero.').waitFor();
    await page.getByLabel(/What was made/).fill('1.15');
    await page.getByRole('button', { name: 'Made', exact: true }).click();
    await page.getByText(/Made 1\.15\skg[\s\S]*In the record/).waitFor();
    expect((await lots()).map((lot) => [lot.itemId, lot.quantity])).toEqual([['rcp_curd', 1150]]);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByLabel(/What was made/).waitFor();
    await eventually(async () => (await lots()).filter((lot) => lot.quantity > 0)).toEqual([]);
  });

  it('says in words why an amount that cannot be right is not counted, and keeps the task open', async () => {
    await page.getByLabel(/What was made/).fill('900');
    await page.getByRole('button', { name: 'Made', exact: true }).click();
    const note = page.getByRole('alert').filter({ hasText: 'was not counted' });
    await note.waitFor();
    expect(await note.innerText()).toMatch(/more than 3 times what was planned/);
    await note.getByRole('button', { name: 'I have read this' }).click();
    await page.getByLabel(/What was made/).waitFor();
    expect((await lots()).filter((lot) => lot.quantity > 0)).toEqual([]);
  });

  it('gives a task up only with a reason, which is kept', async () => {
    await page.getByRole('button', { name: 'Give it up…' }).click();
    await page.getByLabel(/Why\?/).fill('x');
    await page.getByRole('button', { name: 'Give it up', exact: true }).click();
    await page.getByText('Say why in a few words.').waitFor();
    await page.getByLabel(/Why\?/).fill('It split, starting again');
    await page.getByRole('button', { name: 'Give it up', exact: true }).click();
    await page.getByText(/Given up: It split[\s\S]*In the record/).waitFor();
    const given = await tasks().findFirstOrThrow({ where: { status: 'abandoned' } });
    expect(given.reason).toBe('It split, starting again');
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByLabel(/What was made/).waitFor();
  });

  it('can be worked from the keyboard alone: skip, tick, undo', async () => {
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
    await page.reload();
    const tick = page.getByRole('button', { name: /^Lemon curd: made .* as planned$/ }).first();
    await tick.waitFor();
    await page.keyboard.press('Tab');
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Skip to the page');
    await page.keyboard.press('Enter');
    expect(await page.evaluate('document.activeElement.id')).toBe('main');
    const reached: unknown[] = [];
    for (let presses = 0; presses < 60; presses += 1) {
      await page.keyboard.press('Tab');
      const label = await page.evaluate('document.activeElement.getAttribute("aria-label")');
      reached.push(label);
      if (typeof label === 'string' && /^Lemon curd: made/.test(label)) break;
    }
    expect(reached.at(-1)).toMatch(/^Lemon curd: made/);
    const outline = await page.evaluate('getComputedStyle(document.activeElement).outlineWidth');
    expect(outline).toBe('3px');
    await page.keyboard.press('Enter');
    await entry('Lemon curd')
      .getByText(/Made 6\skg/)
      .waitFor();
    await eventually(async () => (await lots()).filter((lot) => lot.quantity > 0).length).toBe(1);
    await page.getByRole('button', { name: 'Undo: Lemon curd' }).click();
    await eventually(async () => (await lots()).filter((lot) => lot.quantity > 0)).toEqual([]);
  });

  it('fits a phone and a very wide screen, is readable in the dark, and does not jump', async () => {
    for (const [width, height] of [
      [360, 740],
      [3840, 2160],
    ] as const) {
      await page.setViewportSize({ width, height });
      await page.emulateMedia({ colorScheme: width === 360 ? 'light' : 'dark' });
      await page.goto(`${kitchen.url}/#/list/${SITE}/2026-03-10`);
      await page.reload();
      await entry('Lemon curd').waitFor();
      await expectFingerSized(page);
      await expectAccessible(page);
      await picture(page, width === 360 ? 'list-phone' : 'list-wide-dark');
      const shift = await page.evaluate(`new Promise((done) => new PerformanceObserver((list) =>
        done(list.getEntries().filter((e) => !e.hadRecentInput).reduce((sum, e) => sum + e.value, 0))
      ).observe({ type: 'layout-shift', buffered: true }) || setTimeout(() => done(0), 400))`);
      // 0.1 is the bound of 'good' in Web Vitals, https://web.dev/articles/cls
      expect(shift).toBeLessThan(0.1);
    }
    await page.setViewportSize({ width: 820, height: 1180 });
    await page.emulateMedia({ colorScheme: 'light' });
  });

  it('prints list and card on A4 without the buttons', async () => {
    await page.goto(`${kitchen.url}/#/list/${SITE}`);
    await entry('Lemon curd').waitFor();
    expect(await print(page, 'list-a4')).toBeGreaterThanOrEqual(1);
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: 794, height: 1123 });
    expect(await page.getByRole('button').count()).toBe(0);
    await picture(page, 'list-print');
    await page.getByRole('link', { name: 'Card for Lemon curd' }).first().click();
    await page.getByRole('cell', { name: /Lemon juice/ }).waitFor();
    expect(await print(page, 'card-a4')).toBe(1);
    await picture(page, 'card-print');
    await page.emulateMedia({ media: 'screen' });
  });
});
