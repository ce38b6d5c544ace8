import type { Actor } from '../../api/modules/platform/index.ts';
import { ADMIN, LEAD, type TestApp } from './test-app.ts';

/** Writes ingredients, recipes and versions over the API, for tests of other things. */
export interface RecipeBook {
  ingredient(name: string, body?: object): Promise<string>;
  recipe(name: string, kind: 'component' | 'dish', baseUnit?: string): Promise<string>;
  draft(recipeId: string, lines: readonly object[], body?: object): Promise<string>;
  /** Submits as the lead and publishes as somebody else, so that allergens are confirmed. */
  publish(versionId: string, firstServiceDate: string, by?: Actor): Promise<void>;
  /** A recipe with a published version. */
  published(
    name: string,
    kind: 'component' | 'dish',
    lines: readonly object[],
    body?: { firstServiceDate?: string; baseUnit?: string; [field: string]: unknown },
  ): Promise<{ recipeId: string; versionId: string }>;
}

const NOTHING_DECLARED_IN_IT = { contains: [], mayContain: [] };

export const oneStep = [{ text: 'Make it.', workingMin: 20, waitingMin: 60 }];

/** @returns a recipe book over a test application */
export function recipeBook(test: TestApp): RecipeBook {
  const lead = () => test.as(LEAD);
  const book: RecipeBook = {
    async ingredient(name, body = {}) {
      const made = await lead()
        .post('/v1/ingredients')
        .send({ name, baseUnit: 'g', allergens: NOTHING_DECLARED_IN_IT, ...body })
        .expect(201);
      return made.body.id;
    },
    async recipe(name, kind, baseUnit = kind === 'dish' ? 'each' : 'g') {
      const made = await lead()
        .post('/v1/recipes')
        .send({ name, kind, baseUnit, station: 'larder' })
        .expect(201);
      return made.body.id;
    },
    async draft(recipeId, lines, body = {}) {
      const made = await lead()
        .post(`/v1/recipes/${recipeId}/versions`)
        .send(versionBody(lines, body))
        .expect(201);
      return made.body.id;
    },
    async publish(versionId, firstServiceDate, by = ADMIN) {
      const path = `/v1/recipe-versions/${versionId}`;
      const { rev } = (await lead().get(path).expect(200)).body as { rev: number };
      const submitted = await lead().post(`${path}/submit`).set('if-match', `"${rev}"`).expect(200);
      await test
        .as(by)
        .post(`${path}/publish`)
        .set('if-match', `"${submitted.body.rev}"`)
        .send({ firstServiceDate })
        .expect(200);
    },
    async published(
      name,
      kind,
      lines,
      { firstServiceDate = '2026-01-01', baseUnit, ...body } = {},
    ) {
      const recipeId = await book.recipe(name, kind, baseUnit);
      const portion = kind === 'dish' ? { output: { value: 1, unit: 'each' } } : {};
      const versionId = await book.draft(recipeId, lines, { ...portion, ...body });
      await book.publish(versionId, firstServiceDate);
      return { recipeId, versionId };
    },
  };
  return book;
}

/** A version of a component that gives 1 kg, unless the body says otherwise. */
export function versionBody(lines: readonly object[], body: object = {}): object {
  return {
    output: { value: 1000, unit: 'g' },
    shelfLifeMin: 2880,
    lines,
    steps: oneStep,
    ...body,
  };
}
