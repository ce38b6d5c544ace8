import { beforeAll, describe, expect, it } from 'vitest';
import { SITE } from '../helpers/demo-site.ts';
import { calcFile, workbook, workbookOfSheets, XLSX } from '../helpers/make-workbook.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { inKitchen, kitchen, page } from './in-kitchen.ts';
import {
  eventually,
  expectAccessible,
  expectFingerSized,
  picture,
  signIn,
} from './kitchen-in-browser.ts';

inKitchen(
  [
    { name: 'pia', role: 'purchasing', siteIds: 'all' },
    { name: 'ada', role: 'admin', siteIds: 'all' },
  ],
  { viewport: { width: 1180, height: 900 } },
);
const db = () => kitchen.server.database.prisma;
const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
const says = (text: string | RegExp) => page.getByText(text).first().waitFor();
const buying = (name: string) =>
  page.getByRole('navigation', { name: 'Buying' }).getByRole('link', { name }).click();
const dairy = () => db().supplier.findFirstOrThrow({ where: { name: 'Lakeside Dairy' } });
const priceOn = async (day: string): Promise<string | undefined> => {
  const { prices } = await db().pack.findFirstOrThrow({
    where: { sku: 'LD-100' },
    include: { prices: { orderBy: { validFrom: 'desc' } } },
  });
  return prices.find((price) => price.validFrom <= new Date(day))?.amount.toString();
};

beforeAll(async () => {
  await kitchen.server.services.prep.workOut(SYSTEM, SITE, 7);
  await signIn(page, kitchen.url, 'pia');
  await page.getByRole('heading', { level: 1, name: 'Orders' }).waitFor();
});

