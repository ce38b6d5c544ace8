import { z } from 'zod';

// What goes from site to site in the demo, and who makes what for whom.

const key = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be lower case words with hyphens');
const text = z.string().trim().min(1);
const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'must be HH:MM');

const way = z.strictObject({
  from: key,
  to: key,
  weekdays: z.array(z.int().min(1).max(7)).min(1),
  leavesAt: clock,
  arrivesAt: clock,
  cutoffHours: z.int().min(0),
  containerLimit: z.int().min(1),
});

const making = z.strictObject({
  component: key,
  maker: key,
  for: z.array(key).min(1),
  container: text,
  holds: z.strictObject({ value: z.number().positive(), unit: z.enum(['g', 'kg', 'each']) }),
  reason: text,
});

export type DemoWay = z.infer<typeof way>;
export type DemoMaking = z.infer<typeof making>;

export const betweenSitesFile = z.strictObject({
  note: text,
  ways: z.array(way),
  makings: z.array(making),
});

/** One sentence for each site or component that is not there, and each making without a way. */
export function betweenSitesFaults(
  siteKeys: readonly string[],
  componentKeys: readonly string[],
  { ways, makings }: { readonly ways: readonly DemoWay[]; readonly makings: readonly DemoMaking[] },
): string[] {
  const sites = [
    ...ways.flatMap((one) => [one.from, one.to]),
    ...makings.flatMap((one) => [one.maker, ...one.for]),
  ];
  return [
    ...sites
      .filter((site) => !siteKeys.includes(site))
      .map((site) => `Something goes from or to '${site}', which is unknown.`),
    ...makings.flatMap((one) => [
      ...(componentKeys.includes(one.component)
        ? []
        : [`'${one.component}' is made for others and is no component.`]),
      ...one.for
        .filter((to) => !ways.some((way_) => way_.from === one.maker && way_.to === to))
        .map((to) => `${one.component}: there is no way from ${one.maker} to ${to}.`),
    ]),
  ];
}
