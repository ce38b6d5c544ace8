import { benchDayList } from './day-list.bench.ts';
import { benchExplosion } from './explosion.bench.ts';
import { benchForecast } from './forecast.bench.ts';
import { benchOrdering } from './ordering.bench.ts';
import { benchPlans } from './plans.bench.ts';

// `npm run bench`: every benchmark of the project as ratios in one run. They are measured, never
// asserted: the numbers depend on the machine, the ratios hardly.
const rows: string[][] = [];
for (const bench of [benchExplosion, benchForecast, benchOrdering, benchPlans, benchDayList]) {
  for (const { name, ratio, aim, met } of await bench()) {
    rows.push([name, ratio.toFixed(2), String(aim), met ? 'met' : 'not met']);
  }
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
