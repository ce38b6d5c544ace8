import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillTwoKitchens, MAKER, SHELL, SITE } from '../../helpers/two-kitchens.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const chef = chefOf(SITE);
beforeAll(async () => {
  test = await startTestApp();
  await fillTwoKitchens(test);
});
afterAll(() => test.close());

const workOut = (siteId: string, actor = chefOf(siteId)) =>
  test.as(actor).post(`/v1/sites/${siteId}/prep-plans`).send({ days: 7 }).expect(201);
const rows = () =>
  test.database.prisma.transfer.findMany({
    where: { status: 'planned' },
    orderBy: { leavesAt: 'asc' },
  });
const tasksOf = async (siteId: string) => {
  const plan = await test.services.prep.currentPlan(LEAD, siteId);
  const tasks = await Promise.all(
    plan.summary.taskIds.map((id) => test.services.prep.task(LEAD, id)),
  );
  return { plan, shells: tasks.filter((task) => task.recipeId === SHELL) };
};

describe('a plan of a site that gets a component from another', () => {
  it('asks for it in full boxes on trips in time, and makes none of it', async () => {
    await workOut(SITE);
    const { plan, shells } = await tasksOf(SITE);
    expect(shells).toEqual([]);
    const asked = await rows();
    expect(asked.length).toBeGreaterThan(2);
    for (const row of asked) {
      expect(row.quantity % 12).toBe(0);
      expect(row.leavesAt.toISOString()).toMatch(/T13:00:00/);
    }
    // Tonight's dinner has nothing that could still come: the trip of two o'clock is asked for by ten.
    const first = asked[0];
    expect(first?.leaveDate.toISOString().slice(0, 10)).toBe('2026-03-10');
    expect(plan.summary.shortages.filter(({ itemId }) => itemId === SHELL)).toEqual([]);
  });

  it('has the maker planned with it: its list says for whom and when it leaves', async () => {
    const { shells } = await tasksOf(MAKER);
    const labels = shells.flatMap((task) => task.neededFor.map(({ label }) => label));
    expect(labels).toContain('Molo, leaves Tue 14:00');
    const made = shells.reduce((sum, task) => sum + task.quantity, 0);
    const asked = (await rows()).reduce((sum, row) => sum + row.quantity, 0);
    expect(made).toBeGreaterThanOrEqual(asked);
    expect((await rows()).every((row) => row.promised === row.quantity)).toBe(true);
    // What goes into it is bought there.
    const needs = await test.database.prisma.ingredientNeed.findMany({
      where: { siteId: MAKER, ingredientId: 'ing_flour', plan: { status: 'current' } },
    });
    expect(needs.length).toBeGreaterThan(0);
  });

  it('keeps ids and the maker’s plan when nothing changed', async () => {
    const before = await rows();
    const makerPlan = (await tasksOf(MAKER)).plan.id;
    await workOut(SITE);
    expect((await rows()).map(({ id, quantity }) => [id, quantity])).toEqual(
      before.map(({ id, quantity }) => [id, quantity]),
    );
    expect((await tasksOf(MAKER)).plan.id).toBe(makerPlan);
  });

  it('asks for more when more guests are expected, and has the maker planned again', async () => {
    const before = (await rows()).reduce((sum, row) => sum + row.quantity, 0);
    await test.database.prisma.statedCovers.updateMany({ data: { covers: 58 } });
    await workOut(SITE);
    const after = await rows();
    expect(after.reduce((sum, row) => sum + row.quantity, 0)).toBeGreaterThan(before);
    const { shells } = await tasksOf(MAKER);
    const forMolo = shells
      .flatMap((task) => task.neededFor)
      .filter(({ kind }) => kind === 'transfer')
      .reduce((sum, need) => sum + need.quantity, 0);
    expect(forMolo).toBe(after.reduce((sum, row) => sum + row.quantity, 0));
  });

  it('explains what is asked for down to the covers', async () => {
    const [row] = await rows();
    const graph = await test.database.prisma.explanation.findFirst({
      where: { subjectKind: 'transfers of a plan', subjectId: row?.explainedIn ?? '' },
    });
    const nodes = graph?.nodes as { id: string; value: number; label: string }[];
    expect(nodes.find(({ id }) => id === row?.node)?.value).toBe(row?.quantity);
    expect(nodes.some(({ id }) => id.startsWith('covers:'))).toBe(true);
  });

  it('no longer asks for what is past its cutoff, and counts on it as it was asked', async () => {
    const [tuesday] = await rows();
    test.clock.set('2026-03-10T09:30:00Z');
    await test.database.prisma.statedCovers.updateMany({ data: { covers: 20 } });
    await workOut(SITE);
    const [still] = await rows();
    expect(still).toMatchObject({ id: tuesday?.id, quantity: tuesday?.quantity });
    expect((await rows()).slice(1).every((row) => row.quantity <= (tuesday?.quantity ?? 0))).toBe(
      true,
    );
    test.clock.set('2026-03-10T05:30:00Z');
  });
});

describe('a maker without room', () => {
  it('promises what it can, and the rest is named short where nothing else was agreed', async () => {
    await test.database.prisma.statedCovers.updateMany({ data: { covers: 58 } });
    await test.database.prisma.recipeStep.updateMany({
      where: { versionId: 'ver_shell' },
      data: { workingMin: 240, waitingMin: 0, kind: 'work' },
    });
    await test.database.prisma.recipeVersion.update({
      where: { id: 'ver_shell' },
      data: { batchMax: 1 },
    });
    const plan = await workOut(SITE);
    const asked = await rows();
    // Two people from half past six to two, four hours a making of twenty: two makings, three boxes.
    expect(asked[0]?.leaveDate.toISOString()).toMatch(/^2026-03-10/);
    expect(asked[0]?.promised).toBeLessThanOrEqual(36);
    expect(asked.every((row) => row.quantity === row.promised)).toBe(true);
    const short = plan.body.shortages.filter(
      ({ item }: { item: { id: string } }) => item.id === SHELL,
    );
    expect(short.length).toBeGreaterThan(0);
    expect(short[0]).toMatchObject({
      reason: 'made-elsewhere',
      message: expect.stringContaining('Serafina has no room to make more Tart shell for'),
    });
  });

  it('leaves the rest to the site itself where the rule says so', async () => {
    const list = await test.as(LEAD).get('/v1/central-productions').expect(200);
    const [rule] = list.body.items;
    await test
      .as(LEAD)
      .put(`/v1/central-productions/${rule.id}`)
      .set('if-match', `"${rule.rev}"`)
      .send({
        componentId: SHELL,
        siteIds: [SITE],
        makerSiteIds: [MAKER],
        mode: 'fixed',
        fromDate: '2026-03-10',
        container: { name: 'box', amount: { value: 12, unit: '{each}' } },
        restMadeHere: true,
        reason: 'one oven for all shells',
      })
      .expect(200);
    await workOut(SITE, chef);
    const { shells } = await tasksOf(SITE);
    expect(shells.length).toBeGreaterThan(0);
    expect((await rows()).length).toBeGreaterThan(0);
  });
});
