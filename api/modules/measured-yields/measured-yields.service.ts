import { convert } from '../../core/quantity/index.ts';
import { summariseWeighings } from '../../core/yields/index.ts';
import {
  fromCoreError,
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
  type Page,
  type PageRequest,
  type UnitOfWork,
} from '../platform/index.ts';
import {
  changeDraft,
  trimYields,
  workingVersion,
  type Recipe,
  type RecipeVersion,
} from '../recipes/index.ts';
import type {
  MeasuredYieldRow,
  MeasuredYieldsWork,
  WeighingInput,
} from './measured-yields.ports.ts';
import { placeOf } from './weighed-place.ts';
import { placeKey, counts, summarise, type YieldSummary } from './yield-summary.ts';
import { withYield } from './yield-in-version.ts';

export interface MeasuredYieldsDependencies {
  readonly work: UnitOfWork<MeasuredYieldsWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** What has been weighed of a recipe, as far as the person may see it. */
export interface RecipeYields {
  readonly recipe: Recipe;
  readonly working: RecipeVersion | null;
  readonly summaries: readonly YieldSummary[];
}

/** What accepting did. */
export interface AcceptedYield {
  readonly version: RecipeVersion;
  readonly summary: YieldSummary;
  readonly fraction: number;
  readonly outputBefore: number;
}

/**
 * Yields weighed on test days: a site's chef records them, the lead accepts what they say as the new
 * standard, which goes into a draft and to service the usual way.
 */
export class MeasuredYieldsService {
  readonly #deps: MeasuredYieldsDependencies;

  constructor(deps: MeasuredYieldsDependencies) {
    this.#deps = deps;
  }

  async get(actor: Actor, id: string): Promise<MeasuredYieldRow> {
    const row = await this.#deps.work.read.measuredYields.find(id);
    if (!row) throw notFound('measured yield', id);
    requireSite(actor, row.siteId);
    return row;
  }

  async ofSite(
    actor: Actor,
    siteId: string,
    request: PageRequest,
  ): Promise<Page<MeasuredYieldRow>> {
    requireSite(actor, siteId);
    return this.#deps.work.read.measuredYields.pageOfSite(siteId, request);
  }

  /** Every weighing of a recipe with mean and spread; site-bound people see those of their sites. */
  async ofRecipe(actor: Actor, recipeId: string): Promise<RecipeYields> {
    return this.#ofRecipe(this.#deps.work.read, actor, recipeId);
  }

