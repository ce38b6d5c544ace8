import { benchDayList } from './day-list.bench.ts';
import { benchExplosion } from './explosion.bench.ts';
import { benchForecast } from './forecast.bench.ts';
import { benchMorning } from './morning.bench.ts';
import { benchNight } from './night.bench.ts';
import { benchOrdering, type BenchResult } from './ordering.bench.ts';
import { benchPlans } from './plans.bench.ts';
import { benchStart } from './start.bench.ts';

// `npm run bench`: every benchmark of the project as ratios in one run and one table, or those that are
// named. They are measured, never asserted: the numbers depend on the machine, the ratios hardly.

const BENCHES: Readonly<Record<string, () => Promise<BenchResult[]>>> = {
  explosion: benchExplosion,
  forecast: benchForecast,
  ordering: benchOrdering,
  plans: benchPlans,
  'day-list': benchDayList,
  start: benchStart,
  night: benchNight,
  morning: benchMorning,
};

const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !(name in BENCHES));
if (unknown.length > 0) {
  console.error(`There is no ${unknown.join(', ')}; there are ${Object.keys(BENCHES).join(', ')}.`);
  process.exit(1);
}

const rows: string[][] = [];
for (const [name, bench] of Object.entries(BENCHES)) {
  if (asked.length > 0 && !asked.includes(name)) continue;
  const began = performance.now();
  for (const { name: what, ratio, aim, met } of await bench()) {
    rows.push([what, ratio.toFixed(2), String(aim), met ? 'met' : 'not met']);
  }
  console.error(`${name}: ${((performance.now() - began) / 60_000).toFixed(1)} min`);
}
const heads = ['measured', 'ratio', 'aim', ''];
const widths = heads.map((head, i) =>
  Math.max(head.length, ...rows.map((row) => row[i]?.length ?? 0)),
);
for (const row of [heads, ...rows]) {
  console.log(
    row
      .map((cell, i) => cell.padEnd(widths[i] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}
