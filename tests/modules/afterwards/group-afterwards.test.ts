import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillTwoKitchens, MAKER, SHELL, SITE } from '../../helpers/two-kitchens.ts';
import { chefOf, LEAD, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

// Serafina makes forty shells on 10 March, sends 24 of them to Molo, where 22 come; Molo throws two
// away, Serafina three.
let test: TestApp;
let makerLot = '';
beforeAll(async () => {
  test = await startTestApp();
  await fillTwoKitchens(test);
  const { prisma } = test.database;
  await test.services.prep.workOut(SYSTEM, SITE, 3);
  const act = (siteId: string, path: string, body: object) =>
    test.as(chefOf(siteId)).post(path).send(body);
  const task = await prisma.prepTask.findFirstOrThrow({
    where: { siteId: MAKER, recipeId: SHELL, status: 'to_do' },
    orderBy: { startBy: 'asc' },
  });
  await act(MAKER, `/v1/prep-tasks/${task.id}/finish`, {
    made: { value: 40, unit: '{each}' },
  }).expect(200);
  makerLot = (await prisma.stockLot.findFirstOrThrow({ where: { siteId: MAKER, itemId: SHELL } }))
    .id;
  const transfer = await prisma.transfer.findFirstOrThrow({
    where: { toSiteId: SITE, status: 'planned' },
    orderBy: { leavesAt: 'asc' },
  });
  const cold = { value: 4, unit: 'Cel' };
  const step = (siteId: string, what: string, value: number, note: string | null) =>
    act(siteId, `/v1/transfers/${transfer.id}/${what}`, {
      lots: [{ lotId: makerLot, amount: { value, unit: '{each}' } }],
      temperature: cold,
      note,
    });
  test.clock.set('2026-03-10T13:00:00Z');
  await step(MAKER, 'send', 12, null).expect(200);
  await act(MAKER, `/v1/transfers/${transfer.id}/take-back`, {}).expect(200);
  await step(MAKER, 'send', 24, null).expect(200);
  test.clock.set('2026-03-10T14:30:00Z');
  await step(SITE, 'receive', 22, 'two were broken').expect(200);
  const waste = (siteId: string, value: number, reason: string) =>
    act(siteId, `/v1/sites/${siteId}/waste`, {
      itemKind: 'component',
      itemId: SHELL,
      amount: { value, unit: '{each}' },
      reason,
      note: 'in the test',
    }).expect(201);
  await waste(SITE, 2, 'spilled');
  await waste(MAKER, 3, 'out-of-date');
  test.clock.set('2026-03-11T08:00:00Z');
});
afterAll(() => test.close());

const DAYS = 'from=2026-03-10&to=2026-03-10';
const shells = (body: { lines: { component: { id: string } }[] }) =>
  body.lines.find((line) => line.component.id === SHELL);

describe('the days of the group afterwards', () => {
  it('say at each end what left and what came, and none of it as made or used twice', async () => {
    const at = async (siteId: string) =>
      shells(
        (await test.as(chefOf(siteId)).get(`/v1/sites/${siteId}/afterwards?${DAYS}`).expect(200))
          .body,
      );
    expect(await at(MAKER)).toMatchObject({
      made: { value: 40, unit: '{each}' },
      sent: { value: 24 },
      came: { value: 0 },
      used: { value: 0 },
    });
    expect(await at(SITE)).toMatchObject({
      made: { value: 0 },
      sent: { value: 0 },
      came: { value: 22 },
    });
  });

  it('add all sites up by component and cause, with each of them beside', async () => {
    const { body } = await test.as(LEAD).get(`/v1/afterwards?${DAYS}`).expect(200);
    expect(body.sites.map(({ name }: { name: string }) => name).sort()).toEqual([
      'Molo',
      'Serafina',
    ]);
    const line = shells(body) as unknown as {
      sites: { site: { id: string }; wasted: { value: number } }[];
      expectedWaste: { value: number };
      wasteBeyondExpected: { value: number };
    };
    expect(line).toMatchObject({
      made: { value: 40 },
      sent: { value: 24 },
      came: { value: 22 },
      wasted: { value: 5 },
      wastedBy: [
        { reason: 'out-of-date', amount: { value: 3 } },
        { reason: 'spilled', amount: { value: 2 } },
      ],
    });
    expect(
      Object.fromEntries(line.sites.map(({ site, wasted }) => [site.id, wasted.value])),
    ).toEqual({ [SITE]: 2, [MAKER]: 3 });
    expect(line.wasteBeyondExpected.value).toBeCloseTo(5 - line.expectedWaste.value, 9);
  });

  it('are a file for a spreadsheet: a row for each component and site', async () => {
    const answer = await test.as(LEAD).get(`/v1/afterwards.csv?${DAYS}`).expect(200);
    expect(answer.headers['content-type']).toContain('text/csv');
    const rows = parse(answer.text, { columns: true }) as Record<string, string>[];
    expect(rows.find((row) => row.component_id === SHELL && row.site === 'Serafina')).toMatchObject(
      {
        from: '2026-03-10',
        unit: 'each',
        made: '40',
        sent: '24',
        came: '0',
        wasted: '3',
        wasted_because: 'out-of-date 3',
      },
    );
  });

  it('show nobody a site that is not theirs', async () => {
    const { body } = await test.as(chefOf(SITE)).get(`/v1/afterwards?${DAYS}`).expect(200);
    expect(body.sites.map(({ id }: { id: string }) => id)).toEqual([SITE]);
    expect(shells(body)).toMatchObject({ made: { value: 0 }, came: { value: 22 } });
    const file = await test.as(chefOf(SITE)).get(`/v1/afterwards.csv?${DAYS}`).expect(200);
    expect(file.text).not.toContain('Serafina');
  });

  it.each([
    ['from=2026-03-11&to=2026-03-10', '/query/to'],
    ['from=2026-03-10&to=2026-03-12', '/query/to'],
    ['from=2025-01-01&to=2026-03-10', '/query/from'],
  ])('refuse %s', async (query, pointer) => {
    const { body } = await test.as(LEAD).get(`/v1/afterwards?${query}`).expect(400);
    expect(body.issues[0].pointer).toBe(pointer);
  });
});