describe('the suppliers in Chromium', () => {
  it('are entered with their delivery days, cutoff and minimum; what cannot be is said in words', async () => {
    await buying('Suppliers');
    await says('No suppliers yet.');
    await page.getByRole('link', { name: 'Add a supplier' }).click();
    await page.getByLabel('Name').fill('Lakeside Dairy');
    for (const day of ['Wed', 'Fri']) await page.getByLabel(day, { exact: true }).uncheck();
    await page.getByLabel('Sat', { exact: true }).check();
    await page.getByLabel('Cutoff, time').fill('13:30');
    await page.getByLabel('Minimum order').fill('forty');
    await page.getByLabel('Delivery charge').fill('6,50');
    await press('Keep');
    await page.getByRole('alert').getByText('Minimum order: Write money as a decimal').waitFor();
    expect(await db().supplier.count()).toBe(0);
    await page.getByLabel('Minimum order').fill('40');
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'supplier-new');
    await press('Keep');
    await page.getByRole('heading', { level: 1, name: 'Lakeside Dairy' }).waitFor();
    await says('Delivers Mon, Tue, Thu, Sat, order by 13:30 the day before.');
    await says('At least €40.00, delivery €6.50.');
    expect(await dairy()).toMatchObject({
      deliveryWeekdays: [1, 2, 4, 6],
      cutoffTime: '13:30',
      cutoffDaysBefore: 1,
      currency: 'EUR',
      zone: 'Europe/Rome',
    });
  });

  it('are changed, put away, and taken out again', async () => {
    await page.getByRole('button', { name: 'Change', exact: true }).first().click();
    await page.getByLabel('Days without delivery, one date a line').fill('2026-04-06\n2026-05-01');
    await press('Keep');
    await says('Lakeside Dairy is kept.');
    await says('Not on Mon 6 Apr, Fri 1 May.');
    await page.getByRole('button', { name: 'Put away', exact: true }).first().click();
    await says('Lakeside Dairy is put away; nothing more is ordered from it.');
    expect((await dairy()).archivedAt).not.toBeNull();
    await press('Undo');
    await says('Lakeside Dairy is back.');
    expect((await dairy()).archivedAt).toBeNull();
  });

  it('sell packs of ingredients, each with its prices from a day on', async () => {
    await says('No packs yet.');
    await press('Add a pack');
    await page.getByLabel('Ingredient').fill('Buttr');
    await page.getByLabel('Name of the pack').fill('Butter, 1 kg block');
    await page.getByLabel('Article number').first().fill('LD-100');
    await page.getByLabel('Holds').fill('1');
    await press('Keep');
    await page.getByRole('alert').getByText('There is no ingredient called “Buttr”.').waitFor();
    await page.getByLabel('Ingredient').fill('Butter');
    await expectAccessible(page);
    await expectFingerSized(page);
    await press('Keep');
    await says('Butter, 1 kg block is kept.');
    await says('no price yet');
    await page.getByRole('button', { name: 'New price: Butter, 1 kg block' }).click();
    await page.getByLabel('Price (EUR)').fill('9,20');
    await page.getByLabel('From', { exact: true }).fill('2026-03-01');
    await press('Keep the price');
    await says('The price of Butter, 1 kg block is kept.');
    expect(await priceOn('2026-03-10')).toBe('9.2');
    await press('Undo');
    await says('no price yet');
    await eventually(() => priceOn('2026-03-10')).toBe(undefined);
    await page.getByRole('button', { name: 'New price: Butter, 1 kg block' }).click();
    await page.getByLabel('Price (EUR)').fill('9,20');
    await page.getByLabel('From', { exact: true }).fill('2026-03-01');
    await press('Keep the price');
    await says('€9.20');
    // Breaks of a list before this one say nothing any more; those of this one and later do.
    const { id: packId } = await db().pack.findFirstOrThrow({ where: { sku: 'LD-100' } });
    const breaks = [
      ['2026-01-01', 5, '8.80'],
      ['2026-03-01', 10, '8.40'],
      ['2026-03-05', 10, '8.30'],
      ['2026-04-01', 10, '8.10'],
    ] as const;
    await db().packPrice.createMany({
      data: breaks.map(([from, minPacks, amount]) => ({
        id: `break_${from}`,
        packId,
        validFrom: new Date(from),
        minPacks,
        amount,
        source: 'list',
      })),
    });
    await page.reload();
    await says('€8.30 from Thu 5 Mar, at least 10 packs');
    await says('€8.10 from Wed 1 Apr, at least 10 packs');
    expect(await page.getByText(/€8\.(80|40)/).count()).toBe(0);
    await db().packPrice.deleteMany({ where: { id: { startsWith: 'break_' } } });
    await page.reload();
    await says('€9.20');
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'supplier');
  });
});

