import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillKitchen, DISH, SITE } from '../../helpers/demo-site.ts';
import { letSitesDiffer } from '../../helpers/differing-sites.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// The small kitchen of demo-site: curd of juice, zest and 300 g butter a batch; shells baked blind.
// The clock stands on 2026-03-10, 05:30 UTC, and moves on in the last tests.
let test: TestApp;
let valley = '';
let nutty = '';
const chef = chefOf(SITE);
const second = { ...chefOf(SITE), id: 'usr_second', name: 'Sam Second' };
const BUTTER_LINE = 'line_curd-2';
const REASON = 'The valley dairy delivers it daily.';

const localButter = (more: object = {}) => ({
  recipeId: 'rcp_curd',
  what: 'ingredient',
  lineId: BUTTER_LINE,
  ingredientId: valley,
  fromDate: '2026-03-11',
  reason: REASON,
  ...more,
});
const hotOven = (more: object = {}) => ({
  recipeId: 'rcp_shell',
  what: 'temperature',
  stepId: 'step_shell',
  temperatureC: 165,
  fromDate: '2026-03-10',
  reason: 'The deck oven runs hot.',
  ...more,
});
const enter = (body: object, actor = chef, siteId = SITE) =>
  test.as(actor).post(`/v1/sites/${siteId}/recipe-overrides`).send(body);
const move = (id: string, action: string, rev: number, body?: object, actor = chef) =>
  test
    .as(actor)
    .post(`/v1/recipe-overrides/${id}/${action}`)
    .set('if-match', `"${rev}"`)
    .send(body);
const costOn = async (on: string, siteId = SITE) =>
  (await test.as(LEAD).get(`/v1/sites/${siteId}/dishes/${DISH}/cost?on=${on}`).expect(200)).body;
const driversOn = async (on: string, siteId = SITE): Promise<string[]> =>
  (await costOn(on, siteId)).drivers.map((driver: { name: string }) => driver.name);
const allergensOn = async (on: string, siteId = SITE): Promise<string[]> => {
  const path = `/v1/sites/${siteId}/dishes/${DISH}/allergens?on=${on}`;
  const { dish } = (await test.as(LEAD).get(path).expect(200)).body;
  return dish.contains.map((presence: { code: string }) => presence.code).sort();
};

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  ({ valley, nutty } = await letSitesDiffer(test, BUTTER_LINE));
});
afterAll(() => test.close());

