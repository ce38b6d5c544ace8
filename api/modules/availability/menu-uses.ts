import { addDays } from '../../core/calendar/index.ts';
import { compileGraph, explodeCompiled } from '../../core/explosion/index.ts';
import type { CompiledGraph } from '../../core/explosion/index.ts';
import { isHeldOn } from '../forecasts/index.ts';
import type { KeptForecast } from '../forecasts/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import type { ActiveMenuLine } from '../menus/index.ts';
import { orRefuse } from '../platform/index.ts';
import {
  changeDates,
  graphOn,
  recipesAtSite,
  type PublishedRecipes,
  type SiteOverride,
} from '../recipes/index.ts';
import type { ClosedDay, MealService } from '../sites/index.ts';

/** What the menus of a site are read from. */
export interface MenuBook {
  readonly lines: readonly ActiveMenuLine[];
  readonly services: readonly MealService[];
  readonly closedDays: readonly ClosedDay[];
  readonly published: PublishedRecipes;
  readonly overrides: readonly SiteOverride[];
  readonly ingredients: readonly Ingredient[];
  readonly forecasts: readonly KeptForecast[];
}

/** A dish of a service with what a portion of it takes of what is bought. */
export interface PlatedUse {
  readonly date: string;
  readonly serviceId: string;
  readonly dishId: string;
  readonly share: number;
  /** Expected guests; null where no forecast of the service is kept. */
  readonly covers: number | null;
  /** As purchased base units a portion, by what is bought; parts are counted as their pieces. */
  readonly perPortion: ReadonlyMap<string, number>;
}

/** Every dish of every service of the days, as the menus and the recipes then in force have it. */
export function platedUses(book: MenuBook, from: string, to: string): readonly PlatedUse[] {
  const coversOf = new Map(
    book.forecasts.map((f) => [
      `${f.serviceId}|${f.serviceDate}`,
      (f.overrideResult ?? f.result).mean,
    ]),
  );
  const closed = new Set(book.closedDays.map((day) => day.date));
  const recipesOn = recipesByDate(book, from);
  const uses: PlatedUse[] = [];
  for (let date = from; date <= to; date = addDays(date, 1)) {
    if (closed.has(date)) continue;
    for (const service of book.services) {
      if (!isHeldOn(service, date)) continue;
      const covers = coversOf.get(`${service.id}|${date}`) ?? null;
      if (covers === 0) continue;
      for (const line of book.lines) {
        if (line.activeFrom > date || (line.activeTo ?? date) < date) continue;
        if (line.serviceId !== null && line.serviceId !== service.id) continue;
        const { dishId, share } = line;
        const perPortion = recipesOn(date)(dishId);
        if (perPortion === null) continue;
        uses.push({ date, serviceId: service.id, dishId, share, covers, perPortion });
      }
    }
  }
  return uses;
}

type PortionsOf = (dishId: string) => ReadonlyMap<string, number> | null;

/** The recipes in force on a date, worked out once for each stretch in which they stay the same. */
function recipesByDate(book: MenuBook, from: string): (date: string) => PortionsOf {
  const changes = new Set(changeDates(book.published.versions, from));
  for (const { fromDate, endsBefore } of book.overrides) {
    if (fromDate > from) changes.add(fromDate);
    if (endsBefore !== null && endsBefore > from) changes.add(endsBefore);
  }
  const starts = [...changes].sort();
  const known = new Map<string, PortionsOf>();
  return (date) => {
    const start = starts.findLast((one) => one <= date) ?? from;
    const standing = known.get(start);
    if (standing) return standing;
    const rows = recipesAtSite(book.published, book.overrides, date);
    const compiled = compileGraph(orRefuse(graphOn(rows, book.ingredients, date)));
    const made = portionsOf(compiled, book.ingredients);
    known.set(start, made);
    return made;
  };
}

function portionsOf(compiled: CompiledGraph, ingredients: readonly Ingredient[]): PortionsOf {
  const rows = new Map(ingredients.map((row) => [row.id, row]));
  const known = new Map<string, ReadonlyMap<string, number> | null>();
  return (dishId) => {
    const standing = known.get(dishId);
    if (standing !== undefined) return standing;
    const bought = compiled.graph.recipes.has(dishId) ? boughtFor(compiled, rows, dishId) : null;
    known.set(dishId, bought);
    return bought;
  };
}

function boughtFor(
  compiled: CompiledGraph,
  rows: ReadonlyMap<string, Ingredient>,
  dishId: string,
): ReadonlyMap<string, number> {
  const bought = new Map<string, number>();
  for (const [itemId, quantity] of orRefuse(
    explodeCompiled(compiled, [{ itemId: dishId, quantity: 1 }]),
  )) {
    const row = rows.get(itemId);
    if (!row) continue;
    const { partOf } = row;
    // Parts of one piece share it: the part that takes most pieces says how many.
    const [id, pieces] = partOf
      ? [partOf.pieceId, quantity / partOf.yieldPerPiece]
      : [itemId, quantity];
    bought.set(id, partOf ? Math.max(bought.get(id) ?? 0, pieces) : (bought.get(id) ?? 0) + pieces);
  }
  return bought;
}
