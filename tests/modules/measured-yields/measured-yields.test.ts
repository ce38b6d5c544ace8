import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, type RecipeBook } from '../../helpers/recipe-book.ts';
import {
  ADMIN,
  chefOf,
  LEAD,
  PURCHASING,
  startTestApp,
  type TestApp,
} from '../../helpers/test-app.ts';

// Synthetic weighings whose mean can be followed by hand. The clock: 2026-03-10T05:30Z.
let test: TestApp;
let book: RecipeBook;
let quay = '';
let hill = '';
let plum = '';
const compote = { recipeId: '', versionId: '' };
let lineId = '';
let boilId = '';

const site = async (name: string) =>
  (
    await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ name, zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] })
      .expect(201)
  ).body.id as string;

const g = (value: number) => ({ value, unit: 'g' });
const stoning = (before: number, after: number, more: object = {}) => ({
  versionId: compote.versionId,
  target: 'line',
  lineId,
  kind: 'stone',
  before: g(before),
  after: g(after),
  measuredOn: '2026-03-09',
  ...more,
});
const record = (siteId: string, body: object) =>
  test.as(chefOf(siteId)).post(`/v1/sites/${siteId}/measured-yields`).send(body);
const yieldsOf = async (actor = LEAD) =>
  (await test.as(actor).get(`/v1/recipes/${compote.recipeId}/measured-yields`).expect(200)).body;
const weighedAs = async (kind: string, actor = LEAD) =>
  (await yieldsOf(actor)).weighed.find((one: { kind: string }) => one.kind === kind);

beforeAll(async () => {
  test = await startTestApp();
  book = recipeBook(test);
  [quay, hill] = [await site('Quay'), await site('Hill')];
  plum = await book.ingredient('Plum', { trimYield: { fraction: 0.95 } });
  Object.assign(
    compote,
    await book.published('Plum compote', 'component', [{ ingredientId: plum, amount: '1 kg' }], {
      output: g(900),
      steps: [
        { text: 'Stone the plums.', workingMin: 20 },
        {
          text: 'Boil down.',
          workingMin: 10,
          yields: [{ kind: 'evaporation', fraction: 0.9, source: 'habit' }],
        },
      ],
    }),
  );
  const version = (await test.as(LEAD).get(`/v1/recipe-versions/${compote.versionId}`)).body;
  lineId = version.lines[0].id;
  boilId = version.steps[1].id;
});
afterAll(() => test.close());