describe('a site’s own way', () => {
  it('is refused, with the field, where the recipe gives no leave or it makes no sense', async () => {
    const oatmeal = (
      await test
        .as(LEAD)
        .post('/v1/ingredients')
        .send({ name: 'Eggs', baseUnit: 'each' })
        .expect(201)
    ).body.id;
    const cases: [object, number, string][] = [
      [localButter({ lineId: 'line_curd-0' }), 403, '/lineId'],
      [localButter({ what: 'yield', ingredientId: null, trimYield: 0.9 }), 403, '/lineId'],
      [hotOven({ recipeId: 'rcp_curd', stepId: 'step_curd' }), 403, '/stepId'],
      [localButter({ lineId: 'line_none' }), 400, '/lineId'],
      [localButter({ lineId: null }), 400, '/lineId'],
      [localButter({ stepId: 'step_curd' }), 400, '/stepId'],
      [localButter({ temperatureC: 90 }), 400, '/temperatureC'],
      [localButter({ ingredientId: null }), 400, '/ingredientId'],
      [localButter({ ingredientId: 'ing_none' }), 400, '/ingredientId'],
      [localButter({ ingredientId: 'ing_butter' }), 400, '/ingredientId'],
      [localButter({ ingredientId: oatmeal }), 422, '/ingredientId'],
      [localButter({ fromDate: '2026-03-09' }), 400, '/fromDate'],
      [localButter({ endsBefore: '2026-03-11' }), 400, '/endsBefore'],
      [localButter({ reason: ' ' }), 400, '/reason'],
      [localButter({ recipeId: 'rcp_none' }), 400, '/recipeId'],
      [hotOven({ temperatureC: 4000 }), 400, '/temperatureC'],
      [hotOven({ what: 'time', temperatureC: null }), 400, '/workingMin'],
      [
        {
          ...localButter({ recipeId: 'rcp_shell', lineId: 'line_shell-0', what: 'yield' }),
          ingredientId: null,
          trimYield: 1.2,
        },
        400,
        '/trimYield',
      ],
    ];
    for (const [body, status, pointer] of cases) {
      const refused = await enter(body);
      expect([pointer, refused.status, refused.body.issues?.[0]?.pointer]).toEqual([
        pointer,
        status,
        pointer,
      ]);
    }
    await enter(localButter(), PURCHASING).expect(403);
    await enter(localButter(), chefOf('site_other')).expect(403);
    expect(await test.database.prisma.siteOverride.count()).toBe(0);
  });

  it('of an oven stands on that site’s card from its date, with the reason, and nowhere else', async () => {
    const made = await enter(hotOven()).expect(201);
    expect(made.body).toMatchObject({
      status: 'standing',
      holds: true,
      text: 'Step 1: Line the rings, bake blind.: at 165 °C instead of 180 °C.',
    });
    const card = async (query: string) =>
      (await test.as(chef).get(`/v1/recipe-versions/ver_shell/card?${query}`).expect(200)).body;
    const own = await card(`site=${SITE}&on=2026-03-10`);
    expect(own.batches[0].steps[0].temperatureC).toBe(165);
    expect(own.siteChanges).toMatchObject([
      { what: 'temperature', reason: 'The deck oven runs hot.' },
    ]);
    for (const query of ['batches=1', `site=${SITE}&on=2026-03-09`]) {
      const other = await card(query);
      expect(other.batches[0].steps[0].temperatureC).toBe(180);
      expect(other.siteChanges).toEqual([]);
    }
    await test.as(chef).get('/v1/recipe-versions/ver_shell/card?site=site_other').expect(403);
    const clash = await enter(hotOven({ fromDate: '2026-04-01' })).expect(409);
    expect(clash.body.issues[0].pointer).toBe('/fromDate');
    await enter(hotOven({ what: 'time', temperatureC: null, workingMin: 30 })).expect(201);
    const timed = await card(`site=${SITE}&on=2026-03-10`);
    expect(timed.batches[0].steps[0]).toMatchObject({
      temperatureC: 165,
      workingMin: 30,
      waitingMin: 20,
    });
  });

  it('of an ingredient is used in cost, allergens and nutrition of that site from its date', async () => {
    const before = await costOn('2026-03-10');
    await enter(localButter()).expect(201);
    expect(await driversOn('2026-03-10')).not.toContain('Valley butter');
    expect(await driversOn('2026-03-11')).toContain('Valley butter');
    expect(await driversOn('2026-03-11', 'site_other')).not.toContain('Valley butter');
    // 60 g curd of 1200 g a batch: 15 g butter at 8.00/kg becomes 15 g at 12.00/kg, 0.06 dearer.
    expect(await costOn('2026-03-10')).toEqual(before);
    const [old, now] = [before.knownCost.amount, (await costOn('2026-03-11')).knownCost.amount];
    expect(Number(now) - Number(old)).toBeCloseTo(0.06, 9);
    const nutrition = async (query: string): Promise<string> =>
      JSON.stringify(
        (await test.as(LEAD).get(`/v1/recipe-versions/ver_curd/nutrition?on=2026-03-11${query}`))
          .body,
      );
    expect(await nutrition('')).not.toContain('Valley butter');
    expect(await nutrition(`&site=${SITE}`)).toContain('Valley butter');
    await test.as(chef).get('/v1/recipe-versions/ver_curd/nutrition?site=site_other').expect(403);
  });

  it('is planned with from its date: needs, explanation and what a finished task takes from stock', async () => {
    const plan = await test
      .as(chef)
      .post(`/v1/sites/${SITE}/prep-plans`)
      .send({ days: 3 })
      .expect(201);
    const needs = (
      await test.as(chef).get(`/v1/prep-plans/${plan.body.id}/ingredient-needs`).expect(200)
    ).body.items as { ingredient: { id: string }; amount: { value: number }; node: string }[];
    const { tasks } = (
      await test.as(chef).get(`/v1/sites/${SITE}/prep-list?date=2026-03-10`).expect(200)
    ).body;
    const curd = tasks.filter((t: { component: { id: string } }) => t.component.id === 'rcp_curd');
    const all = await test.database.prisma.prepTask.findMany({ where: { recipeId: 'rcp_curd' } });
    const local = all.filter((task) =>
      (task.neededFor as { serviceDate: string }[]).every(
        (need) => need.serviceDate >= '2026-03-11',
      ),
    );
    expect(local.length).toBeGreaterThan(0);
    const batches = local.reduce((sum, task) => sum + task.batches, 0);
    const ofValley = needs.filter((need) => need.ingredient.id === valley);
    expect(ofValley.reduce((sum, need) => sum + need.amount.value, 0)).toBeCloseTo(
      300 * batches,
      6,
    );
    const explained = await test
      .as(chef)
      .get(
        `/v1/prep-plans/${plan.body.id}/explanation?node=${encodeURIComponent(ofValley[0]?.node ?? '')}`,
      )
      .expect(200);
    const notes = explained.body.nodes.map(
      (node: { source?: { note?: string } }) => node.source?.note,
    );
    expect(notes.join(' ')).toContain(`this site’s own, in place of Butter: ${REASON}`);
    expect(curd.length).toBeGreaterThan(0);

    const db = test.database.prisma;
    const lot = (itemId: string) => ({
      id: `lot_${itemId.slice(4)}`,
      siteId: SITE,
      itemKind: 'ingredient',
      itemId,
      quantity: 5000,
      madeAt: new Date('2026-03-09T08:00:00Z'),
      useBy: new Date('2026-03-30T00:00:00Z'),
      sourceKind: 'received',
    });
    await db.stockLot.createMany({ data: [lot(valley), lot('ing_butter')] });
    const [task] = local;
    const output = { value: task?.quantity ?? 0, unit: 'g' };
    await test
      .as(chef)
      .post(`/v1/prep-tasks/${task?.id}/finish`)
      .send({ made: output })
      .expect(200);
    const left = async (itemId: string) =>
      (await db.stockLot.findUnique({ where: { id: lot(itemId).id } }))?.quantity;
    expect(await left(valley)).toBeCloseTo(5000 - 300 * (task?.batches ?? 0), 6);
    expect(await left('ing_butter')).toBe(5000);
  });
});

