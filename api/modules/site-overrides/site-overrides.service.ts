import { serviceDateOf } from '../../core/calendar/index.ts';
import {
  invalid,
  lostUpdate,
  notFound,
  orRefuse,
  Refusal,
  requireRevision,
  requireSite,
  maySeeSite,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import {
  holdsOn,
  isAllowed,
  siteChangeWords,
  versionsInForce,
  type PublishedRecipes,
  type Recipe,
  type RecipeVersion,
  type SiteOverride,
} from '../recipes/index.ts';
import { addedAllergens } from './added-allergens.ts';
import { readOverride } from './read-override.ts';
import type { OverrideInput, SiteOverridesWork } from './site-overrides.ports.ts';

export interface SiteOverridesDependencies {
  readonly work: UnitOfWork<SiteOverridesWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** An override with what it does, and whether it does it on the date asked about. */
export interface TellingOverride {
  readonly override: SiteOverride;
  readonly recipe: Recipe;
  readonly words: string;
  readonly holds: boolean;
  /** Why it does not hold though it stands; null where it does. */
  readonly notHolding: string | null;
}

/**
 * What sites do otherwise than the group's recipes, where a recipe lets them. Every override has a
 * reason and dates; past dates stay as they were. One that adds an allergen waits for a second
 * person. Plans, costs, allergens, nutrition and cards of the site follow from its first date.
 */
export class SiteOverridesService {
  readonly #deps: SiteOverridesDependencies;

  constructor(deps: SiteOverridesDependencies) {
    this.#deps = deps;
  }

  /** The date that stands for today when a request names none. */
  today(): string {
    return this.#deps.clock.now().toISOString().slice(0, 10);
  }

  async get(actor: Actor, id: string, date: string): Promise<TellingOverride> {
    const override = await this.#find(this.#deps.work.read, actor, id);
    return this.#one(override, date);
  }

  async ofSite(actor: Actor, siteId: string, date: string): Promise<readonly TellingOverride[]> {
    requireSite(actor, siteId);
    return this.#telling(await this.#deps.work.read.siteOverrides.list({ siteId }), date);
  }

  /** Of every site the person may see. */
  async ofRecipe(
    actor: Actor,
    recipeId: string,
    date: string,
  ): Promise<readonly TellingOverride[]> {
    if (!(await this.#deps.work.read.recipes.find(recipeId))) throw notFound('recipe', recipeId);
    const all = await this.#deps.work.read.siteOverrides.list({ recipeId });
    return this.#telling(
      all.filter(({ siteId }) => maySeeSite(actor, siteId)),
      date,
    );
  }

  /**
   * Enters an override. Refused with the field: `forbidden` where the recipe gives no leave,
   * `conflict` where another of the same holds on one of the dates, a first date that is past.
   */
  async enter(actor: Actor, siteId: string, input: OverrideInput): Promise<TellingOverride> {
    requireSite(actor, siteId);
    const made = await this.#deps.work.run(async (work) => {
      await work.recipes.lockPublishing();
      const now = this.#deps.clock.now();
      const today = await siteToday(work, siteId, now);
      if (input.fromDate < today) {
        throw invalid('/fromDate', 'Past dates stay as they were; begin today or later.');
      }
      if (input.ingredientId !== null) await refuseAtMaker(work, siteId, today);
      const published = await work.recipes.publishedGraphRows();
      const version = inForce(published, input.recipeId, input.fromDate);
      const ingredients = await work.ingredients.all();
      const place = readOverride(input, version, new Map(ingredients.map((row) => [row.id, row])));
      const candidate: SiteOverride = {
        ...place,
        recipeId: input.recipeId,
        what: input.what,
        ingredientId: input.ingredientId,
        trimYield: input.trimYield,
        cookingYield: input.cookingYield,
        temperatureC: input.temperatureC,
        workingMin: input.workingMin,
        waitingMin: input.waitingMin,
        fromDate: input.fromDate,
        endsBefore: input.endsBefore,
        reason: input.reason,
        id: this.#deps.newId('sov'),
        siteId,
        status: 'standing',
        allergens: [],
        enteredBy: actor.id,
        enteredAt: now,
        confirmedBy: null,
        confirmedAt: null,
        endedBy: null,
        endReason: null,
        rev: 1,
      };
      const others = (await work.siteOverrides.list({ siteId })).filter(isAlive);
      refuseOverlap(candidate, others);
      const standing = others.filter(({ status }) => status === 'standing');
      const allergens = addedAllergens(candidate, standing, published, ingredients);
      const override: SiteOverride = {
        ...candidate,
        allergens,
        status: allergens.length > 0 ? 'waiting' : 'standing',
      };
      await work.siteOverrides.insert(override);
      await audit(work, actor, 'create', override, { status: override.status, allergens });
      return override;
    });
    return this.#one(made, made.fromDate);
  }

  /**
   * Confirms added allergens. It holds from its first date, at the earliest from today.
   * @throws Refusal `forbidden` for who entered it, `wrong-state` unless it waits
   */
  async confirm(actor: Actor, id: string, rev: number): Promise<TellingOverride> {
    return this.#change(actor, id, rev, 'confirm', async (work, override, now) => {
      requireWaiting(override);
      if (override.enteredBy === actor.id) {
        const message = 'This adds allergens. Somebody other than who entered it must confirm it.';
        throw new Refusal('forbidden', message, {
          issues: [{ pointer: '', message: 'A second person has to confirm added allergens.' }],
          detail: { allergens: override.allergens },
        });
      }
      const today = await siteToday(work, override.siteId, now);
      const fromDate = override.fromDate < today ? today : override.fromDate;
      if (override.endsBefore !== null && override.endsBefore <= fromDate) {
        throw new Refusal('wrong-state', 'It would have ended before today; enter it anew.');
      }
      const version = inForce(await work.recipes.publishedGraphRows(), override.recipeId, fromDate);
      if (!isAllowed(version, override)) {
        throw new Refusal('wrong-state', 'The recipe no longer lets a site do this.');
      }
      return { status: 'standing', fromDate, confirmedBy: actor.id, confirmedAt: now };
    });
  }

  /** Turns a waiting override down; it is kept with the reason. */
  async refuse(actor: Actor, id: string, rev: number, reason: string): Promise<TellingOverride> {
    return this.#change(actor, id, rev, 'refuse', async (_work, override) => {
      requireWaiting(override);
      return { status: 'refused', endedBy: actor.id, endReason: reason };
    });
  }

  /** Ends a standing override: from `endsBefore` on, the group's recipe holds again. */
  async end(
    actor: Actor,
    id: string,
    rev: number,
    { endsBefore, reason }: { readonly endsBefore: string; readonly reason: string },
  ): Promise<TellingOverride> {
    return this.#change(actor, id, rev, 'end', async (work, override, now) => {
      if (override.status !== 'standing') {
        throw new Refusal(
          'wrong-state',
          `This one is ${override.status}; only one that stands ends.`,
        );
      }
      const today = await siteToday(work, override.siteId, now);
      if (endsBefore < today) {
        throw invalid('/endsBefore', 'Past dates stay as they were; end it today or later.');
      }
      if (endsBefore < override.fromDate) {
        throw invalid('/endsBefore', 'It has not begun by then; end it on its first date.');
      }
      if (override.endsBefore !== null && endsBefore > override.endsBefore) {
        throw invalid('/endsBefore', 'It ends sooner already; enter a new one for later dates.');
      }
      return { endsBefore, endedBy: actor.id, endReason: reason };
    });
  }

  async #change(
    actor: Actor,
    id: string,
    rev: number,
    action: string,
    changeOf: (
      work: SiteOverridesWork,
      override: SiteOverride,
      now: Date,
    ) => Promise<Parameters<SiteOverridesWork['siteOverrides']['change']>[1]>,
  ): Promise<TellingOverride> {
    const saved = await this.#deps.work.run(async (work) => {
      await work.recipes.lockPublishing();
      const override = await this.#find(work, actor, id);
      requireRevision(rev, override);
      const change = await changeOf(work, override, this.#deps.clock.now());
      const changed = await work.siteOverrides.change(id, change, rev);
      if (!changed) throw lostUpdate('site override', id, rev, await work.siteOverrides.find(id));
      await audit(work, actor, action, changed, { ...change });
      return changed;
    });
    return this.#one(saved, this.today());
  }

  async #find(
    work: Pick<SiteOverridesWork, 'siteOverrides'>,
    actor: Actor,
    id: string,
  ): Promise<SiteOverride> {
    const override = await work.siteOverrides.find(id);
    if (!override) throw notFound('site override', id);
    requireSite(actor, override.siteId);
    return override;
  }

  async #one(override: SiteOverride, date: string): Promise<TellingOverride> {
    const [told] = await this.#telling([override], date);
    if (!told) throw notFound('recipe', override.recipeId);
    return told;
  }

  async #telling(
    overrides: readonly SiteOverride[],
    date: string,
  ): Promise<readonly TellingOverride[]> {
    if (overrides.length === 0) return [];
    const { recipes, ingredients } = this.#deps.work.read;
    const published = await recipes.publishedGraphRows();
    const byId = new Map(published.recipes.map((recipe) => [recipe.id, recipe]));
    const names = new Map(
      [...published.recipes, ...(await ingredients.all())].map((i) => [i.id, i]),
    );
    return overrides.flatMap((override): TellingOverride[] => {
      const recipe = byId.get(override.recipeId);
      if (!recipe) return [];
      const asked = date < override.fromDate ? override.fromDate : date;
      const version = versionsInForce(published.versions, asked).get(recipe.id);
      const allowed = version !== undefined && isAllowed(version, override);
      const dated = holdsOn(override, date);
      return [
        {
          override,
          recipe,
          words: siteChangeWords(override, version ?? { lines: [], steps: [] }, names),
          holds: dated && allowed,
          notHolding: dated && allowed ? null : whyNot(override, date, allowed),
        },
      ];
    });
  }
}

