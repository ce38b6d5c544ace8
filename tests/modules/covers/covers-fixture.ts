import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

/** Two sites with a service each, and one dish. Clock: Tuesday 10 March 2026, 06:30 in Rome. */
export interface CoversFixture {
  readonly test: TestApp;
  readonly siteId: string;
  readonly dinnerId: string;
  readonly otherSiteId: string;
  readonly otherServiceId: string;
  readonly dishId: string;
  lead(): ReturnType<TestApp['as']>;
  chef(): ReturnType<TestApp['as']>;
  otherChef(): ReturnType<TestApp['as']>;
  close(): Promise<void>;
}

export async function startCoversFixture(): Promise<CoversFixture> {
  const test = await startTestApp('2026-03-10T05:30:00Z');
  const site = { zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] } as const;
  const service = {
    startsAt: '19:00',
    endsAt: '22:30',
    weekdays: [2, 3, 4, 5, 6],
    seats: 40,
    activeFrom: null,
    activeTo: null,
  };
  const { sites } = test.services;
  const boathouse = await sites.create(LEAD, { ...site, name: 'Boathouse' });
  const orangery = await sites.create(LEAD, { ...site, name: 'Orangery' });
  const dinner = await sites.createService(boathouse.id, { ...service, name: 'Dinner' });
  const lunch = await sites.createService(orangery.id, { ...service, name: 'Lunch' });
  const dishId = 'rcp_walnut-tart';
  await test.database.prisma.recipe.create({
    data: { id: dishId, kind: 'dish', name: 'Walnut tart', baseUnit: 'each', station: 'pass' },
  });
  return {
    test,
    siteId: boathouse.id,
    dinnerId: dinner.id,
    otherSiteId: orangery.id,
    otherServiceId: lunch.id,
    dishId,
    lead: () => test.as(LEAD),
    chef: () => test.as(chefOf(boathouse.id)),
    otherChef: () => test.as(chefOf(orangery.id)),
    close: () => test.close(),
  };
}
