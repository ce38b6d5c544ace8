import { indexDemoData, lineItem, lineQuantityBase } from './demo-index.ts';
import type { DemoIndex } from './demo-index.ts';
import type { DemoData, DemoRecipe, DemoSite } from './types.ts';

/**
 * Checks that the files agree with each other: unique keys, everything named exists, units convert,
 * recipes have no cycle, versions follow each other, GTINs check, sites can buy what they cook with.
 * @returns one sentence per fault, naming the file's entry; empty when all is well
 */
export function findFaults(data: DemoData): string[] {
  const index = indexDemoData(data);
  return [
    ...keyFaults(data),
    ...data.ingredients.flatMap((item) => ingredientFaults(index, item.key)),
    ...data.recipes.flatMap((recipe) => recipeFaults(index, recipe)),
    ...cycleFaults(index, data),
    ...data.sites.flatMap(siteFaults),
    ...menuFaults(index, data),
    ...eventFaults(index, data),
    ...parFaults(index, data),
    ...supplyFaults(index, data),
  ];
}

function keyFaults(data: DemoData): string[] {
  const byProducts = new Map<string, string>();
  for (const recipe of data.recipes) {
    for (const made of recipe.versions.flatMap((version) => version.byProducts)) {
      const other = byProducts.get(made.key);
      if (other !== undefined && other !== recipe.key) {
        return [`By-product '${made.key}' comes from both ${other} and ${recipe.key}.`];
      }
      byProducts.set(made.key, recipe.key);
    }
  }
  const items = [...data.ingredients, ...data.recipes].map((item) => item.key);
  return [
    ...repeated([...items, ...byProducts.keys()]).map((key) => `The key '${key}' is used twice.`),
    ...repeated(data.sites.map((site) => site.key)).map((key) => `Site '${key}' comes twice.`),
    ...repeated(data.menus.map((menu) => menu.key)).map((key) => `Menu '${key}' comes twice.`),
    ...repeated(data.suppliers.map((s) => s.key)).map((key) => `Supplier '${key}' comes twice.`),
    ...repeated(data.packs.map((p) => `${p.supplier} ${p.sku}`)).map((k) => `Pack ${k} is twice.`),
    ...repeated(data.packs.map((pack) => pack.gtin)).map((gtin) => `GTIN ${gtin} comes twice.`),
    ...repeated([...data.ingredients, ...data.recipes].map((item) => item.name)).map(
      (name) => `The name '${name}' is used twice.`,
    ),
  ];
}

function ingredientFaults(index: DemoIndex, key: string): string[] {
  const item = index.ingredients.get(key);
  if (item?.partOf === undefined) return [];
  const piece = index.ingredients.get(item.partOf.piece);
  if (piece === undefined) return [`${key} is part of '${item.partOf.piece}', which is unknown.`];
  return piece.baseUnit === 'each' ? [] : [`${piece.key} has parts but is not counted in each.`];
}

function recipeFaults(index: DemoIndex, recipe: DemoRecipe): string[] {
  const faults: string[] = [];
  const at = (number: number): string => `Recipe ${recipe.key} version ${number}`;
  if ((recipe.kind === 'dish') !== (recipe.prices !== undefined)) {
    faults.push(`Recipe ${recipe.key}: dishes, and only dishes, have prices.`);
  }
  let earlierDaysAgo = Infinity;
  for (const [position, version] of recipe.versions.entries()) {
    const { number, firstServiceDaysAgo: daysAgo, batch } = version;
    if (number !== position + 1) faults.push(`${at(number)} should be number ${position + 1}.`);
    if ((version.status === 'draft') !== (daysAgo === null)) {
      faults.push(`${at(number)}: published versions, and only they, have a first service.`);
    }
    if (daysAgo !== null && daysAgo >= earlierDaysAgo) {
      faults.push(`${at(number)} does not start after the version before it.`);
    }
    earlierDaysAgo = daysAgo ?? earlierDaysAgo;
    if (batch.min > batch.max || !isWhole(batch.min / batch.multiple)) {
      faults.push(`${at(number)}: batches from ${batch.min} to ${batch.max} are not possible.`);
    }
    for (const line of version.lines) {
      const { kind, key } = lineItem(line);
      const known = {
        ingredient: index.ingredients,
        component: index.recipes,
        byProduct: index.byProducts,
      }[kind];
      if (!known.has(key)) {
        faults.push(`${at(number)} takes the ${kind} '${key}', which is unknown.`);
        continue;
      }
      if (kind === 'component' && index.recipes.get(key)?.kind === 'dish') {
        faults.push(`${at(number)} takes the dish '${key}' as a component.`);
      }
      const fault = thrown(() => lineQuantityBase(index, line));
      if (fault !== undefined) faults.push(`${at(number)}: ${fault}`);
    }
  }
  return faults;
}

