import { describe, expect, it } from 'vitest';
import { app, buyer, day, planAsksFor, run } from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import {
  accept,
  carries,
  ordersOf,
  OTHER,
  otherAsksFor,
  useJointBuying,
  workOut,
} from '../../helpers/joint-buying.ts';

// Both sites need butter of Friday 13 March; the supplier can bring it from Wednesday 11 on. The way
// from one to the other leaves every day at seven, so goods go on Thursday or on Friday itself.
useJointBuying();

const prisma = () => app().database.prisma;
const way = (data: object) => prisma().transferRoute.updateMany({ data });
const closed = (siteId: string, ...dates: string[]) =>
  prisma().closedDay.createMany({
    data: dates.map((date) => ({
      id: `cld_${siteId}_${date}`,
      siteId,
      date: day(date),
      reason: '',
    })),
  });
/** A component that goes from the buying site to the other on a trip, in grams. */
const goesAlready = (leaveDate: string, quantity: number, componentId = 'rcp_curd') =>
  prisma().transfer.create({
    data: {
      id: `trf_${leaveDate}`,
      productionId: 'cpr_t',
      componentId,
      versionId: 'ver_curd',
      fromSiteId: SITE,
      toSiteId: OTHER,
      leaveDate: day(leaveDate),
      leavesAt: new Date(`${leaveDate}T06:00:00Z`),
      arrivesAt: new Date(`${leaveDate}T07:00:00Z`),
      containerName: 'box',
      containerQuantity: quantity,
      quantity,
      serviceDate: day(leaveDate),
      neededUntil: day('2026-03-14'),
      lotUntil: day('2026-03-14'),
      useBy: day('2026-03-15'),
      serves: [],
      explainedIn: 'plan_o',
      node: 'node_o',
      status: 'planned',
    },
  });
const tripsOf = (purchase: { carries: { tripDate: string; amount: { value: number } }[] }) =>
  purchase.carries
    .map((carry) => [carry.tripDate, Math.round(carry.amount.value * 100) / 100])
    .sort();
const cost = (purchase: { togetherCost: { amount: string } }) => purchase.togetherCost.amount;

describe('the mass that a trip takes', () => {
  it('is kept: what one trip has no room for goes with another, and both are paid', async () => {
    await way({ massLimitG: 200 });
    const purchase = await workOut();
    const trips = tripsOf(purchase);
    expect(trips.map(([date]) => date)).toEqual(['2026-03-12', '2026-03-13']);
    for (const [, grams] of trips) expect(grams).toBeLessThanOrEqual(200);
    expect(trips.reduce((sum, [, grams]) => sum + Number(grams), 0)).toBe(300);
    // One kilo, one delivery, two trips.
    expect(cost(purchase)).toBe('23.00');
  });

  it('is less by what one site makes for the other and sends with it', async () => {
    await way({ massLimitG: 320 });
    expect(tripsOf(await workOut())).toHaveLength(1);
    await goesAlready('2026-03-13', 250);
    await goesAlready('2026-03-12', 220);
    const purchase = await workOut();
    // Seventy grams are left on Friday and a hundred on Thursday: a third of it is bought there.
    for (const [date, grams] of tripsOf(purchase)) {
      expect(grams).toBeLessThanOrEqual(date === '2026-03-13' ? 70 : 100);
    }
    expect(purchase.choice).toBe('separate');
  });

  it('is less by goods of an earlier joint purchase on the same trip', async () => {
    await way({ massLimitG: 320 });
    const first = await workOut();
    await accept(first).expect(200);
    const [planned] = await carries();
    expect(planned.amount.value).toBe(300);
    await otherAsksForMore('2026-03-13', 400);
    const second = await workOut();
    const again = tripsOf(second);
    for (const [date, grams] of again) {
      if (date === planned.tripDate) expect(grams).toBeLessThanOrEqual(20);
    }
    expect(again.reduce((sum, [, grams]) => sum + Number(grams), 0)).toBe(100);
  });

  it('is not asked for twice: a later joint purchase adds what is new and leaves the first as it was', async () => {
    const first = await workOut();
    await accept(first).expect(200);
    await otherAsksForMore('2026-03-13', 800);
    const second = await workOut();
    expect(second).toMatchObject({ choice: 'together' });
    expect(tripsOf(second).map(([, grams]) => grams)).toEqual([500]);
    await accept(second).expect(200);
    const all = await carries();
    expect(all.map((carry: { amount: { value: number } }) => carry.amount.value).sort()).toEqual([
      300, 500,
    ]);
    // Seven hundred here and eight hundred there: two kilos in one delivery, none at the other site.
    expect(await ordersOf(OTHER)).toEqual([]);
    const orders = await ordersOf(SITE);
    expect(orders.flatMap((order) => order.lines.map((line) => line.packs))).toEqual([2]);
    expect(orders[0]?.lines[0]?.needQuantity).toBeCloseTo(1500, 3);
  });

  it('lets nothing beside a component of which nobody knows the weight', async () => {
    await way({ massLimitG: 5000 });
    // Tart shells are counted, and what one weighs is not on record.
    await goesAlready('2026-03-12', 12, 'rcp_shell');
    await goesAlready('2026-03-13', 12, 'rcp_shell');
    const purchase = await workOut();
    expect(purchase).toMatchObject({ choice: 'separate', carries: [] });
  });

  it('lets no goods on of which nobody knows the weight', async () => {
    await way({ massLimitG: 5000 });
    await prisma().ingredient.update({ where: { id: 'ing_butter' }, data: { baseUnit: 'ml' } });
    expect(await workOut()).toMatchObject({ choice: 'separate', carries: [] });
    await prisma().ingredient.update({
      where: { id: 'ing_butter' },
      data: { densityGPerMl: 0.9 },
    });
    expect(await workOut()).toMatchObject({ choice: 'together' });
    await prisma().ingredient.update({
      where: { id: 'ing_butter' },
      data: { baseUnit: 'g', densityGPerMl: null },
    });
  });
});

