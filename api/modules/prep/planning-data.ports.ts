import type { Storage } from '../../core/safety/index.ts';
import type { PreOrderRow, SaleRow, SeriesRows } from '../forecasts/index.ts';
import type { SiteOverride } from '../recipes/index.ts';
import type { ClosedDay, Equipment, MealService, Site } from '../sites/index.ts';

/** A published recipe version as rows, quantities in base units. */
export interface VersionRow {
  readonly versionId: string;
  readonly versionNumber: number;
  readonly recipeId: string;
  readonly recipeName: string;
  readonly kind: 'component' | 'dish';
  readonly baseUnit: 'g' | 'ml' | 'each';
  readonly station: string;
  readonly firstServiceDate: string;
  readonly outputQuantity: number;
  readonly batchMin: number;
  readonly batchMax: number | null;
  readonly batchMultiple: number;
  readonly shelfLifeMin: number;
  readonly storage: Storage;
  readonly cautions: readonly string[];
  readonly lines: readonly {
    readonly id: string;
    readonly ingredientId: string | null;
    readonly componentId: string | null;
    readonly quantity: number;
    readonly trimYield: number | null;
    readonly cookingYield: number | null;
    readonly perBatch: boolean;
    readonly siteMay: readonly string[];
  }[];
  readonly steps: readonly {
    readonly id: string;
    readonly text: string;
    readonly kind: string;
    readonly workingMin: number;
    readonly waitingMin: number;
    readonly equipmentKind: string | null;
    readonly equipmentAmount: number | null;
    readonly temperatureC: number | null;
    readonly holdMaxMin: number | null;
    readonly cooling: boolean;
    readonly siteMay: readonly string[];
  }[];
  readonly byProducts: readonly {
    readonly componentId: string;
    readonly quantity: number;
    readonly shelfLifeMin: number;
    readonly storage: Storage;
    readonly mayStartBatch: boolean;
  }[];
}

export interface RecipeRow {
  readonly id: string;
  readonly name: string;
  readonly kind: 'component' | 'dish';
  readonly baseUnit: 'g' | 'ml' | 'each';
}

export interface IngredientRow {
  readonly id: string;
  readonly name: string;
  readonly baseUnit: 'g' | 'ml' | 'each';
  readonly pieceMassG: number | null;
  readonly trimYield: number;
  readonly partOfId: string | null;
  readonly partGroup: string | null;
  readonly partYield: number | null;
  readonly shelfLifeDays: number | null;
}

export interface MenuLineRow {
  readonly id: string;
  readonly dishId: string;
  readonly serviceId: string | null;
  readonly share: number;
  readonly oneACover: boolean;
  readonly activeFrom: string;
  readonly activeTo: string | null;
}

export interface LotRow {
  readonly id: string;
  readonly itemId: string;
  readonly itemKind: 'ingredient' | 'component';
  readonly quantity: number;
  readonly madeAt: Date;
  readonly useBy: Date;
}

/** Bookings, outcomes, sales and what is known ahead, for the services of one site. */
export interface CoversRows extends SeriesRows {
  readonly sales: readonly SaleRow[];
  readonly preOrders: readonly PreOrderRow[];
}

/** Everything the plan of one site is worked out from, as read in one go. */
export interface PlanningData {
  readonly site: Site;
  readonly services: readonly MealService[];
  readonly closedDays: readonly ClosedDay[];
  readonly equipment: readonly Equipment[];
  readonly recipes: readonly RecipeRow[];
  readonly versions: readonly VersionRow[];
  readonly ingredients: readonly IngredientRow[];
  readonly menuLines: readonly MenuLineRow[];
  readonly lots: readonly LotRow[];
  readonly covers: CoversRows;
  /** What the site does otherwise than the recipes say. */
  readonly overrides: readonly SiteOverride[];
}

export interface PlanningDataRepository {
  /**
   * @param historyFrom first service date whose bookings and outcomes count as history
   * @returns null when there is no such site
   */
  load(siteId: string, historyFrom: string, toDate: string): Promise<PlanningData | null>;
}
