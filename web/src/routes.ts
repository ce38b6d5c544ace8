import type { Component } from 'svelte';
import type { Session } from './api/types.ts';

// Which screen an address opens. Each screen's script is fetched when it is first opened; the
// service worker has fetched them all beforehand, for when there is no network.

/** Where one is: who, and the parts of the address after the screen's name. */
export interface Place {
  readonly session: Session;
  readonly second: string | undefined;
  readonly third: string | undefined;
  /** The site of the address, or the person's first. */
  readonly siteId: string;
}

type Props = Record<string, unknown>;
export interface Screen {
  readonly load: () => Promise<{ default: Component<Props> }>;
  /** What the screen is told; null where the address lacks something. */
  readonly props: (place: Place) => Props | null;
  /** Begun anew when this changes. */
  readonly key: (place: Place) => string;
}

const bySecond = ({ second }: Place): string => second ?? '';
const byBoth = ({ second, third }: Place): string => `${second}/${third}`;
const once = (): string => '';

function screen<P extends Props>(
  load: () => Promise<{ default: Component<P> }>,
  props: (place: Place) => P | null,
  key: (place: Place) => string = bySecond,
): Screen {
  return { load: load as unknown as Screen['load'], props, key };
}

/** A screen about the thing that the address names second. */
const about =
  <Name extends string>(name: Name) =>
  ({ session, second }: Place) =>
    second === undefined
      ? null
      : ({ session, [name]: second } as { session: Session } & Record<Name, string>);
const ofSite = ({ session, siteId }: Place) => ({ session, siteId });
const ofSession = ({ session }: Place) => ({ session });

const orders = screen(() => import('./pages/OrdersPage.svelte'), ofSession, once);
const order = screen(() => import('./pages/OrderPage.svelte'), about('orderId'));
const expected = screen(() => import('./pages/ExpectedPage.svelte'), ofSite, byBoth);
const check = screen(() => import('./pages/CheckPage.svelte'), ofSite, byBoth);

const SCREENS: Readonly<Record<string, Screen>> = {
  list: screen(
    () => import('./pages/DayPage.svelte'),
    ({ session, siteId, third }) => ({ session, siteId, date: third }),
    byBoth,
  ),
  task: screen(() => import('./pages/TaskPage.svelte'), about('taskId')),
  fridge: screen(() => import('./pages/FridgePage.svelte'), ofSite),
  safety: screen(() => import('./pages/SafetyPage.svelte'), ofSite),
  lot: screen(() => import('./pages/LotPage.svelte'), about('lotId')),
  labels: screen(
    () => import('./pages/LabelsPage.svelte'),
    ({ second, third }) => (second && third ? { of: second, id: third } : null),
    byBoth,
  ),
  trace: screen(
    () => import('./pages/TracePage.svelte'),
    ({ session, second }) => ({ session, lotId: second }),
    once,
  ),
  afterwards: screen(() => import('./pages/AfterwardsPage.svelte'), ofSite),
  between: screen(() => import('./pages/BetweenPage.svelte'), ofSite),
  group: screen(() => import('./pages/GroupPage.svelte'), ofSession, once),
  pars: screen(() => import('./pages/ParsPage.svelte'), ofSite),
  week: screen(
    () => import('./pages/WeekPage.svelte'),
    ({ session, siteId, third }) => ({ session, siteId, from: third }),
    byBoth,
  ),
  menus: screen(
    () => import('./pages/MenusPage.svelte'),
    ({ session, siteId, third }) => ({ session, siteId, from: third }),
    byBoth,
  ),
  people: screen(() => import('./pages/PeoplePage.svelte'), ofSession, once),
  password: screen(
    () => import('./pages/PasswordPage.svelte'),
    () => ({}),
    once,
  ),
  sheet: screen(() => import('./pages/OrderSheetPage.svelte'), about('orderId')),
  suppliers: screen(() => import('./pages/SuppliersPage.svelte'), ofSession, once),
  supplier: screen(() => import('./pages/SupplierPage.svelte'), about('supplierId')),
  totals: screen(() => import('./pages/TotalsPage.svelte'), ofSession, once),
  carries: screen(() => import('./pages/CarriesPage.svelte'), ofSession, once),
  limits: screen(() => import('./pages/LimitsPage.svelte'), ofSession, once),
  recipes: screen(() => import('./pages/RecipesPage.svelte'), ofSession, once),
  recipe: screen(() => import('./pages/RecipePage.svelte'), about('recipeId')),
  edit: screen(
    () => import('./pages/EditPage.svelte'),
    ({ session, second, third }) =>
      second ? { session, recipeId: second, versionId: third ?? '' } : null,
    byBoth,
  ),
  card: screen(() => import('./pages/CardPage.svelte'), about('recipeId')),
  allergens: screen(() => import('./pages/AllergensPage.svelte'), ofSite),
  declaration: screen(() => import('./pages/DeclarationPage.svelte'), about('versionId')),
};

/** The screen of an address; undefined for an address that names none. */
export function screenAt([first, second, third]: readonly string[]): Screen | undefined {
  if (first === 'orders') return second === undefined ? orders : order;
  if (first === 'expected') return third === 'check' ? check : expected;
  return first !== undefined && Object.hasOwn(SCREENS, first) ? SCREENS[first] : undefined;
}
