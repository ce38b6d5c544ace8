import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addDairy } from '../../helpers/dairy.ts';
import { changedTables, fingerprintOf } from '../../helpers/database-fingerprint.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// What buying must refuse. Each is a problem (RFC 9457) that names the field and the reason, and no
// row of any table is another one afterwards. The clock stands on 2026-03-10, 05:30 UTC.

let test: TestApp;
let fingerprint: () => Promise<string>;
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  await addDairy(test.database, { shelfLifeDays: 20 });
  fingerprint = fingerprintOf(test.database);
});
afterAll(() => test.close());

const buyer = () => test.as(PURCHASING);
const ORDER = { siteId: SITE, supplierId: 'sup_dairy', deliveryDate: '2026-03-12' };
const DAIRY = {
  name: 'Hill Dairy',
  zone: 'Europe/Rome',
  currency: 'EUR',
  deliveryWeekdays: [2, 5],
  cutoff: { daysBefore: 1, time: '14:00' },
  siteIds: [SITE],
};
const PACK = {
  ingredientId: 'ing_butter',
  name: 'Butter, 2 kg',
  sku: 'HD-2',
  content: { value: 2, unit: 'kg' },
};

interface Refused {
  readonly status: number;
  readonly pointer?: string | RegExp;
  /** Words of the reason. */
  readonly says: RegExp;
}
type Answer = Awaited<ReturnType<ReturnType<typeof buyer>['post']>>;

/** Sends what is bad, and holds the answer and the tables to the rule above. */
async function refuses(send: () => PromiseLike<Answer>, refused: Refused): Promise<void> {
  const before = await fingerprint();
  const answer = await send();
  expect(answer.status, JSON.stringify(answer.body)).toBe(refused.status);
  expect(answer.headers['content-type']).toContain('application/problem+json');
  const { issues = [], detail } = answer.body as {
    issues?: { pointer: string; message: string }[];
    detail: string;
  };
  if (refused.pointer !== undefined) {
    expect(issues.map(({ pointer }) => pointer).join(' ')).toMatch(refused.pointer);
  }
  expect([detail, ...issues.map(({ message }) => message)].join(' ')).toMatch(refused.says);
  expect(changedTables(before, await fingerprint())).toEqual([]);
}

describe('packs and prices', () => {
  it.each([0, -2])('a pack of %s kg is refused', async (value) => {
    await refuses(
      () =>
        buyer()
          .post('/v1/suppliers/sup_dairy/packs')
          .send({ ...PACK, content: { value, unit: 'kg' } }),
      { status: 400, pointer: '/content/value', says: /0|zero|positive|above/i },
    );
  });

  it.each(['-3', '-0.01', '0', '1e3', 'nine'])('a price of %s is refused', async (amount) => {
    await refuses(
      () => buyer().post('/v1/packs/pack_butter/prices').send({ validFrom: '2026-03-20', amount }),
      { status: 400, pointer: '/amount', says: /decimal|above|0/i },
    );
  });

  it('a price of another currency is refused: in a list by its row and column', async () => {
    await buyer()
      .put('/v1/suppliers/sup_dairy/price-columns')
      .send({
        columns: { supplierCode: 'Code', content: 'Content', price: 'Price', currency: 'Money' },
        decimalComma: false,
      })
      .expect(200);
    await refuses(() => priceList('Code,Content,Price,Money\nLD-100,1 kg,8.00,GBP\n'), {
      status: 400,
      pointer: '/rows/2/Money',
      says: /prices are in EUR/,
    });
  });
});

const priceList = (csv: string) =>
  buyer()
    .post('/v1/suppliers/sup_dairy/price-lists?validFrom=2026-04-01')
    .set('content-type', 'text/csv')
    .send(csv);

describe('suppliers', () => {
  it('one without delivery days is refused', async () => {
    await refuses(
      () =>
        buyer()
          .post('/v1/suppliers')
          .send({ ...DAIRY, deliveryWeekdays: [] }),
      {
        status: 400,
        pointer: '/deliveryWeekdays',
        says: /day/i,
      },
    );
  });

  it.each([
    ['on the day itself, with no hour of arrival', { daysBefore: 0, time: '14:00' }, {}],
    ['after the goods have come', { daysBefore: 0, time: '14:00' }, { arrivesBy: '09:00' }],
  ])('a cutoff %s is refused', async (_, cutoff, more) => {
    await refuses(
      () =>
        buyer()
          .post('/v1/suppliers')
          .send({ ...DAIRY, cutoff, ...more }),
      {
        status: 422,
        pointer: '/cutoff',
        says: /cutoff|order|deliver/i,
      },
    );
  });
});