/** The other site needs more than it did: its plan asks for so much in all. */
const otherAsksForMore = (date: string, quantity: number) =>
  otherAsksFor(date, quantity, 'plan_more');

describe('the days on which something is driven', () => {
  it('are those of the way: no other weekday, and no date that is left out', async () => {
    await way({ weekdays: [4] });
    expect(tripsOf(await workOut())).toEqual([['2026-03-12', 300]]);
    await way({ weekdays: [1, 2, 3, 4, 5, 6, 7], noTripDates: [day('2026-03-12')] });
    expect(tripsOf(await workOut())).toEqual([['2026-03-13', 300]]);
    await way({ weekdays: [6, 7], noTripDates: [] });
    expect(await workOut()).toMatchObject({ choice: 'separate', carries: [] });
  });

  it('are none on which the site that receives is closed, or the one that sends', async () => {
    await closed(OTHER, '2026-03-13');
    expect(tripsOf(await workOut())).toEqual([['2026-03-12', 300]]);
    await closed(SITE, '2026-03-12');
    expect(await workOut()).toMatchObject({ choice: 'separate', carries: [] });
  });

  it('are none whose hour of loading is past', async () => {
    // It is Tuesday; what goes on Friday is fixed on Tuesday at seven, an hour from now.
    await way({ weekdays: [5], cutoffHours: 72 });
    expect(tripsOf(await workOut())).toEqual([['2026-03-13', 300]]);
    await way({ cutoffHours: 75 });
    await buyer().post('/v1/joint-purchases').send({ days: 4 }).expect(400);
  });
});

describe('a day on which the kitchen does not work', () => {
  it('brings no delivery, because nobody takes it in: neither bought alone nor together', async () => {
    const dates = async () => (await ordersOf(SITE)).map((order) => order.deliveryDate);
    await planAsksForOnly('2026-03-12');
    await run();
    expect(await dates()).toEqual(['2026-03-12']);
    await closed(SITE, '2026-03-12');
    await run();
    expect(await dates()).toEqual(['2026-03-11']);
    const purchase = await workOut();
    const days = [...purchase.separate, ...purchase.together]
      .filter((order: { site: { id: string } }) => order.site.id === SITE)
      .map((order: { deliveryDate: string }) => order.deliveryDate);
    expect(days.length).toBeGreaterThan(0);
    expect(days).not.toContain('2026-03-12');
  });
});

/** The buying site needs its butter on one date. */
async function planAsksForOnly(date: string): Promise<void> {
  await prisma().prepPlan.deleteMany({ where: { siteId: SITE } });
  await prisma().explanation.deleteMany({ where: { subjectId: 'plan_t' } });
  await planAsksFor({ [date]: 700 });
}