  /**
   * Records a weighing. Refusals point at the field: a version, line or step that is not there, units
   * of two dimensions, nothing left, more left than cooking can add, a date to come.
   */
  async record(actor: Actor, siteId: string, input: WeighingInput): Promise<MeasuredYieldRow> {
    requireSite(actor, siteId);
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      if (!(await work.sites.find(siteId))) throw notFound('site', siteId);
      const version = await work.recipes.findVersion(input.versionId);
      if (!version) throw invalid('/versionId', `There is no recipe version ${input.versionId}.`);
      const [recipe, items] = [
        await work.recipes.find(version.recipeId),
        [...(await work.recipes.all()), ...(await work.ingredients.all())],
      ];
      if (!recipe) throw notFound('recipe', version.recipeId);
      const names = new Map(items.map(({ id, name }) => [id, name]));
      const { label, before, ...place } = placeOf(input, version, recipe, names);
      const after = orRefuse(
        convert(input.after.value, input.after.unit, before.unit),
        '/after/unit',
      );
      const sound = summariseWeighings([{ date: input.measuredOn, before: before.value, after }]);
      if (!sound.ok)
        throw fromCoreError({ ...sound.error, path: sound.error.path?.slice(1) ?? [] });
      if (place.kind !== 'cooking' && place.kind !== 'batch' && after > before.value) {
        throw invalid('/after', 'More is left than there was; only cooking can add weight.');
      }
      if (input.measuredOn > latestToday(now)) {
        throw invalid('/measuredOn', 'That day has not come yet.');
      }
      const row: MeasuredYieldRow = {
        id: this.#deps.newId('myd'),
        siteId,
        recipeId: recipe.id,
        versionId: version.id,
        ...place,
        label,
        before: before.value,
        after,
        unit: before.unit,
        measuredOn: input.measuredOn,
        measuredBy: actor.name,
        recordedBy: actor.id,
        recordedAt: now,
        note: input.note,
        status: 'recorded',
        decidedBy: null,
        decidedAt: null,
        reason: null,
        acceptedIn: null,
        rev: 1,
      };
      await work.measuredYields.insert(row);
      await audit(work, actor, 'create', row);
      return row;
    });
  }

  /** The person who weighed takes it back; it is kept with the reason and counts for nothing. */
  async withdraw(actor: Actor, id: string, rev: number, reason: string): Promise<MeasuredYieldRow> {
    return this.#decide(actor, id, rev, 'withdrawn', reason);
  }

  /** The lead leaves a weighing out; it is kept with the reason and counts for nothing. */
  async reject(actor: Actor, id: string, rev: number, reason: string): Promise<MeasuredYieldRow> {
    return this.#decide(actor, id, rev, 'rejected', reason);
  }

  /**
   * Takes what was weighed up as the standard: into the open draft of the recipe, or a new one.
   * @param seen the fraction the lead saw proposed; another by now is a `conflict`
   */
  async accept(
    actor: Actor,
    recipeId: string,
    place: Pick<MeasuredYieldRow, 'targetKey' | 'kind'>,
    seen: number,
  ): Promise<AcceptedYield> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (work) => {
      const { working, summaries } = await this.#ofRecipe(work, actor, recipeId);
      const summary = summaries.find((one) => placeKey(one) === placeKey(place));
      if (!summary || !working) throw invalid('/target', 'Nothing has been weighed of that.');
      const { proposal } = summary;
      if (!proposal) throw new Refusal('missing-data', summary.noProposal ?? 'Weigh it first.');
      const { proposedFraction: fraction, source } = proposal;
      if (fraction !== seen) {
        const message = `By now the weighings say ${fraction}; look again.`;
        throw new Refusal('conflict', message, {
          issues: [{ pointer: '/proposedFraction', message }],
          detail: { proposedFraction: fraction },
        });
      }
      if (summary.currentFraction === fraction) {
        throw new Refusal('conflict', `The recipe says ${fraction} already.`);
      }
      const trimOf = trimYields(await work.ingredients.all());
      const version = await changeDraft(work, {
        actor,
        recipeId,
        now,
        newId: this.#deps.newId,
        change: (input) => withYield(input, summary, { fraction, source }, trimOf),
      });
      for (const { row } of summary.samples.filter((sample) => counts(sample.row))) {
        const decision = {
          status: 'accepted' as const,
          decidedBy: actor.name,
          decidedAt: now,
          reason: null,
          acceptedIn: version.id,
        };
        const saved = await work.measuredYields.decide(row.id, decision, row.rev);
        if (!saved)
          throw new Refusal('conflict', 'Somebody else changed a weighing just now; look again.');
      }
      await work.audit.append({
        actor,
        action: 'accept',
        subjectKind: 'measured-yield',
        subjectId: version.id,
        detail: {
          recipeId,
          label: summary.label,
          kind: summary.kind,
          from: summary.currentFraction,
          to: fraction,
          weighings: proposal.n,
          source,
        },
      });
      return { version, summary, fraction, outputBefore: working.output.quantity };
    });
  }

  async #ofRecipe(
    work: Pick<MeasuredYieldsWork, 'recipes' | 'ingredients' | 'measuredYields'>,
    actor: Actor,
    recipeId: string,
  ): Promise<RecipeYields> {
    const recipe = await work.recipes.find(recipeId);
    if (!recipe) throw notFound('recipe', recipeId);
    const rows = await work.measuredYields.ofRecipe(recipeId);
    const working = await workingVersion(work, recipeId);
    const trimOf = trimYields(await work.ingredients.all());
    const own = rows.filter((row) => maySeeSite(actor, row.siteId));
    return { recipe, working, summaries: summarise(own, working, trimOf) };
  }

  async #decide(
    actor: Actor,
    id: string,
    rev: number,
    status: 'withdrawn' | 'rejected',
    reason: string,
  ): Promise<MeasuredYieldRow> {
    return this.#deps.work.run(async (work) => {
      const row = await work.measuredYields.find(id);
      if (!row) throw notFound('measured yield', id);
      requireSite(actor, row.siteId);
      requireRevision(rev, row);
      if (status === 'withdrawn' && row.recordedBy !== actor.id) {
        throw new Refusal('forbidden', 'Only who recorded a weighing withdraws it.');
      }
      if (row.status !== 'recorded') {
        throw new Refusal('wrong-state', `This weighing is ${row.status} already.`, {
          detail: { status: row.status, reason: row.reason },
        });
      }
      const decidedAt = this.#deps.clock.now();
      const decision = { status, decidedBy: actor.name, decidedAt, reason, acceptedIn: null };
      const saved = await work.measuredYields.decide(id, decision, rev);
      if (!saved) throw lostUpdate('measured yield', id, rev, await work.measuredYields.find(id));
      await audit(work, actor, status === 'withdrawn' ? 'withdraw' : 'reject', saved, { reason });
      return saved;
    });
  }
}

const AHEAD_OF_UTC_MS = 14 * 3_600_000;

/** A calendar day that has begun somewhere: later dates are to come everywhere. */
function latestToday(now: Date): string {
  return new Date(now.getTime() + AHEAD_OF_UTC_MS).toISOString().slice(0, 10);
}

function audit(
  work: MeasuredYieldsWork,
  actor: Actor,
  action: string,
  row: MeasuredYieldRow,
  detail: Readonly<Record<string, unknown>> = {},
): Promise<void> {
  const { recipeId, label, kind } = row;
  return work.audit.append({
    actor,
    action,
    subjectKind: 'measured-yield',
    subjectId: row.id,
    siteId: row.siteId,
    detail: { recipeId, label, kind, ...detail },
  });
}