function cycleFaults(index: DemoIndex, data: DemoData): string[] {
  const done = new Set<string>();
  const walk = (key: string, path: readonly string[]): string | undefined => {
    if (path.includes(key)) return [...path.slice(path.indexOf(key)), key].join(' → ');
    if (done.has(key)) return undefined;
    for (const version of index.recipes.get(key)?.versions ?? []) {
      for (const line of version.lines) {
        const item = lineItem(line);
        const next =
          item.kind === 'byProduct' ? index.byProducts.get(item.key)?.recipe.key : item.key;
        const cycle = next === undefined ? undefined : walk(next, [...path, key]);
        if (cycle !== undefined) return cycle;
      }
    }
    done.add(key);
    return undefined;
  };
  for (const recipe of data.recipes) {
    const cycle = walk(recipe.key, []);
    if (cycle !== undefined) return [`These recipes go round in a circle: ${cycle}.`];
  }
  return [];
}

function siteFaults(site: DemoSite): string[] {
  const served = site.services.map((service) => service.key);
  const demand = site.demand.map((profile) => profile.service);
  const open = site.services.flatMap((service) => service.weekdays);
  return [
    ...served
      .filter((key) => !demand.includes(key))
      .map((k) => `${site.key} has no demand for ${k}.`),
    ...demand.filter((key) => !served.includes(key)).map((k) => `${site.key} does not serve ${k}.`),
    ...site.closedWeekdays
      .filter((day) => open.includes(day))
      .map((day) => `${site.key} is closed on weekday ${day} but serves on it.`),
  ];
}

function menuFaults(index: DemoIndex, data: DemoData): string[] {
  return data.menus.flatMap((menu) => {
    const site = index.sites.get(menu.site);
    if (site === undefined) return [`Menu ${menu.key} is at '${menu.site}', which is unknown.`];
    const served = site.services.map((service) => service.key);
    return [
      ...menu.services
        .filter((key) => !served.includes(key))
        .map((key) => `Menu ${menu.key} is for ${key}, which ${site.key} does not serve.`),
      ...menu.lines.flatMap(({ dish }) => {
        const recipe = index.recipes.get(dish);
        if (recipe?.kind !== 'dish') return [`Menu ${menu.key} names '${dish}', which is no dish.`];
        return recipe.prices?.some((price) => price.currency === site.currency) === true
          ? []
          : [`${dish} has no price in ${site.currency} for menu ${menu.key}.`];
      }),
    ];
  });
}

function eventFaults(index: DemoIndex, data: DemoData): string[] {
  return data.events.flatMap((event) => {
    const site = index.sites.get(event.site);
    if (site === undefined) return [`'${event.name}' is at '${event.site}', which is unknown.`];
    const served = site.services.map((service) => service.key);
    const faults = (event.services ?? [])
      .filter((key) => !served.includes(key))
      .map((key) => `'${event.name}' is at ${key}, which ${site.key} does not serve.`);
    if (event.fromDays > event.toDays) faults.push(`'${event.name}' ends before it begins.`);
    if (event.dish !== undefined && index.recipes.get(event.dish)?.kind !== 'dish') {
      faults.push(`'${event.name}' names '${event.dish}', which is no dish.`);
    }
    return faults;
  });
}