/** Whether it may hold on some date: waiting ones may still be confirmed. */
const isAlive = ({ status }: SiteOverride): boolean => status !== 'refused';

function whyNot(override: SiteOverride, date: string, allowed: boolean): string {
  if (override.status === 'waiting') return 'It adds allergens and waits for a second person.';
  if (override.status === 'refused') return 'It was turned down.';
  if (date < override.fromDate) return `It begins on ${override.fromDate}.`;
  if (override.endsBefore !== null && date >= override.endsBefore) {
    return `It held until before ${override.endsBefore}.`;
  }
  return allowed
    ? ''
    : 'The recipe in force no longer has this, or no longer lets a site change it.';
}

function requireWaiting({ status }: SiteOverride): void {
  if (status !== 'waiting') {
    throw new Refusal('wrong-state', `This one is ${status}; nobody has to confirm it.`);
  }
}

function inForce(published: PublishedRecipes, recipeId: string, date: string): RecipeVersion {
  const version = versionsInForce(published.versions, date).get(recipeId);
  if (version) return version;
  throw invalid('/recipeId', `There is no recipe ${recipeId} with a published version on ${date}.`);
}

/** Two of one kind for one line or step never hold on the same date. */
function refuseOverlap(candidate: SiteOverride, others: readonly SiteOverride[]): void {
  const clash = others.find(
    (other) =>
      other.recipeId === candidate.recipeId &&
      other.what === candidate.what &&
      other.targetKey === candidate.targetKey &&
      (other.endsBefore === null || other.endsBefore > candidate.fromDate) &&
      (other.endsBefore === null || other.endsBefore > other.fromDate) &&
      (candidate.endsBefore === null || other.fromDate < candidate.endsBefore),
  );
  if (!clash) return;
  const message = 'Another one for the same holds on some of these dates; end it first.';
  throw new Refusal('conflict', message, {
    issues: [{ pointer: '/fromDate', message }],
    detail: { overrideId: clash.id, fromDate: clash.fromDate, endsBefore: clash.endsBefore },
  });
}

