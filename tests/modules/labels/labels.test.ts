import jsqr from 'jsqr';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readElementStrings } from '../../../api/core/codes/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const chef = chefOf(SITE);
let taskId: string;
let lotId: string;

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  await test.services.prep.workOut(SYSTEM, SITE, 3);
  const task = await test.database.prisma.prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd' },
  });
  taskId = task.id;
  await test
    .as(chef)
    .post(`/v1/prep-tasks/${taskId}/finish`)
    .send({ made: { value: 1200, unit: 'g' }, minutesAgo: 30 })
    .expect(200);
  lotId = (await test.database.prisma.stockLot.findFirstOrThrow()).id;
});
afterAll(() => test.close());

const SCALE = 6;
// The package is CommonJS: its function is the default of the default, or the default itself.
const readSymbol = ((jsqr as { default?: unknown }).default ?? jsqr) as (
  pixels: Uint8ClampedArray,
  width: number,
  height: number,
) => { readonly data: string } | null;
const QUIET = 4;

/** What a camera reads from the rows of a symbol, drawn black on white with its quiet zone. */
function scan(rows: readonly string[]): string | undefined {
  const size = (rows.length + 2 * QUIET) * SCALE;
  const pixels = new Uint8ClampedArray(size * size * 4).fill(255);
  for (let y = 0; y < size; y += 1) {
    for (let x = 0; x < size; x += 1) {
      const dark = rows[Math.floor(y / SCALE) - QUIET]?.[Math.floor(x / SCALE) - QUIET] === '1';
      if (dark) pixels.fill(0, (y * size + x) * 4, (y * size + x) * 4 + 3);
    }
  }
  return readSymbol(pixels, size, size)?.data;
}

const label = async (code = 'plain') =>
  (await test.as(chef).get(`/v1/stock-lots/${lotId}/label?code=${code}`).expect(200)).body;

describe('a label', () => {
  it('says what the pot must say: name, made, use-by, site, who, how kept, and never "free from"', async () => {
    const said = await label();
    expect(said).toMatchObject({
      item: { name: 'Lemon curd' },
      madeAt: '2026-03-10T05:00:00.000Z',
      useBy: '2026-03-13T05:00:00.000Z',
      storage: 'chilled',
      preparedBy: chef.name,
      state: 'good',
      amount: { value: 1200, unit: 'g' },
      useByReason: 'The recipe keeps for 3 days.',
    });
    // Nobody declared the butter of this kitchen: the label says so.
    expect(said.notDeclared).toContain('Butter');
    expect(said.notice).toContain('local codes');
  });

  it('carries a QR code that a scanner reads as the lot code, which finds the lot again', async () => {
    const said = await label();
    expect(scan(said.code.rows)).toBe(said.lotCode);
    const found = await test.as(chef).get(`/v1/lot-codes?code=${said.lotCode}`).expect(200);
    expect(found.body.items.map((lot: { lotId: string }) => lot.lotId)).toEqual([lotId]);
  });

  it('as GS1 element strings is read back with lot, dates and the time of the use-by', async () => {
    const said = await label('gs1');
    const scanned = scan(said.code.rows) ?? '';
    expect(scanned).toBe(said.code.text);
    expect(unwrap(readElementStrings(scanned, 2026))).toEqual({
      productionDate: '2026-03-10',
      useByDate: '2026-03-13',
      useByTime: '2026-03-13T06:00',
      lot: said.lotCode,
    });
  });

  it('of a held lot says held and shows no date to trust; of an expired one says expired', async () => {
    await test
      .as(chef)
      .post(`/v1/stock-lots/${lotId}/hold`)
      .send({ reason: 'Smells odd' })
      .expect(200);
    expect(await label()).toMatchObject({ state: 'held', useBy: null, heldReason: 'Smells odd' });
    await test.database.prisma.stockLot.update({
      where: { id: lotId },
      data: { heldReason: null, useBy: new Date('2026-03-10T05:10:00Z') },
    });
    expect((await label()).state).toBe('expired');
  });

  it('is there for everything a task made, and for nothing of a task that made nothing', async () => {
    const made = await test.as(chef).get(`/v1/prep-tasks/${taskId}/labels`).expect(200);
    expect(made.body.items).toHaveLength(1);
    const shell = await test.database.prisma.prepTask.findFirstOrThrow({
      where: { recipeId: 'rcp_shell' },
    });
    await test.as(chef).get(`/v1/prep-tasks/${shell.id}/labels`).expect(404);
    await test.as(chefOf('site_other')).get(`/v1/prep-tasks/${taskId}/labels`).expect(404);
  });
});
