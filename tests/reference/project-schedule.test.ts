import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { shortestSchedule } from '../../api/core/schedule/index.ts';
import { makespanBound, projectNetwork, tails } from '../../api/core/schedule/project.ts';
import type { Project } from '../../api/core/schedule/project.ts';
import { parallelSchedule, serialSchedule } from '../../api/core/schedule/schedule-generation.ts';
import { unwrap } from '../../api/core/shared/result.ts';
import { expectCarriedOut } from '../core/schedule/project-cases.ts';

// Instance j301_1 of the project scheduling library PSPLIB, set j30 (Kolisch and Sprecher 1997, "PSPLIB
// – a project scheduling problem library", European Journal of Operational Research 96: 205–216):
// 30 activities between a start and an end activity, four renewable resources. The optimum 43 is the
// library's; a time-indexed integer programme gave it independently (42 has no solution).
const given = JSON.parse(
  readFileSync(new URL('../fixtures/schedule/j301_1.json', import.meta.url), 'utf8'),
) as { cap: number[]; dur: number[]; req: number[][]; succ: number[][] };
const project: Project = {
  capacities: given.cap,
  activities: given.dur.map((duration, i) => ({
    id: String(i + 1),
    duration,
    demands: given.req[i] ?? [],
    successors: (given.succ[i] ?? []).map(String),
  })),
};
const network = unwrap(projectNetwork(project));

it('the published instance is scheduled at its optimum of 43', () => {
  const found = unwrap(shortestSchedule(project));
  expect(found.makespan).toBe(43);
  expectCarriedOut(project, found);
});

it('its longest chain is 38, and no resource asks for more', () => {
  expect(makespanBound(network)).toBe(38);
});

it('the rule "least latest finish" gives 49 in serial and 43 in parallel generation', () => {
  // Worked out apart from this code by the same rule, ties to the lower index.
  const latestFinish = tails(network).map((tail, i) => tail - (given.dur[i] ?? 0));
  expect(serialSchedule(network, latestFinish).makespan).toBe(49);
  expect(parallelSchedule(network, latestFinish).makespan).toBe(43);
});

it('taking activities by their number gives 49 in serial generation', () => {
  const byNumber = given.dur.map((_, i) => -i);
  expect(serialSchedule(network, byNumber).makespan).toBe(49);
});