function parFaults(index: DemoIndex, data: DemoData): string[] {
  const pars = data.pars.flatMap((par) => {
    const faults: string[] = [];
    if (!index.sites.has(par.site)) faults.push(`A par is at '${par.site}', which is unknown.`);
    if (!index.recipes.has(par.recipe))
      faults.push(`A par is of '${par.recipe}', which is unknown.`);
    if ((par.rule === 'fixed') !== (par.quantity !== undefined)) {
      faults.push(
        `The par of ${par.recipe} at ${par.site} has a quantity if and only if it is fixed.`,
      );
    }
    if ((par.rule === 'service_level') !== (par.level !== undefined)) {
      faults.push(`The par of ${par.recipe} at ${par.site} has a level with that rule alone.`);
    }
    return faults;
  });
  const overrides = data.overrides.flatMap((override) => {
    const served = index.sites.get(override.site)?.services.map((service) => service.key);
    return served?.includes(override.service)
      ? []
      : [`An override is at ${override.site} ${override.service}, which is not served.`];
  });
  return [...pars, ...overrides];
}

function supplyFaults(index: DemoIndex, data: DemoData): string[] {
  const suppliers = new Map(data.suppliers.map((supplier) => [supplier.key, supplier]));
  const faults = data.suppliers.flatMap((supplier) =>
    supplier.sites.flatMap((key) => {
      const site = index.sites.get(key);
      if (site === undefined) return [`${supplier.key} serves '${key}', which is unknown.`];
      return site.currency === supplier.currency
        ? []
        : [`${supplier.key} sells in ${supplier.currency} to ${key}, which pays ${site.currency}.`];
    }),
  );
  for (const pack of data.packs) {
    const at = `Pack ${pack.supplier} ${pack.sku}`;
    if (!suppliers.has(pack.supplier)) faults.push(`${at}: the supplier is unknown.`);
    if (!index.ingredients.has(pack.ingredient))
      faults.push(`${at}: '${pack.ingredient}' is unknown.`);
    if (!hasGtinCheckDigit(pack.gtin))
      faults.push(`${at}: the check digit of ${pack.gtin} is wrong.`);
    const dates = pack.prices.map((price) => price.fromDaysAgo);
    if (dates.some((daysAgo, i) => i > 0 && daysAgo >= (dates[i - 1] ?? Infinity))) {
      faults.push(`${at}: its prices are not in order of date.`);
    }
  }
  for (const site of data.sites) {
    const sold = new Set(
      data.packs
        .filter((pack) => suppliers.get(pack.supplier)?.sites.includes(site.key) === true)
        .map((pack) => pack.ingredient),
    );
    for (const key of boughtAt(index, data, site.key)) {
      if (!sold.has(key)) faults.push(`Nobody sells '${key}' to ${site.key}.`);
    }
  }
  return faults;
}

/** Keys of the ingredients a site must buy for its cards of all seasons; pieces instead of their parts. */
export function boughtAt(index: DemoIndex, data: DemoData, site: string): ReadonlySet<string> {
  const bought = new Set<string>();
  const seen = new Set<string>();
  const walk = (key: string): void => {
    if (seen.has(key)) return;
    seen.add(key);
    for (const line of (index.recipes.get(key)?.versions ?? []).flatMap((v) => v.lines)) {
      const item = lineItem(line);
      if (item.kind === 'component') walk(item.key);
      if (item.kind === 'byProduct') walk(index.byProducts.get(item.key)?.recipe.key ?? '');
      const ingredient = item.kind === 'ingredient' ? index.ingredients.get(item.key) : undefined;
      if (ingredient !== undefined && ingredient.notBought !== true) {
        bought.add(ingredient.partOf?.piece ?? ingredient.key);
      }
    }
  };
  for (const menu of data.menus.filter((candidate) => candidate.site === site)) {
    for (const line of menu.lines) walk(line.dish);
  }
  return bought;
}

/** GS1 check digit: weights 3, 1, 3, … from the digit next to it leftwards. */
function hasGtinCheckDigit(gtin: string): boolean {
  const digits = [...gtin].map(Number).reverse();
  const sum = digits.reduce((total, digit, i) => total + digit * (i % 2 === 1 ? 3 : 1), 0);
  return digits.length === 13 && sum % 10 === 0;
}

const isWhole = (value: number): boolean => Math.abs(value - Math.round(value)) < 1e-9;

function repeated(keys: readonly string[]): string[] {
  return [...new Set(keys.filter((key, i) => keys.indexOf(key) !== i))];
}

function thrown(run: () => unknown): string | undefined {
  try {
    run();
    return undefined;
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}
