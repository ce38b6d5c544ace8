import { describe, expect, it } from 'vitest';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import { expectAccessible, expectFingerSized, PASSWORD, picture } from './kitchen-in-browser.ts';

inKitchen([], { viewport: { width: 360, height: 740 } });

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
