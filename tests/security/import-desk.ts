import { afterAll, beforeAll, expect } from 'vitest';
import { fingerprintOf } from '../helpers/database-fingerprint.ts';
import { workbook, XLSX } from '../helpers/make-workbook.ts';
import { LEAD, startTestApp, type TestApp } from '../helpers/test-app.ts';

/** A list that every import reads: sound, with nothing wrong. */
export const ROWS = [
  ['Art', 'Holds', 'Net'],
  ['M-1', '1 kg', 2],
] as const;
export const plain = (): Buffer => workbook(ROWS);
export const SHEET = 'xl/worksheets/sheet1.xml';
export const MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';

interface Expected {
  readonly status?: number;
  readonly paths?: readonly string[];
}

/** A service with a supplier whose list has the columns of `ROWS`, and all that takes tables in. */
export function importDesk() {
  let test: TestApp;
  let fingerprint: () => Promise<string>;
  let routes: readonly string[];
  beforeAll(async () => {
    test = await startTestApp();
    const supplier = await test
      .as(LEAD)
      .post('/v1/suppliers')
      .send({
        name: 'Old Mill',
        zone: 'Europe/Rome',
        currency: 'EUR',
        deliveryWeekdays: [2],
        cutoff: { daysBefore: 1, time: '12:00' },
      })
      .expect(201);
    const at = `/v1/suppliers/${supplier.body.id}`;
    const columns = { supplierCode: 'Art', content: 'Holds', price: 'Net' };
    await test
      .as(LEAD)
      .put(`${at}/price-columns`)
      .send({ columns, decimalComma: false })
      .expect(200);
    routes = [
      `${at}/price-lists?validFrom=2026-04-01`,
      '/v1/ingredients/import',
      '/v1/packs/import',
      `${at}/price-list-headings`,
    ];
    fingerprint = fingerprintOf(test.database);
  });
  afterAll(() => test.close());

  const send = (path: string, bytes: Buffer, type = XLSX) =>
    test.as(LEAD).post(path).set('content-type', type).send(bytes);
  return {
    send,
    test: () => test,
    routes: () => routes,
    /** Those that read a file to its end; the headings stop behind the header. */
    imports: () => routes.slice(0, 3),
    priceList: () => routes[0] ?? '',
    fingerprint: () => fingerprint(),
    /** Sends a file to every import: each refuses it with a reason, and nothing is changed. */
    async expectRefused(
      bytes: Buffer,
      words: string | RegExp,
      { status = 400, paths = routes }: Expected = {},
    ): Promise<void> {
      const before = await fingerprint();
      for (const path of paths) {
        const answer = await send(path, bytes);
        const where = `${path}: ${JSON.stringify(answer.body).slice(0, 300)}`;
        expect(answer.status, where).toBe(status);
        expect(answer.headers['content-type'], where).toMatch(/^application\/problem\+json/);
        expect(answer.body.detail, where).toMatch(words);
        expect(answer.body.issues[0], where).toMatchObject({ message: answer.body.detail });
      }
      expect(await fingerprint()).toBe(before);
    },
  };
}
