import { get } from '../api/client.ts';
import { query } from '../api/query.ts';

/** Something a line may name. */
export interface FoundItem {
  readonly id: string;
  readonly name: string;
  readonly kind: 'ingredient' | 'component';
}

interface Page {
  readonly items: readonly { readonly id: string; readonly name: string }[];
}
const MOST = '12';
const known = new Map<string, FoundItem>();
const keyOf = (name: string): string => name.trim().toLocaleLowerCase();

/** Ingredients and components with a text in their name. @throws NoAnswer, Problem */
export async function findItems(text: string, onlyComponents: boolean): Promise<FoundItem[]> {
  const search = text.trim();
  if (search === '') return [];
  const [ingredients, components] = await Promise.all([
    onlyComponents ? { items: [] } : get<Page>(`/v1/ingredients${query({ search, limit: MOST })}`),
    get<Page>(`/v1/recipes${query({ search, kind: 'component', limit: MOST })}`),
  ]);
  const found = [
    ...ingredients.items.map(({ id, name }) => ({ id, name, kind: 'ingredient' as const })),
    ...components.items.map(({ id, name }) => ({ id, name, kind: 'component' as const })),
  ];
  for (const item of found) known.set(keyOf(item.name), item);
  return found;
}

/** The item of exactly this name, upper and lower case alike. @throws NoAnswer, Problem */
export async function itemNamed(
  name: string,
  onlyComponents: boolean,
): Promise<FoundItem | undefined> {
  const before = known.get(keyOf(name));
  if (before && !(onlyComponents && before.kind === 'ingredient')) return before;
  const found = await findItems(name, onlyComponents);
  return found.find((item) => keyOf(item.name) === keyOf(name));
}