describe('an own ingredient that adds an allergen', () => {
  const nuts = () =>
    localButter({ ingredientId: nutty, fromDate: '2026-03-20', endsBefore: '2026-04-01' });

  it('holds nowhere until somebody else confirms it, and then from that day at the earliest', async () => {
    const [standing] = (
      await test.as(chef).get(`/v1/sites/${SITE}/recipe-overrides`)
    ).body.items.filter((one: { what: string }) => one.what === 'ingredient');
    await move(standing.id, 'end', standing.rev, {
      endsBefore: '2026-03-15',
      reason: 'Out of milk.',
    }).expect(200);
    const waiting = (await enter(nuts()).expect(201)).body;
    expect(waiting).toMatchObject({
      status: 'waiting',
      addsAllergens: ['Lemon tart: nuts:hazelnut'],
      holds: false,
      notHolding: 'It adds allergens and waits for a second person.',
    });
    expect(await allergensOn('2026-03-20')).toEqual(['milk']);
    const alone = await move(waiting.id, 'confirm', 1).expect(403);
    expect(alone.body.detail).toContain('Somebody other');
    await move(waiting.id, 'confirm', 1, undefined, chefOf('site_other')).expect(403);
    test.clock.set('2026-03-22T05:30:00Z');
    const confirmed = await move(waiting.id, 'confirm', 1, undefined, second).expect(200);
    expect(confirmed.body).toMatchObject({
      status: 'standing',
      fromDate: '2026-03-22',
      confirmedBy: 'usr_second',
    });
    // The days before were served without; what is asked about them now still says so.
    expect(await allergensOn('2026-03-21')).toEqual(['milk']);
    expect(await allergensOn('2026-03-22')).toEqual(['milk', 'nuts:hazelnut']);
    expect(await allergensOn('2026-03-22', 'site_other')).toEqual(['milk']);
    expect(await allergensOn('2026-04-01')).toEqual(['milk']);
    await move(waiting.id, 'confirm', 2, undefined, second).expect(409);
    const trail = await test.database.prisma.auditEvent.findMany({
      where: { subjectKind: 'site-override', subjectId: waiting.id },
      orderBy: { at: 'asc' },
    });
    expect(trail.map(({ action }) => action)).toEqual(['create', 'confirm']);
  });

  it('is turned down with a reason and kept', async () => {
    const waiting = (
      await enter({ ...nuts(), fromDate: '2026-04-05', endsBefore: null }).expect(201)
    ).body;
    await move(waiting.id, 'end', 1, { endsBefore: '2026-04-06', reason: 'x' }).expect(409);
    const refused = await move(
      waiting.id,
      'refuse',
      1,
      { reason: 'Guests are not told.' },
      second,
    ).expect(200);
    expect(refused.body).toMatchObject({ status: 'refused', endReason: 'Guests are not told.' });
    expect(await allergensOn('2026-04-05')).toEqual(['milk']);
    await move(waiting.id, 'refuse', 1, { reason: 'again' }).expect(412);
  });
});

