import type { RecipeGraph } from '../recipe-graph/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { AllergenCode, AllergenRegime, RegimeAllergen } from './allergen-codes.ts';
import { regimeGroups, underRegime } from './allergen-codes.ts';
import type { AllergenDeclarations } from './declaration.ts';
import { sulphitesOf } from './declaration.ts';
import type { MassPerBaseUnit, SulphiteContent } from './sulphite-content.ts';
import { sulphiteContent } from './sulphite-content.ts';
import { waysDown } from './ways-down.ts';

/** To be shown wherever allergens are. */
export const ALLERGEN_NOTICE =
  'Worked out from recipes and from what suppliers declare. It never says that a dish is free from ' +
  'anything: kitchens share air, hands and equipment. Check labels and changes of supplier; local ' +
  'food law and trained staff decide.';

/** Where an allergen comes in: the ingredient, and the shortest way from the item down to it. */
export interface AllergenWay {
  readonly ingredientId: string;
  /** Item ids, the dish first and the ingredient last. */
  readonly path: readonly string[];
}

/** One allergen under the regime, with every ingredient that brings it. */
export interface AllergenPresence extends RegimeAllergen {
  readonly code: AllergenCode;
  readonly ways: readonly AllergenWay[];
}

export interface AllergenStatement {
  readonly itemId: string;
  readonly regime: AllergenRegime;
  /** 'not-declared' while any ingredient has no declaration: the lists below may lack something. */
  readonly status: 'declared' | 'not-declared';
  readonly contains: readonly AllergenPresence[];
  /** Without what is contained for certain. */
  readonly mayContain: readonly AllergenPresence[];
  readonly notDeclared: readonly AllergenWay[];
  readonly sulphites: SulphiteContent;
  readonly notice: string;
}

export interface StatementOptions {
  /** For the sulphite threshold; without it only items weighed in grams are calculated. */
  readonly massPerBaseUnit?: MassPerBaseUnit;
}

/**
 * What an item contains and may contain: the union over everything it is made of, each with the
 * way that brings it in.
 *
 * Sulphites are left out of 'contains' only where every ingredient has a declaration and the
 * amount is calculated and not above 10 mg/kg; the amount then stands in `sulphites`.
 *
 * Errors: `missing-component` for an item the graph does not hold.
 */
export function allergenStatement(
  graph: RecipeGraph,
  declarations: AllergenDeclarations,
  itemId: string,
  regime: AllergenRegime,
  options: StatementOptions = {},
): Result<AllergenStatement> {
  if (!graph.items.has(itemId)) {
    return err(
      coreError('missing-component', `${itemId} is not among the recipes.`, { detail: { itemId } }),
    );
  }
  const contains = new Map<AllergenCode, AllergenWay[]>();
  const mayContain = new Map<AllergenCode, AllergenWay[]>();
  const ways = waysDown(graph, itemId);
  const notDeclared = [...ways]
    .filter(([ingredientId]) => !declarations.get(ingredientId))
    .map(([ingredientId, path]): AllergenWay => ({ ingredientId, path }));
  const massPerBaseUnit = options.massPerBaseUnit ?? (() => undefined);
  const sulphites = sulphiteContent(graph, declarations, itemId, massPerBaseUnit);
  const sulphitesListed =
    sulphites.kind !== 'calculated' || sulphites.aboveThreshold || notDeclared.length > 0;
  for (const [ingredientId, path] of ways) {
    const declared = declarations.get(ingredientId);
    if (!declared) continue;
    const way = { ingredientId, path };
    for (const code of declared.contains) {
      if (code !== 'sulphites') append(contains, code, way);
    }
    if (sulphitesListed && sulphitesOf(declared) !== 'none') append(contains, 'sulphites', way);
    for (const code of declared.mayContain) append(mayContain, code, way);
  }
  for (const code of contains.keys()) mayContain.delete(code);
  return ok({
    itemId,
    regime,
    status: notDeclared.length > 0 ? 'not-declared' : 'declared',
    contains: inLegalOrder(contains, regime),
    mayContain: inLegalOrder(mayContain, regime),
    notDeclared,
    sulphites,
    notice: ALLERGEN_NOTICE,
  });
}

function append(
  found: Map<AllergenCode, AllergenWay[]>,
  code: AllergenCode,
  way: AllergenWay,
): void {
  const ways = found.get(code);
  if (ways === undefined) found.set(code, [way]);
  else ways.push(way);
}

/** Those the regime lists, in the law's order, kinds in alphabetical order. */
function inLegalOrder(
  found: ReadonlyMap<AllergenCode, AllergenWay[]>,
  regime: AllergenRegime,
): AllergenPresence[] {
  const rank = new Map(regimeGroups(regime).map((group, index) => [group.id, index]));
  const listed = [...found].flatMap(([code, ways]): AllergenPresence[] => {
    const place = underRegime(code, regime);
    return place === null ? [] : [{ ...place, code, ways }];
  });
  return listed.sort(
    (a, b) => (rank.get(a.id) ?? 0) - (rank.get(b.id) ?? 0) || (a.code < b.code ? -1 : 1),
  );
}
