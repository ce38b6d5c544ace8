import type { ServiceDate } from '../calendar/index.ts';
import type { RecipeGraph } from '../recipe-graph/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { AllergenRegime, RegimeGroup } from './allergen-codes.ts';
import { regimeGroups } from './allergen-codes.ts';
import type { AllergenPresence, StatementOptions } from './allergen-statement.ts';
import { ALLERGEN_NOTICE, allergenStatement } from './allergen-statement.ts';
import type { AllergenDeclarations } from './declaration.ts';

/**
 * One dish and one group. 'not-declared' wherever an ingredient has no declaration and nothing
 * worse is known; 'none-declared' says that all have one and none names the group.
 */
export interface MatrixCell {
  readonly groupId: string;
  readonly status: 'contains' | 'may-contain' | 'not-declared' | 'none-declared';
  /** Cereals, nuts or species by name. */
  readonly kinds: readonly string[];
  /** Kinds that it may contain besides. */
  readonly mayContainKinds: readonly string[];
  /** Some cereal or nut is not named, though the law has it named. */
  readonly kindNotNamed: boolean;
}

export interface MatrixRow {
  readonly dishId: string;
  readonly name: string;
  readonly status: 'declared' | 'not-declared';
  readonly cells: readonly MatrixCell[];
  /** Versions of every recipe the dish rests on. */
  readonly versionIds: readonly string[];
}

/** A site's dishes by allergens, for one date. */
export interface AllergenMatrix {
  readonly regime: AllergenRegime;
  readonly serviceDate: ServiceDate;
  readonly groups: readonly RegimeGroup[];
  readonly rows: readonly MatrixRow[];
  readonly notice: string;
}

/**
 * The matrix of some dishes by the regime's groups.
 *
 * @param graph        the recipe versions in force on the date
 * @param serviceDate  the date it holds for
 * Errors as `allergenStatement`.
 */
export function allergenMatrix(
  graph: RecipeGraph,
  declarations: AllergenDeclarations,
  question: {
    readonly dishIds: readonly string[];
    readonly regime: AllergenRegime;
    readonly serviceDate: ServiceDate;
  },
  options: StatementOptions = {},
): Result<AllergenMatrix> {
  const { regime, serviceDate } = question;
  const groups = regimeGroups(regime);
  const rows: MatrixRow[] = [];
  for (const dishId of question.dishIds) {
    const statement = allergenStatement(graph, declarations, dishId, regime, options);
    if (!statement.ok) return statement;
    const { status, contains, mayContain } = statement.value;
    rows.push({
      dishId,
      name: graph.items.get(dishId)?.name ?? dishId,
      status,
      cells: groups.map((group) =>
        cellFor(
          group,
          contains.filter((presence) => presence.id === group.id),
          mayContain.filter((presence) => presence.id === group.id),
          status === 'declared',
        ),
      ),
      versionIds: versionsUnder(graph, dishId),
    });
  }
  return ok({ regime, serviceDate, groups, rows, notice: ALLERGEN_NOTICE });
}

function cellFor(
  group: RegimeGroup,
  contains: readonly AllergenPresence[],
  mayContain: readonly AllergenPresence[],
  allDeclared: boolean,
): MatrixCell {
  const unknown = allDeclared ? 'none-declared' : 'not-declared';
  const known = mayContain.length > 0 ? 'may-contain' : unknown;
  return {
    groupId: group.id,
    status: contains.length > 0 ? 'contains' : known,
    kinds: kindsOf(contains),
    mayContainKinds: kindsOf(mayContain),
    kindNotNamed: [...contains, ...mayContain].some((presence) => presence.kindNotNamed),
  };
}

function kindsOf(presences: readonly AllergenPresence[]): string[] {
  return presences.flatMap((presence) => (presence.kind === null ? [] : [presence.kind]));
}

function versionsUnder(graph: RecipeGraph, dishId: string): string[] {
  const reached = new Set([dishId]);
  for (const id of reached) {
    for (const line of graph.recipes.get(id)?.lines ?? []) reached.add(line.itemId);
    for (const giver of graph.byProductSources.get(id) ?? []) reached.add(giver.mainItemId);
  }
  return [...reached].flatMap((id) => graph.recipes.get(id)?.versionId ?? []);
}