describe("a supplier's price list in Chromium", () => {
  const choose = (file: string | Buffer, name = 'march.csv') =>
    page.getByLabel('Price list (XLSX or CSV file)').setInputFiles({
      name,
      mimeType: typeof file === 'string' ? 'text/csv' : XLSX,
      buffer: Buffer.from(file),
    });
  const LIST = 'Art;Inhalt;Preis\nLD-100;1 kg;9,75\nLD-200;6 x 1 l;14,10\n';

  it('is read by columns that one names, and changes nothing while one looks', async () => {
    await choose(LIST);
    await page.getByRole('combobox', { name: 'Article number' }).selectOption('Art');
    await page.getByRole('combobox', { name: 'What a pack holds' }).selectOption('Inhalt');
    await page.getByRole('combobox', { name: 'Price of a pack' }).selectOption('Preis');
    await press('See what it would change');
    await says(/cells cannot be read. Mend the file/);
    expect(await page.getByRole('button', { name: 'Take the prices in' }).count()).toBe(0);
    await page.getByLabel('The list writes 12,40 for the price').check();
    await page.getByLabel('Prices hold from').fill('2026-03-15');
    await press('See what it would change');
    await says('2 rows read: 1 price changes');
    await page.getByRole('row', { name: /LD-100 price €9.20 €9.75 \+6%/ }).waitFor();
    await page.getByRole('row', { name: /LD-200 not among our packs/ }).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'price-list');
    expect(await priceOn('2026-03-20')).toBe('9.2');
  });

  it('is taken in from its day on, and its columns are known the next time', async () => {
    await press('Take the prices in');
    await says('1 price is taken in.');
    expect(await priceOn('2026-03-20')).toBe('9.75');
    expect(await priceOn('2026-03-14')).toBe('9.2');
    await says('€9.75 from Sun 15 Mar');
    await page.reload();
    await page.getByRole('heading', { level: 1, name: 'Lakeside Dairy' }).waitFor();
    await choose(LIST);
    await says('As kept from the last list');
    expect(await page.getByRole('combobox', { name: 'Price of a pack' }).inputValue()).toBe(
      'Preis',
    );
    expect(await page.getByLabel('The list writes 12,40 for the price').isChecked()).toBe(true);
  });

  it('may be a workbook: its sheet is named, and its columns are found by the same names', async () => {
    const book = workbook([
      ['Lakeside Dairy, April'],
      null,
      ['Art', 'Inhalt', 'Preis'],
      ['LD-100', '1 kg', 9.9],
      ['LD-300', '1 kg', { xml: '<c t="e"><v>#N/A</v></c>' }],
    ]);
    await choose(book, 'april.xlsx');
    await says('Read from the sheet “List”.');
    expect(await page.getByRole('combobox', { name: 'Price of a pack' }).inputValue()).toBe(
      'Preis',
    );
    await page.getByLabel('Prices hold from').fill('2026-04-01');
    await press('See what it would change');
    await says('Row 5, Preis');
    await says('The cell C5 holds an error, not a value.');
    expect(await page.getByRole('button', { name: 'Take the prices in' }).count()).toBe(0);
    // A workbook that somebody renamed is one all the same.
    await choose(
      workbook([
        ['Art', 'Inhalt', 'Preis'],
        ['LD-100', '1 kg', 9.9],
      ]),
      'april.csv',
    );
    await says('Read from the sheet “List”.');
    await page.getByLabel('Prices hold from').fill('2026-04-01');
    await press('See what it would change');
    await page.getByRole('row', { name: /LD-100 price €9.75 €9.90/ }).waitFor();
    await expectAccessible(page);
    await picture(page, 'price-list-workbook');
    await press('Take the prices in');
    await says('1 price is taken in.');
    expect(await priceOn('2026-04-02')).toBe('9.9');
    expect(await priceOn('2026-03-31')).toBe('9.75');
  });

  it('of several sheets is read from the one that is picked, also where the first has no list', async () => {
    const list = (price: number) => [
      ['Art', 'Inhalt', 'Preis'],
      ['LD-100', '1 kg', price],
    ];
    await choose(
      workbookOfSheets([
        { name: 'Cover', rows: [['Lakeside Dairy, May']] },
        { name: 'Summer', rows: list(10.4) },
        { name: 'Winter & spring', rows: list(11.2) },
      ]),
      'may.xlsx',
    );
    await page.getByRole('alert').getByText('The sheet has no rows that can be read.').waitFor();
    const pick = page.getByRole('combobox', { name: 'Read from the sheet' });
    expect(await pick.inputValue()).toBe('Cover');
    expect(await pick.getByRole('option').allTextContents()).toEqual([
      ...['Cover', 'Summer', 'Winter & spring'],
    ]);
    await expectAccessible(page);
    await expectFingerSized(page);
    await pick.selectOption('Winter & spring');
    await page.getByLabel('Prices hold from').fill('2026-05-01');
    expect(await page.getByText('The sheet has no rows that can be read.').count()).toBe(0);
    await press('See what it would change');
    await page.getByRole('row', { name: /LD-100 price €9.90 €11.20/ }).waitFor();
    // What was seen of one sheet is not taken in for another.
    await pick.selectOption('Summer');
    await page.getByRole('row', { name: /LD-100/ }).waitFor({ state: 'detached' });
    await press('See what it would change');
    await page.getByRole('row', { name: /LD-100 price €9.90 €10.40/ }).waitFor();
    await expectAccessible(page);
    await picture(page, 'price-list-sheets');
    await press('Take the prices in');
    await says('1 price is taken in.');
    expect(await priceOn('2026-05-02')).toBe('10.4');
    expect(await priceOn('2026-04-30')).toBe('9.9');
    await choose(LIST);
    await says('Which column holds what');
    expect(await pick.count()).toBe(0);
  });

  it('that cannot be read is said in words, and nothing is offered', async () => {
    for (const [file, name, words] of [
      [calcFile('calc.xls'), 'april.xls', 'This workbook is of the old kind (.xls).'],
      [calcFile('calc-1900.xlsx').subarray(0, 3000), 'april.xlsx', 'cut off or damaged'],
      [Buffer.from('Art;Menge\n\xfcber;1\n', 'latin1'), 'april.csv', 'Save it as CSV UTF-8.'],
    ] as const) {
      await choose(file, name);
      await page.getByRole('alert').getByText(words).waitFor();
      expect(await page.getByRole('button', { name: 'See what it would change' }).count()).toBe(0);
    }
    expect(await priceOn('2026-04-02')).toBe('9.9');
  });
});