describe('a weighing', () => {
  it('is recorded by a chef at their own site, in any unit of one dimension, and read back as recorded', async () => {
    const made = await record(quay, {
      ...stoning(1000, 0),
      after: { value: 0.9, unit: 'kg' },
      note: 'ripe',
    }).expect(201);
    expect(made.body).toMatchObject({
      label: 'Plum',
      before: g(1000),
      after: g(900),
      fraction: 0.9,
      measuredBy: 'Cleo Chef',
      status: 'recorded',
      note: 'ripe',
    });
    const read = await test
      .as(chefOf(quay))
      .get(made.headers.location ?? '')
      .expect(200);
    expect(read.body).toEqual(made.body);
    await test
      .as(chefOf(hill))
      .get(made.headers.location ?? '')
      .expect(403);
    await test
      .as(chefOf(hill))
      .post(`/v1/sites/${quay}/measured-yields`)
      .send(stoning(1, 1))
      .expect(403);
    await test
      .as(PURCHASING)
      .post(`/v1/sites/${quay}/measured-yields`)
      .send(stoning(1, 1))
      .expect(403);
  });

  it('is refused with the field where it cannot be, and nothing is kept', async () => {
    const count = () => test.database.prisma.measuredYield.count();
    const before = await count();
    const batch = {
      versionId: compote.versionId,
      target: 'batch',
      kind: 'batch',
      measuredOn: '2026-03-09',
    };
    const cases: [object, number, string][] = [
      [stoning(100, 0), 422, '/after'],
      [stoning(100, 101), 400, '/after'],
      [stoning(100, 90, { after: { value: 90, unit: 'mL' } }), 422, '/after/unit'],
      [stoning(100, 90, { before: null }), 400, '/before'],
      [stoning(0, 0), 400, '/before/value'],
      [stoning(100, 2001, { kind: 'cooking' }), 422, '/after'],
      [stoning(100, 90, { measuredOn: '2026-03-12' }), 400, '/measuredOn'],
      [stoning(100, 90, { measuredOn: '2026-02-30' }), 400, '/measuredOn'],
      [stoning(100, 90, { versionId: 'ver_none' }), 400, '/versionId'],
      [stoning(100, 90, { lineId: 'line_none' }), 400, '/lineId'],
      [stoning(100, 90, { kind: 'batch' }), 400, '/kind'],
      [stoning(100, 90, { stepId: boilId }), 400, '/stepId'],
      [stoning(100, 90, { target: 'step', lineId: null, stepId: 'step_none' }), 400, '/stepId'],
      [{ ...batch, after: g(800) }, 400, '/batches'],
      [{ ...batch, after: g(800), batches: 1, before: g(900) }, 400, '/before'],
      [{ ...batch, after: { value: 2, unit: '{each}' }, batches: 1 }, 422, '/after/unit'],
    ];
    for (const [body, status, pointer] of cases) {
      const refused = await record(quay, body);
      expect([pointer, refused.status, refused.body.issues?.[0]?.pointer]).toEqual([
        pointer,
        status,
        pointer,
      ]);
    }
    await test
      .as(LEAD)
      .post('/v1/sites/site_none/measured-yields')
      .send(stoning(100, 90))
      .expect(404);
    expect(await count()).toBe(before);
  });

  it('is kept with the reason when withdrawn or rejected, and counts for nothing then', async () => {
    const slip = (await record(quay, stoning(1000, 200)).expect(201)).body;
    const path = `/v1/measured-yields/${slip.id}`;
    const reason = { reason: 'Read the wrong scale.' };
    await test.as(chefOf(quay)).post(`${path}/withdraw`).send(reason).expect(428);
    await test.as(LEAD).post(`${path}/withdraw`).set('if-match', '"1"').send(reason).expect(403);
    await test
      .as(chefOf(quay))
      .post(`${path}/reject`)
      .set('if-match', '"1"')
      .send(reason)
      .expect(403);
    const gone = await test
      .as(chefOf(quay))
      .post(`${path}/withdraw`)
      .set('if-match', '"1"')
      .send(reason)
      .expect(200);
    expect(gone.body).toMatchObject({ status: 'withdrawn', decidedBy: 'Cleo Chef', ...reason });
    await test.as(LEAD).post(`${path}/reject`).set('if-match', '"1"').send(reason).expect(412);
    await test.as(LEAD).post(`${path}/reject`).set('if-match', '"2"').send(reason).expect(409);
    const odd = (await record(quay, stoning(1000, 300)).expect(201)).body;
    await test
      .as(LEAD)
      .post(`/v1/measured-yields/${odd.id}/reject`)
      .set('if-match', '"1"')
      .send({ reason: 'Unripe fruit.' })
      .expect(200);
    const { spread, samples } = await weighedAs('stone');
    expect(spread).toMatchObject({ n: 1, mean: 0.9, sd: null });
    expect(samples.map((s: { status: string; reason: string }) => [s.status, s.reason])).toEqual([
      ['recorded', null],
      ['withdrawn', 'Read the wrong scale.'],
      ['rejected', 'Unripe fruit.'],
    ]);
  });
});

