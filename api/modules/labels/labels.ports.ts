import type { IngredientsRepository } from '../ingredients/index.ts';
import type { RecipesRepository } from '../recipes/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { StockRepository } from '../stock/index.ts';

/** How a lot came to be, as far as its label says so. */
export interface LotMaking {
  readonly preparedBy: string | null;
  readonly storage: string | null;
}

export interface LabelsRepository {
  makingOf(lotId: string): Promise<LotMaking>;
  /** Lots a task made that are still on record, the main output first. */
  lotsOfTask(taskId: string): Promise<readonly string[]>;
}

/** What labels are written from. Nothing here is changed. */
export interface LabelsRead {
  readonly labels: LabelsRepository;
  readonly stock: StockRepository;
  readonly sites: SitesRepository;
  readonly recipes: RecipesRepository;
  readonly ingredients: IngredientsRepository;
}