describe('orders', () => {
  interface Body {
    readonly id: string;
    readonly rev: number;
    readonly lines: readonly { readonly id: string }[];
  }
  let order: Body;
  const step = (what: string, body?: object, rev = order.rev) =>
    buyer().post(`/v1/orders/${order.id}/${what}`).set('if-match', `"${rev}"`).send(body);

  it('a second open order for the same delivery is refused, and names the first', async () => {
    order = (await buyer().post('/v1/orders').send(ORDER).expect(201)).body as Body;
    order = (await step('lines', { packId: 'pack_butter', packs: 4 }).expect(200)).body as Body;
    await refuses(() => buyer().post('/v1/orders').send(ORDER), {
      status: 409,
      says: /order/i,
    });
  });

  it('the approval of a stale version is refused', async () => {
    await refuses(() => step('approve', undefined, order.rev - 1), {
      status: 412,
      says: /Somebody else saved this/,
    });
  });

  it('receiving more than was ordered is refused, unless it is meant', async () => {
    order = (await step('approve').expect(200)).body as Body;
    order = (await step('send').expect(200)).body as Body;
    const take = (more: object) =>
      test
        .as(chefOf(SITE))
        .post(`/v1/orders/${order.id}/deliveries`)
        .set('if-match', `"${order.rev}"`)
        .send({ lines: [{ lineId: order.lines[0]?.id, packs: 6 }], ...more });
    await refuses(() => take({}), { status: 422, pointer: '/lines', says: /6 packs|ordered|4/i });
  });

  it('an invoice in other money is refused', async () => {
    await refuses(
      () =>
        buyer()
          .post(`/v1/orders/${order.id}/invoices`)
          .send({
            number: 'R-1',
            date: '2026-03-12',
            deliveryCharge: { amount: '0', currency: 'GBP' },
            lines: [
              { lineId: order.lines[0]?.id, packs: 4, price: { amount: '9', currency: 'GBP' } },
            ],
          }),
      { status: 400, says: /./ },
    );
  });
});

describe('files with cells that a spreadsheet would run', () => {
  const FORMULAS = ['=1+1', '+1', '@SUM(1)', '-1', '=HYPERLINK("http://x.example")'];
  it.each(FORMULAS)('%s for a price is refused by its row and column', async (cell) => {
    const quoted = `"${cell.replaceAll('"', '""')}"`;
    await refuses(() => priceList(`Code,Content,Price,Money\nLD-100,1 kg,${quoted},EUR\n`), {
      status: 400,
      pointer: '/rows/2/Price',
      says: /./,
    });
  });

  it('a name that begins like one is kept as it is and leaves every file disarmed', async () => {
    const name = '=HYPERLINK("http://x.example")';
    const made = await buyer()
      .post('/v1/suppliers/sup_dairy/packs')
      .send({ ...PACK, sku: '=2', name })
      .expect(201);
    expect(made.body.name).toBe(name);
    await buyer()
      .post(`/v1/packs/${made.body.id}/prices`)
      .send({ validFrom: '2026-01-01', amount: '17.00' })
      .expect(201);
    const own = (
      await buyer()
        .post('/v1/orders')
        .send({ ...ORDER, deliveryDate: '2026-03-13' })
        .expect(201)
    ).body;
    await buyer()
      .post(`/v1/orders/${own.id}/lines`)
      .set('if-match', `"${own.rev}"`)
      .send({ packId: made.body.id, packs: 1 })
      .expect(200);
    for (const path of [
      `/v1/orders/${own.id}/export?format=csv`,
      '/v1/order-lines.csv?deliveryDate=2026-03-13',
    ]) {
      const { text } = await buyer().get(path).expect(200);
      expect(text).toContain('HYPERLINK');
      const cells = text.split(/[,\r\n]/).map((cell) => cell.replace(/^"/, ''));
      expect(cells.filter((cell) => /^[=+@\t]/.test(cell))).toEqual([]);
    }
  });
});

describe('a price list that is too long', () => {
  it('of more than 200 000 rows is refused whole', async () => {
    const rows = Array.from({ length: 200_001 }, (_, i) => `X-${i},1 kg,8.00,EUR`);
    await refuses(() => priceList(['Code,Content,Price,Money', ...rows].join('\n')), {
      status: 400,
      says: /200.?000/,
    });
  }, 60_000);
});