async function siteToday(work: SiteOverridesWork, siteId: string, now: Date): Promise<string> {
  const site = await work.sites.find(siteId);
  if (!site) throw notFound('site', siteId);
  return orRefuse(serviceDateOf(Math.floor(now.getTime() / 60_000), site.zone));
}

function audit(
  work: SiteOverridesWork,
  actor: Actor,
  action: string,
  override: SiteOverride,
  detail: Readonly<Record<string, unknown>>,
): Promise<void> {
  const { recipeId, what, label } = override;
  return work.audit.append({
    actor,
    action,
    subjectKind: 'site-override',
    subjectId: override.id,
    siteId: override.siteId,
    detail: { recipeId, what, label, reason: override.reason, ...detail },
  });
}

/** What others are given is made by the group's recipe, so that their allergen lists are right. */
async function refuseAtMaker(
  work: SiteOverridesWork,
  siteId: string,
  today: string,
): Promise<void> {
  const makes = (await work.centralProduction.productions()).some(
    ({ makerSiteIds, endsBefore }) =>
      makerSiteIds.includes(siteId) && (endsBefore === null || endsBefore > today),
  );
  if (!makes) return;
  throw new Refusal(
    'conflict',
    'This site makes for others, and an ingredient of its own would not reach their allergen lists. It keeps to the group’s ingredients as long as it does.',
    { issues: [{ pointer: '/ingredientId', message: 'This site makes for others.' }] },
  );
}
