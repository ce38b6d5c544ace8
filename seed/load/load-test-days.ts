import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import { addDays } from '../../api/core/calendar/index.ts';
import { lineKeys, stepKeys } from '../../api/modules/recipes/index.ts';
import type { Db } from '../../api/persistence/database.ts';
import { fromServiceDate } from '../../api/persistence/row-values.ts';
import { ingredientId, recipeId, siteId } from './demo-keys.ts';

const FILE = path.join(
  path.dirname(fileURLToPath(import.meta.url)),
  '..',
  'data',
  'test-days.json',
);

const Days = z.number().int().min(0);
const TestDays = z.strictObject({
  weighings: z.array(
    z.strictObject({
      site: z.string(),
      recipe: z.string(),
      ingredient: z.string(),
      kind: z.enum(['trim', 'peel', 'stone', 'cooking']),
      beforeG: z.number().positive(),
      afterG: z.number().positive(),
      daysAgo: Days,
      by: z.string(),
      note: z.string().nullable(),
      withdrawn: z.string().optional(),
    }),
  ),
  siteWays: z.array(
    z.strictObject({
      site: z.string(),
      recipe: z.string(),
      /** Counted from 1. */
      step: z.number().int().positive(),
      temperatureC: z.number(),
      daysAgo: Days,
      by: z.string(),
      reason: z.string(),
    }),
  ),
});

/** What was weighed on test days, and where an oven is set otherwise, each recipe giving leave for it. */
export async function loadTestDays(db: Db, today: string): Promise<void> {
  const { weighings, siteWays } = TestDays.parse(JSON.parse(readFileSync(FILE, 'utf8')));
  for (const [i, weighing] of weighings.entries()) {
    const version = await contentsOf(db, weighing.recipe);
    const itemId = ingredientId(weighing.ingredient);
    const at = version.lines.findIndex((line) => line.ingredientId === itemId);
    const targetKey = lineKeys(version.lines)[at];
    if (targetKey === undefined) {
      throw new Error(`${weighing.recipe} has no line of ${weighing.ingredient}.`);
    }
    const { name } = await db.ingredient.findUniqueOrThrow({ where: { id: itemId } });
    const measuredOn = addDays(today, -weighing.daysAgo);
    const evening = new Date(`${measuredOn}T16:00:00Z`);
    await db.measuredYield.create({
      data: {
        id: `myd_demo-${i + 1}`,
        siteId: siteId(weighing.site),
        recipeId: version.recipeId,
        versionId: version.id,
        target: 'line',
        targetKey,
        label: name,
        kind: weighing.kind,
        before: weighing.beforeG,
        after: weighing.afterG,
        unit: 'g',
        measuredOn: fromServiceDate(measuredOn),
        measuredBy: weighing.by,
        recordedBy: 'demo',
        recordedAt: evening,
        note: weighing.note,
        ...(weighing.withdrawn === undefined
          ? {}
          : {
              status: 'withdrawn',
              reason: weighing.withdrawn,
              decidedBy: weighing.by,
              decidedAt: evening,
            }),
      },
    });
  }
  for (const [i, way] of siteWays.entries()) {
    const version = await contentsOf(db, way.recipe);
    const step = version.steps[way.step - 1];
    const targetKey = stepKeys(version.steps)[way.step - 1];
    if (!step || targetKey === undefined) {
      throw new Error(`${way.recipe} has no step ${way.step}.`);
    }
    await db.recipeStep.update({ where: { id: step.id }, data: { siteMay: ['temperature'] } });
    const from = addDays(today, -way.daysAgo);
    await db.siteOverride.create({
      data: {
        id: `sov_demo-${i + 1}`,
        siteId: siteId(way.site),
        recipeId: version.recipeId,
        what: 'temperature',
        targetKey,
        label: `Step ${way.step}: ${step.text}`,
        temperatureC: way.temperatureC,
        fromDate: fromServiceDate(from),
        reason: way.reason,
        status: 'standing',
        allergens: [],
        enteredBy: way.by,
        enteredAt: new Date(`${from}T06:00:00Z`),
      },
    });
  }
}

function contentsOf(db: Db, recipe: string) {
  return db.recipeVersion.findFirstOrThrow({
    where: { recipeId: recipeId(recipe), status: 'published' },
    orderBy: { number: 'desc' },
    include: {
      lines: { orderBy: { position: 'asc' } },
      steps: { orderBy: { position: 'asc' } },
    },
  });
}