describe('what a recipe’s weighings say', () => {
  it('is mean and spread over all sites and by site; a chef sees their own site’s only', async () => {
    await record(quay, stoning(1000, 920)).expect(201);
    await record(hill, stoning(500, 440)).expect(201);
    const all = await weighedAs('stone');
    // 0.90, 0.92 and 0.88: mean 0.90, sample standard deviation 0.02.
    expect(all.spread.n).toBe(3);
    expect(all.spread.mean).toBeCloseTo(0.9, 12);
    expect(all.spread.sd).toBeCloseTo(0.02, 12);
    // Student's t for 2 degrees of freedom, 4.303 (NIST/SEMATECH e-Handbook 1.3.6.7.2).
    expect(all.spread.interval95[0]).toBeCloseTo(0.9 - (4.303 * 0.02) / Math.sqrt(3), 12);
    expect(all.sites.map((s: { n: number }) => s.n)).toEqual([2, 1]);
    expect(all.proposal).toMatchObject({ proposedFraction: 0.9, n: 3, change: null });
    const own = await weighedAs('stone', chefOf(hill));
    expect(own.spread).toMatchObject({ n: 1, mean: 0.88 });
    expect(own.proposal).toBeNull();
    expect(own.noProposal).toContain('at least 3');
    const page = await test.as(chefOf(quay)).get(`/v1/sites/${quay}/measured-yields?limit=2`);
    expect(page.body.items).toHaveLength(2);
    expect(page.body.nextCursor).toBeDefined();
  });

  it('is accepted by the lead into a draft, as proposed, with a line in the audit trail', async () => {
    const path = `/v1/recipes/${compote.recipeId}/measured-yields/accept`;
    const { targetKey, kind } = await weighedAs('stone');
    const body = { targetKey, kind, proposedFraction: 0.9 };
    await test.as(chefOf(quay)).post(path).send(body).expect(403);
    const stale = await test
      .as(LEAD)
      .post(path)
      .send({ ...body, proposedFraction: 0.91 });
    expect([stale.status, stale.body.issues[0].pointer]).toEqual([409, '/proposedFraction']);
    const accepted = await test.as(LEAD).post(path).send(body).expect(201);
    expect(accepted.body).toMatchObject({
      from: null,
      to: 0.9,
      versionNumber: 2,
      versionStatus: 'draft',
    });
    const draft = (await test.as(LEAD).get(accepted.headers.location ?? '')).body;
    // The ingredient's own trim yield stands before the stones: 0.95 × 0.90.
    expect(draft.lines[0].yields).toMatchObject([
      { kind: 'trim', fraction: 0.95 },
      { kind: 'stone', fraction: 0.9, source: 'measured, 3 weighings, 2026-03-09 to 2026-03-09' },
    ]);
    expect(draft.lines[0].trimYield).toBeCloseTo(0.855, 12);
    expect(draft.output.quantity).toBe(900);
    const after = await weighedAs('stone');
    expect(after.currentFraction).toBe(0.9);
    expect(after.proposal.advice).toContain('no need to change');
    expect(after.samples.filter((s: { status: string }) => s.status === 'accepted')).toHaveLength(
      3,
    );
    const again = await test.as(LEAD).post(path).send(body).expect(409);
    expect(again.body.detail).toContain('already');
    const [entry] = await test.database.prisma.auditEvent.findMany({
      where: { subjectKind: 'measured-yield', action: 'accept' },
    });
    expect(entry).toMatchObject({
      actorId: LEAD.id,
      subjectId: draft.id,
      detail: { from: null, to: 0.9, weighings: 3, label: 'Plum' },
    });
  });

  it('changes what a batch gives by the change of a step, in the same open draft', async () => {
    const boiling = (before: number, after: number) => ({
      ...stoning(before, after),
      target: 'step',
      lineId: null,
      stepId: boilId,
      kind: 'evaporation',
    });
    for (const after of [850, 860, 855]) await record(hill, boiling(1000, after)).expect(201);
    const summary = await weighedAs('evaporation');
    expect(summary).toMatchObject({
      label: 'Step 2: Boil down.',
      currentFraction: 0.9,
      proposal: { proposedFraction: 0.855, clearlyDifferent: true },
    });
    const { targetKey, kind } = summary;
    const accepted = await test
      .as(ADMIN)
      .post(`/v1/recipes/${compote.recipeId}/measured-yields/accept`)
      .send({ targetKey, kind, proposedFraction: 0.855 })
      .expect(201);
    // 900 g × 0.855 / 0.9 = 855 g.
    expect(accepted.body).toMatchObject({ versionNumber: 2, outputBefore: 900, outputAfter: 855 });
  });

  it('of whole batches changes what a batch gives, and counts against that word only', async () => {
    const weighed = (after: number, versionId: string) => ({
      versionId,
      target: 'batch',
      kind: 'batch',
      after: g(after),
      batches: 2,
      measuredOn: '2026-03-09',
    });
    // The published version says 900 g; the draft says 855 g by now: those count for what said 900 g.
    await record(quay, weighed(1750, compote.versionId)).expect(201);
    const old = await weighedAs('batch');
    expect(old.proposal).toBeNull();
    expect(old.noProposal).toContain('By now the recipe says otherwise');
    const draftId = (await yieldsOf()).workingVersion.id;
    for (const after of [1624.5, 1624.5, 1624.5]) {
      await record(quay, weighed(after, draftId)).expect(201);
    }
    const batches = (await yieldsOf()).weighed.filter((w: { kind: string }) => w.kind === 'batch');
    const { targetKey, kind, proposal } = batches.at(-1);
    expect(proposal.proposedFraction).toBe(0.95);
    const accepted = await test
      .as(LEAD)
      .post(`/v1/recipes/${compote.recipeId}/measured-yields/accept`)
      .send({ targetKey, kind, proposedFraction: 0.95 })
      .expect(201);
    expect(accepted.body).toMatchObject({ outputBefore: 855, outputAfter: 812.3 });
    // Weighed against 855 g; the draft says 812.3 g now, so the same weighings propose nothing more.
    const done = (await yieldsOf()).weighed.filter((w: { kind: string }) => w.kind === 'batch');
    expect(done.map((w: { proposal: unknown }) => w.proposal)).toEqual([null, null]);
  });

  it('reaches plates only when the draft is published: what is bought grows from that date', async () => {
    const draftId = (await yieldsOf()).workingVersion.id;
    const plate = await book.published('Plum plate', 'dish', [
      { componentId: compote.recipeId, amount: '90 g' },
    ]);
    const bought = async (on: string) => {
      const cost = await test
        .as(LEAD)
        .get(`/v1/sites/${quay}/dishes/${plate.recipeId}/cost?on=${on}`)
        .expect(200);
      return cost.body.missing[0].quantity as number;
    };
    await book.publish(draftId, '2026-03-20');
    // 90 g of 900 g from 1 kg edible at 0.95; then 90 g of 812.3 g at 0.855.
    expect(await bought('2026-03-19')).toBeCloseTo((90 / 900) * (1000 / 0.95), 9);
    expect(await bought('2026-03-20')).toBeCloseTo((90 / 812.3) * (1000 / 0.855), 9);
  });
});
