import { z } from 'zod';
import { DryRun, Name, ServiceDate } from '../../http/wire.ts';
import { RecipeBody } from './recipes.schema.ts';
import type { ReadableRecipe } from './schema-org.ts';
import { ByProductBody, LineBody, VersionBody } from './versions.schema.ts';

const ExchangedLine = LineBody.omit({ ingredientId: true, componentId: true }).extend({
  ingredient: Name.nullable().default(null),
  component: Name.nullable().default(null),
});
const ExchangedByProduct = ByProductBody.omit({ componentId: true }).extend({ component: Name });
const ExchangedVersion = VersionBody.omit({ lines: true, byProducts: true }).extend({
  lines: z.array(ExchangedLine).max(10_000).default([]),
  byProducts: z.array(ExchangedByProduct).max(50).default([]),
});

/** Recipes as a file: items by name, the version in force of each. */
export const RecipesFileBody = z
  .strictObject({
    serviceDate: ServiceDate.optional(),
    recipes: z
      .array(RecipeBody.extend({ version: ExchangedVersion.nullable().default(null) }))
      .min(1)
      .max(5000),
  })
  .meta({ id: 'RecipesFileBody' });

export const ExchangeReportSchema = z
  .object({
    dryRun: z.boolean(),
    recipes: z.array(
      z.object({
        name: z.string(),
        recipeId: z.string(),
        versionId: z.string().nullable(),
        isNew: z.boolean(),
      }),
    ),
    problems: z.array(z.object({ pointer: z.string(), message: z.string() })),
  })
  .meta({ id: 'RecipesImportReport' });

/** An export is read back by the import as it stands. */
export const RecipesFile = z
  .object({ serviceDate: z.string(), recipes: z.array(z.record(z.string(), z.unknown())) })
  .meta({ id: 'RecipesFile' });

export const SchemaOrgQuery = z.object({
  dryRun: DryRun,
  kind: z.enum(['component', 'dish']).default('component'),
  station: z.string().trim().min(1).max(60),
  shelfLifeMin: z.coerce
    .number()
    .int()
    .min(1)
    .max(3 * 366 * 1440),
});

const Texts = z.union([z.string(), z.array(z.string())]);
const Quantity = z.object({
  value: z.union([z.number(), z.string()]),
  unitText: z.string().optional(),
  unitCode: z.string().optional(),
});
const Yield = z.union([z.string(), z.number(), Quantity]);
const Step = z.union([
  z.string(),
  z.looseObject({
    text: z.string().optional(),
    name: z.string().optional(),
    itemListElement: z
      .array(z.union([z.string(), z.looseObject({ text: z.string().optional() })]))
      .optional(),
  }),
]);
const SchemaOrgRecipe = z.looseObject({
  '@type': Texts,
  name: z.string().trim().min(1).max(120),
  description: z.string().max(2000).optional(),
  recipeYield: z.union([Yield, z.array(Yield)]).optional(),
  recipeIngredient: z.array(z.string().min(1).max(300)).min(1).max(10_000),
  recipeInstructions: z.union([z.string(), z.array(Step)]).optional(),
  prepTime: z.string().max(40).optional(),
  cookTime: z.string().max(40).optional(),
  totalTime: z.string().max(40).optional(),
});

/** A schema.org Recipe as JSON-LD, alone or in a graph. */
export const SchemaOrgBody = z
  .union([
    SchemaOrgRecipe,
    z.looseObject({ '@graph': z.array(z.looseObject({ '@type': Texts.optional() })) }),
  ])
  .meta({ id: 'SchemaOrgRecipe', description: 'A Recipe of schema.org as JSON-LD.' });

const isRecipe = (type: unknown): boolean =>
  (Array.isArray(type) ? type : [type]).some((name) =>
    /^(https?:\/\/schema\.org\/|schema:)?Recipe$/.test(String(name)),
  );

/** The recipe of a body, flattened to texts; null where there is none that can be read. */
export function readableRecipe(body: z.infer<typeof SchemaOrgBody>): ReadableRecipe | null {
  const graph: unknown = body['@graph'];
  const found: unknown = Array.isArray(graph)
    ? graph.find((node: { '@type'?: unknown }) => isRecipe(node['@type']))
    : body;
  const parsed = SchemaOrgRecipe.safeParse(found);
  if (!parsed.success || !isRecipe(parsed.data['@type'])) return null;
  const recipe = parsed.data;
  const yields = recipe.recipeYield ?? [];
  return {
    name: recipe.name,
    description: recipe.description ?? null,
    yields: (Array.isArray(yields) ? yields : [yields]).map(yieldText),
    ingredients: recipe.recipeIngredient,
    steps: stepTexts(recipe.recipeInstructions ?? []),
    prepTime: recipe.prepTime ?? null,
    cookTime: recipe.cookTime ?? null,
    totalTime: recipe.totalTime ?? null,
  };
}

function yieldText(one: z.infer<typeof Yield>): string {
  if (typeof one !== 'object') return String(one);
  return `${one.value} ${one.unitText ?? UN_CEFACT[one.unitCode ?? ''] ?? ''}`.trim();
}

/** UN/CEFACT common codes, as QuantitativeValue has them (from memory). */
const UN_CEFACT: Readonly<Record<string, string>> = {
  GRM: 'g',
  KGM: 'kg',
  MLT: 'ml',
  LTR: 'l',
  C62: 'each',
};

function stepTexts(steps: string | readonly z.infer<typeof Step>[]): string[] {
  const texts =
    typeof steps === 'string'
      ? steps.split(/\r?\n+/)
      : steps.flatMap((step) => {
          if (typeof step === 'string') return step;
          const inside = step.itemListElement?.map((one) =>
            typeof one === 'string' ? one : (one.text ?? ''),
          );
          return inside ?? step.text ?? step.name ?? '';
        });
  return texts.map((text) => text.trim()).filter((text) => text !== '');
}
