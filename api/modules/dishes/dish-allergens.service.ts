import {
  allergenMatrix,
  allergenStatement,
  type AllergenMatrix,
  type AllergenPresence,
  type AllergenRegime,
  type AllergenStatement,
} from '../../core/allergens/index.ts';
import { notFound, orRefuse, Refusal, type UnitOfWork } from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import type { DishesRead } from './dishes.ports.ts';
import type { Kitchen } from './kitchen-on.ts';
import { kitchenAtSite } from './site-kitchen.ts';

/** An allergen of a dish with the ways it comes in, by names. */
export interface NamedPresence {
  readonly groupId: string;
  readonly label: string;
  readonly code: string;
  readonly kind: string | null;
  /** Names from the dish down to the ingredient, one list a way. */
  readonly ways: readonly (readonly string[])[];
}

export interface DishAllergens {
  readonly dishId: string;
  readonly name: string;
  readonly status: AllergenStatement['status'];
  readonly contains: readonly NamedPresence[];
  readonly mayContain: readonly NamedPresence[];
  /** Ways down to ingredients nobody has declared. */
  readonly notDeclared: readonly (readonly string[])[];
  readonly sulphitesMgPerKg: number | null;
  readonly versions: readonly VersionHeld[];
}

/** A recipe version an answer rests on. */
export interface VersionHeld {
  readonly versionId: string;
  readonly recipeName: string;
  readonly number: number;
}

export interface SiteAllergens {
  readonly site: Site;
  readonly matrix: AllergenMatrix;
  readonly dishes: readonly DishAllergens[];
}

/** Allergens of the dishes a site offers. Never says 'free from'. */
export class DishAllergensService {
  readonly #work: Pick<UnitOfWork<DishesRead>, 'read'>;

  constructor({ work }: { readonly work: Pick<UnitOfWork<DishesRead>, 'read'> }) {
    this.#work = work;
  }

  /** The matrix of every dish offered on the date. @param regime the site's own where left out */
  async matrix(
    siteId: string,
    date: string,
    regime: AllergenRegime | undefined,
  ): Promise<SiteAllergens> {
    const { menus } = this.#work.read;
    const site = await this.#site(siteId);
    const kitchen = await kitchenAtSite(this.#work.read, siteId, date);
    const lines = await menus.activeLines(siteId, date, date);
    const dishIds = [...new Set(lines.map((line) => line.dishId))].filter((id) =>
      kitchen.graph.recipes.has(id),
    );
    const rules = regime ?? site.ruleSet;
    const matrix = orRefuse(
      allergenMatrix(
        kitchen.graph,
        kitchen.declarations,
        { dishIds, regime: rules, serviceDate: date },
        { massPerBaseUnit: kitchen.massPerBaseUnit },
      ),
    );
    const versionsOf = new Map(matrix.rows.map((row) => [row.dishId, row.versionIds]));
    return {
      site,
      matrix,
      dishes: dishIds.map((id) =>
        dishAllergens(kitchen, id, rules, versionsHeld(kitchen, versionsOf.get(id) ?? [])),
      ),
    };
  }

  /** @throws Refusal `not-found` when the dish has no version in force on the date */
  async one(
    siteId: string,
    dishId: string,
    date: string,
    regime: AllergenRegime | undefined,
  ): Promise<{
    readonly site: Site;
    readonly rules: AllergenRegime;
    readonly dish: DishAllergens;
  }> {
    const site = await this.#site(siteId);
    const kitchen = await kitchenAtSite(this.#work.read, siteId, date);
    const item = kitchen.graph.items.get(dishId);
    if (item?.kind !== 'dish') throw notFound('dish', dishId);
    if (!kitchen.graph.recipes.has(dishId)) {
      throw new Refusal('not-found', `${item.name} has no published version for ${date}.`);
    }
    const rules = regime ?? site.ruleSet;
    const question = { dishIds: [dishId], regime: rules, serviceDate: date };
    const matrix = orRefuse(allergenMatrix(kitchen.graph, kitchen.declarations, question));
    const held = versionsHeld(kitchen, matrix.rows[0]?.versionIds ?? []);
    return { site, rules, dish: dishAllergens(kitchen, dishId, rules, held) };
  }

  async #site(siteId: string): Promise<Site> {
    const site = await this.#work.read.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    return site;
  }
}

function dishAllergens(
  kitchen: Kitchen,
  dishId: string,
  regime: AllergenRegime,
  versions: readonly VersionHeld[],
): DishAllergens {
  const { graph, declarations, massPerBaseUnit } = kitchen;
  const statement = orRefuse(
    allergenStatement(graph, declarations, dishId, regime, { massPerBaseUnit }),
  );
  const nameOf = (id: string): string => graph.items.get(id)?.name ?? id;
  const named = (presence: AllergenPresence): NamedPresence => ({
    groupId: presence.id,
    label: presence.label,
    code: presence.code,
    kind: presence.kind,
    ways: presence.ways.map((way) => way.path.map(nameOf)),
  });
  const { sulphites } = statement;
  return {
    dishId,
    name: nameOf(dishId),
    status: statement.status,
    contains: statement.contains.map(named),
    mayContain: statement.mayContain.map(named),
    notDeclared: statement.notDeclared.map((way) => way.path.map(nameOf)),
    sulphitesMgPerKg: sulphites.kind === 'calculated' ? sulphites.mgPerKg : null,
    versions,
  };
}

function versionsHeld(kitchen: Kitchen, versionIds: readonly string[]): readonly VersionHeld[] {
  const byId = new Map([...kitchen.inForce.values()].map((version) => [version.id, version]));
  return versionIds.flatMap((versionId) => {
    const version = byId.get(versionId);
    if (!version) return [];
    const recipeName = kitchen.graph.items.get(version.recipeId)?.name ?? version.recipeId;
    return [{ versionId, recipeName, number: version.number }];
  });
}
