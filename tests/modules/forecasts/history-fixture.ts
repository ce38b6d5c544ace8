import { addDays, weekdayOf } from '../../../api/core/calendar/index.ts';
import { fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { startTestApp, type TestApp } from '../../helpers/test-app.ts';

/** The kitchen of the tests with twelve weeks behind it. Clock: Tuesday 10 March 2026, 06:30 in Rome. */
export const LUNCH = 'svc_lunch';
/** The dinner of another site. */
export const OTHER_DINNER = 'svc_otherdinner';
export const TODAY = '2026-03-10';
const WEEKS = 12;

const date = (d: string): Date => new Date(`${d}T00:00:00Z`);

/** Covers by weekday, Monday first, with a ripple that repeats every eleven days. Invented. */
const BY_WEEKDAY = [30, 32, 34, 38, 52, 56, 44];
export const coversOn = (day: string, i: number): number =>
  (BY_WEEKDAY[weekdayOf(day) - 1] ?? 30) + ((i * 7) % 11) - 5;

export async function startWithHistory(): Promise<TestApp> {
  const test = await startTestApp();
  await fillKitchen(test);
  await addTwelveWeeks(test);
  return test;
}

/** Adds a lunch, a dinner of another site, and twelve weeks of each to the kitchen of the tests. */
export async function addTwelveWeeks(test: Pick<TestApp, 'database'>): Promise<void> {
  const db = test.database.prisma;
  const every = [1, 2, 3, 4, 5, 6, 7];
  const service = { startsAt: '19:00', endsAt: '22:30', weekdays: every, seats: 60 };
  await db.service.createMany({
    data: [
      { ...service, id: LUNCH, siteId: SITE, name: 'Lunch', startsAt: '12:00', endsAt: '14:30' },
      { ...service, id: OTHER_DINNER, siteId: 'site_other', name: 'Dinner' },
    ],
  });
  for (const [serviceId, siteId] of [
    [SERVICE, SITE],
    [LUNCH, SITE],
    [OTHER_DINNER, 'site_other'],
  ] as const) {
    await addHistory(test, serviceId, siteId);
  }
}

/** Twelve weeks of bookings seven and one days ahead, and what came. */
async function addHistory(
  { database }: Pick<TestApp, 'database'>,
  serviceId: string,
  siteId: string,
) {
  const db = database.prisma;
  const days = Array.from({ length: WEEKS * 7 }, (_, i) => addDays(TODAY, i - WEEKS * 7));
  await db.serviceOutcome.createMany({
    data: days.map((day, i) => ({
      id: `out_${serviceId.slice(4)}-${day}`,
      siteId,
      serviceId,
      serviceDate: date(day),
      covers: coversOn(day, i),
    })),
  });
  await db.coversSnapshot.createMany({
    data: days.flatMap((day, i) =>
      [7, 1].map((before) => ({
        id: `snap_${serviceId.slice(4)}-${day}-${before}`,
        siteId,
        serviceId,
        serviceDate: date(day),
        takenAt: new Date(`${addDays(day, -before)}T06:00:00Z`),
        booked: Math.round(coversOn(day, i) * (before === 7 ? 0.35 : 0.75)),
      })),
    ),
  });
}
