import { readdirSync } from 'node:fs';
import path from 'node:path';
import { SITE } from '../helpers/demo-site.ts';

const PAGES = path.join(import.meta.dirname, '..', '..', 'web', 'src', 'pages');

/** Files of the page's screens, as they are on disk. */
export const pageFiles: readonly string[] = readdirSync(PAGES)
  .map((file) => file.replace('.svelte', ''))
  .sort();

/** Screens that have no address: they come before anybody is signed in. */
export const WITHOUT_ADDRESS = ['SetUpPage', 'SignInPage'] as const;

/** What addresses name; a test that looks at figures makes these things first. */
export interface Things {
  readonly task: string;
  readonly lot: string;
  readonly order: string;
  /** An order that is approved and has its number. */
  readonly sheet: string;
  readonly version: string;
  readonly supplier: string;
}

/** The address of every screen. A new page fails the tests until it stands here. */
export function addresses(things: Things): Readonly<Record<string, string>> {
  return {
    AfterwardsPage: `#/afterwards/${SITE}`,
    AllergensPage: `#/allergens/${SITE}`,
    BetweenPage: `#/between/${SITE}`,
    CarriesPage: '#/carries',
    CardPage: `#/card/rcp_curd?batches=1&site=${SITE}`,
    CheckPage: `#/expected/${SITE}/check`,
    DayPage: `#/list/${SITE}`,
    DeclarationPage: `#/declaration/${things.version}`,
    EditPage: `#/edit/rcp_curd/${things.version}`,
    ExpectedPage: `#/expected/${SITE}`,
    FridgePage: `#/fridge/${SITE}`,
    GroupPage: '#/group',
    LabelsPage: `#/labels/lot/${things.lot}`,
    LimitsPage: '#/limits',
    LotPage: `#/lot/${things.lot}`,
    MenusPage: `#/menus/${SITE}`,
    OrderPage: `#/orders/${things.order}`,
    OrderSheetPage: `#/sheet/${things.sheet}`,
    OrdersPage: '#/orders',
    ParsPage: `#/pars/${SITE}`,
    PasswordPage: '#/password',
    PeoplePage: '#/people',
    RecipePage: '#/recipe/rcp_curd',
    RecipesPage: '#/recipes',
    SafetyPage: `#/safety/${SITE}`,
    SupplierPage: `#/supplier/${things.supplier}`,
    SuppliersPage: '#/suppliers',
    TaskPage: `#/task/${things.task}`,
    TotalsPage: '#/totals',
    TracePage: '#/trace',
    WeekPage: `#/week/${SITE}`,
  };
}