describe('what orders add up to, in Chromium', () => {
  it('is shown by supplier, site, delivery day and for the whole group', async () => {
    await buying('Orders');
    await press('Work out the orders');
    await page.getByRole('heading', { level: 3, name: 'Lakeside Dairy' }).first().waitFor();
    await buying('Totals');
    const part = page.getByRole('main').locator('section');
    await part.getByRole('heading', { name: /Lakeside Dairy/ }).waitFor();
    const held = await db().order.findMany({ include: { lines: true } });
    const goods = held
      .flatMap(({ lines }) => lines)
      .reduce((sum, line) => sum + line.packs * Number(line.unitPrice), 0);
    expect(goods).toBeGreaterThan(0);
    await part
      .getByText(`€${goods.toFixed(2)}`)
      .first()
      .waitFor();
    await part.getByText('Ingredient by ingredient').click();
    await part.getByRole('rowheader', { name: 'Butter' }).waitFor();
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'order-totals');
    await page.getByLabel('By').selectOption('delivery day');
    await part
      .getByRole('heading', { name: /Thursday 12 March|Saturday 14 March/ })
      .first()
      .waitFor();
    await page.getByLabel('By').selectOption('whole group');
    await part.getByRole('heading', { name: 'The whole group' }).waitFor();
    await page.getByLabel('Deliveries from').fill('2026-06-01');
    await page.getByLabel('to', { exact: true }).fill('2026-06-07');
    await says('No orders for deliveries of these days.');
  });
});

describe('approval limits in Chromium', () => {
  it('are seen by purchasing, who cannot set them', async () => {
    await buying('Approval limits');
    await says('Nobody has a limit.');
    await says('An administrator sets these.');
    expect(await page.getByRole('button', { name: 'Set the limit' }).count()).toBe(0);
  });

  it('are set by an administrator for a role or a person, and lifted, with undo', async () => {
    await page.context().clearCookies();
    await page.reload();
    await signIn(page, kitchen.url, 'ada');
    await page.getByRole('link', { name: 'Orders', exact: true }).click();
    await buying('Approval limits');
    await page.getByLabel('At most').fill('5');
    await press('Set the limit');
    await says('Everybody who is purchasing: at most €5.00 an order.');
    await page.getByRole('combobox', { name: /^For/ }).selectOption('pia');
    await page.getByLabel('At most').fill('10');
    await press('Set the limit');
    await says('pia: at most €10.00 an order.');
    await expectAccessible(page);
    await expectFingerSized(page);
    await picture(page, 'approval-limits');
    await page.getByRole('button', { name: 'Lift it: pia' }).click();
    await says('The limit of pia is lifted.');
    await press('Undo');
    await page.getByRole('button', { name: 'Lift it: pia' }).waitFor();
    expect(
      (await db().approvalLimit.findMany({ orderBy: { subject: 'asc' } })).map(
        ({ subject, amount }) => [subject, Number(amount)],
      ),
    ).toEqual([
      ['role:purchasing', 5],
      ['usr_pia', 10],
    ]);
  });
});