describe('what held on a past date', () => {
  it('is found again as it was after overrides end, prices rise and versions change', async () => {
    // The clock stands on 22 March; the local butter held from 11 to 14 March.
    const asItWas = await costOn('2026-03-12');
    expect(asItWas.drivers.map((d: { name: string }) => d.name)).toContain('Valley butter');
    expect(await driversOn('2026-03-15')).not.toContain('Valley butter');
    const plans = await test.database.prisma.prepPlan.findMany({ select: { id: true } });
    const read = async () => {
      const bodies = [];
      for (const { id } of plans) {
        bodies.push((await test.as(chef).get(`/v1/prep-plans/${id}`).expect(200)).body);
        bodies.push(
          (await test.as(chef).get(`/v1/prep-plans/${id}/ingredient-needs`).expect(200)).body,
        );
      }
      return bodies;
    };
    const before = await read();
    expect(before.length).toBeGreaterThan(0);

    const pack = (await test.as(LEAD).get(`/v1/packs?ingredientId=${valley}`)).body.items[0];
    await test
      .as(PURCHASING)
      .post(`/v1/packs/${pack.id}/prices`)
      .send({ validFrom: '2026-03-22', amount: '40.00' })
      .expect(201);
    const copy = (await test.as(LEAD).post('/v1/recipe-versions/ver_curd/copy').expect(201)).body;
    const { lines, steps } = copy;
    const body = {
      output: copy.output.amount,
      shelfLifeMin: copy.shelfLifeMin,
      lines: lines.map((line: { ingredientId: string; amount: object }) => ({
        ingredientId: line.ingredientId,
        amount: line.ingredientId === 'ing_butter' ? '500 g' : line.amount,
      })),
      steps: steps.map((step: { text: string; workingMin: number; waitingMin: number }) => ({
        text: step.text,
        workingMin: step.workingMin,
        waitingMin: step.waitingMin,
      })),
    };
    const path = `/v1/recipe-versions/${copy.id}`;
    await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(200);
    await test.as(LEAD).post(`${path}/submit`).set('if-match', '"2"').expect(200);
    await test
      .as(LEAD)
      .post(`${path}/publish`)
      .set('if-match', '"3"')
      .send({ firstServiceDate: '2026-03-22' })
      .expect(200);

    expect(await costOn('2026-03-12')).toEqual(asItWas);
    expect(await read()).toEqual(before);
    // The new version gives no leave: the override stands and no longer holds, and says why.
    expect(await driversOn('2026-03-22')).not.toContain('Hazelnut butter');
    expect(await allergensOn('2026-03-22')).toEqual(['milk']);
    const told = (await test.as(LEAD).get('/v1/recipes/rcp_curd/site-overrides?on=2026-03-23')).body
      .items;
    const [lapsed] = told.filter(
      (one: { status: string; fromDate: string }) => one.fromDate === '2026-03-22',
    );
    expect(lapsed).toMatchObject({ status: 'standing', holds: false });
    expect(lapsed.notHolding).toContain('no longer lets a site change it');
  });
});
