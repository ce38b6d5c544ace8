import type { Page } from 'playwright-core';
import { expect } from 'vitest';

/** Characters in a line of running text that the eye still finds its way back from. */
const MOST_IN_A_LINE = 100;

/** No text is cut off by its box, and nothing hangs out of the page. */
export async function expectNothingClipped(page: Page): Promise<void> {
  const found = await page.evaluate(`[...document.querySelectorAll('main *, header *, footer *')]
    .filter((element) => element.checkVisibility() && !element.closest('.hidden-text, svg'))
    .flatMap((element) => {
      const style = getComputedStyle(element);
      if (style.clipPath !== 'none') return [];
      const box = element.getBoundingClientRect();
      const cut = element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0
        && ['hidden', 'clip'].includes(style.overflowX);
      const cutBelow = element.scrollHeight > element.clientHeight + 1 && element.clientHeight > 0
        && ['hidden', 'clip'].includes(style.overflowY);
      const select = element.tagName === 'SELECT' && element.scrollWidth > element.clientWidth + 1;
      const out = box.right > document.documentElement.clientWidth + 1 && !element.closest('[tabindex="0"]');
      return cut || cutBelow || select || out ? [element.outerHTML.slice(0, 120)] : [];
    })`);
  expect(found).toEqual([]);
}

/** Nothing has to be scrolled sideways, not even a part of the page. */
export async function expectNoSidewaysScroll(page: Page): Promise<void> {
  const found = await page.evaluate(`[...document.querySelectorAll('html, main, main *')]
    .filter((element) => element.checkVisibility()
      && !['INPUT', 'TEXTAREA', 'SELECT'].includes(element.tagName)
      && element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 1
      && (element.tagName === 'HTML' || ['auto', 'scroll'].includes(getComputedStyle(element).overflowX)))
    .map((element) => element.outerHTML.slice(0, 120))`);
  expect(found).toEqual([]);
}

/** Running text on a wide screen goes over to the next line before the eye loses it. */
export async function expectReadableLines(page: Page): Promise<void> {
  const found =
    await page.evaluate(`[...document.querySelectorAll('main p, main li, main dd, main td, main summary')]
    .filter((element) => element.checkVisibility() && !element.closest('.hidden-text'))
    .flatMap((element) => [...element.childNodes]
      .filter((node) => node.nodeType === Node.TEXT_NODE && node.textContent.trim().length > ${MOST_IN_A_LINE})
      .map((node) => {
        const range = document.createRange();
        range.selectNodeContents(node);
        const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size;
        return { perLine: node.textContent.trim().length / lines, text: node.textContent.trim().slice(0, 90) };
      })
      .filter(({ perLine }) => perLine > ${MOST_IN_A_LINE})
      .map(({ perLine, text }) => Math.round(perLine) + ' ' + text))`);
  expect(found).toEqual([]);
}

/** Adds up what moves by itself on every page of a browser. Call before a page is opened. */
export const watchShifts = (page: Page): Promise<unknown> =>
  page.addInitScript(`window.shifted = [];
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted.push({
        value: entry.value,
        what: entry.sources.map(({ node }) => node?.outerHTML?.slice(0, 80) ?? node?.textContent ?? '').join(' | '),
      });
    }).observe({ type: 'layout-shift', buffered: true });`);

/** Less moved by itself than what reads as still. */
export async function expectStill(page: Page): Promise<void> {
  const moved = (await page.evaluate('window.shifted')) as { value: number; what: string }[];
  const sum = moved.reduce((total, { value }) => total + value, 0);
  // 0.1 is the bound of 'good' in Web Vitals, https://web.dev/articles/cls
  expect(sum < 0.1 ? [] : moved).toEqual([]);
}
