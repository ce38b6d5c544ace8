import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { RecipeParams, VersionBody, VersionParams } from '../recipes/index.ts';
import { BenchCardSchema, CardQuery } from './card.schema.ts';
import type { BenchCard, CardQuestion, CardsService } from './cards.service.ts';

const toQuestion = (query: {
  readonly batches: number;
  readonly site?: string | undefined;
  readonly on?: string | undefined;
}): CardQuestion => ({ batches: query.batches, siteId: query.site, on: query.on });

function toBody(card: BenchCard) {
  return {
    ...card,
    cautions: [...card.cautions],
    siteChanges: [...card.siteChanges],
    byProducts: [...card.byProducts],
    gelatineCautions: [...card.gelatineCautions],
    allergens: card.allergens && {
      ...card.allergens,
      contains: [...card.allergens.contains],
      mayContain: [...card.allergens.mayContain],
      notDeclared: [...card.allergens.notDeclared],
    },
    cost: card.cost && { ...card.cost, missing: [...card.cost.missing] },
    batches: card.batches.map((batch) => ({
      ...batch,
      lines: [...batch.lines],
      mass: batch.mass && { ...batch.mass, noMass: [...batch.mass.noMass] },
      gelatine: batch.gelatine.map((line) => ({
        ...line,
        options: line.options.map((option) => ({
          itemId: option.itemId,
          kind: option.form.kind,
          grade: option.form.kind === 'sheet' ? option.form.grade : null,
          bloom: option.form.bloom,
          sheetMassG: option.form.kind === 'sheet' ? option.form.sheetMassG : null,
          massG: option.massG,
          sheets: option.sheets ?? null,
          text: option.text,
        })),
      })),
      balance: batch.balance.map((section) => ({
        ...section,
        figures: section.figures.map((figure) => ({ ...figure, missing: [...figure.missing] })),
        percentages: [...section.percentages],
        notes: [...section.notes],
      })),
      steps: batch.steps.map((step) => ({
        ...step,
        atSite: step.atSite && { ...step.atSite, loads: [...step.atSite.loads] },
      })),
    })),
  };
}

/** Recipe cards, and the card of a draft before it is saved. */
export function cardsRoutes(service: CardsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['recipes'];
    const response = { 200: BenchCardSchema };

    app.get(
      '/recipe-versions/:versionId/card',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'A version scaled to a number of batches, with gelatine, balance and allergens',
          params: VersionParams,
          querystring: CardQuery,
          response,
        },
      },
      async (request) => {
        const { versionId } = request.params;
        const question = toQuestion(request.query);
        return toBody(await service.ofVersion(actorOf(request), versionId, question));
      },
    );

    app.get(
      '/recipes/:recipeId/card',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The card of the version in force on a service date',
          params: RecipeParams,
          querystring: CardQuery,
          response,
        },
      },
      async (request) => {
        const { recipeId } = request.params;
        const question = toQuestion(request.query);
        return toBody(await service.ofRecipe(actorOf(request), recipeId, question));
      },
    );

    app.post(
      '/recipes/:recipeId/draft-card',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'The card a draft would have; nothing is saved',
          params: RecipeParams,
          querystring: CardQuery,
          body: VersionBody,
          response,
        },
      },
      async (request) => {
        const { recipeId } = request.params;
        const question = toQuestion(request.query);
        return toBody(await service.ofDraft(actorOf(request), recipeId, request.body, question));
      },
    );
  };
}
