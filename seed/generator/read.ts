import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

import type { z } from 'zod';

import { betweenSitesFaults, betweenSitesFile } from './between-sites.ts';
import { buyingFaults, buyingFile } from './buying.ts';
import { findFaults } from './check-data.ts';
import { fileSchemas } from './schema.ts';
import type { DemoData } from './types.ts';

/** The demo files are wrong: one sentence per fault. */
export class DemoDataError extends Error {
  readonly faults: readonly string[];
  constructor(faults: readonly string[]) {
    super(`The demo data is not sound:\n${faults.map((fault) => `- ${fault}`).join('\n')}`);
    this.name = 'DemoDataError';
    this.faults = faults;
  }
}

/**
 * Reads the demo group from a folder laid out as seed/data, checks every file's shape and that the
 * files agree with each other.
 * @param folder path of the data folder
 * @throws DemoDataError naming each file, place and fault
 */
export function readDemoData(folder: string): DemoData {
  const { name, note, seasonStarts } = readFile(join(folder, 'group.json'), fileSchemas.group);
  const { pars, overrides } = readFile(join(folder, 'pars.json'), fileSchemas.pars);
  const { ways, makings } = readFile(join(folder, 'between-sites.json'), betweenSitesFile);
  const { contracts, gaps, substitutes, together } = readFile(
    join(folder, 'buying.json'),
    buyingFile,
  );
  const data: DemoData = {
    group: { name, note, seasonStarts },
    sites: readFile(join(folder, 'sites.json'), fileSchemas.sites).sites,
    events: readFile(join(folder, 'events.json'), fileSchemas.events).events,
    menus: readFile(join(folder, 'menus.json'), fileSchemas.menus).menus,
    suppliers: readFile(join(folder, 'suppliers.json'), fileSchemas.suppliers).suppliers,
    ingredients: readAll(join(folder, 'ingredients'), fileSchemas.ingredients, 'ingredients'),
    recipes: readAll(join(folder, 'recipes'), fileSchemas.recipes, 'recipes'),
    packs: readAll(join(folder, 'packs'), fileSchemas.packs, 'packs'),
    pars,
    overrides,
    ways,
    makings,
    buying: { contracts, gaps, substitutes, together },
  };
  const faults = [
    ...findFaults(data),
    ...betweenSitesFaults(
      data.sites.map((site) => site.key),
      data.recipes.filter(({ kind }) => kind === 'component').map((recipe) => recipe.key),
      data,
    ),
    ...buyingFaults(data, data.buying),
  ];
  if (faults.length > 0) throw new DemoDataError(faults);
  return data;
}

/** Every .json file of a folder in order of name, their lists joined. */
function readAll<K extends string, T>(
  folder: string,
  schema: z.ZodType<Record<K, T[]>>,
  member: K,
): T[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .sort()
    .flatMap((file) => readFile(join(folder, file), schema)[member]);
}

function readFile<T>(path: string, schema: z.ZodType<T>): T {
  const parsed = schema.safeParse(parseJson(path));
  if (parsed.success) return parsed.data;
  throw new DemoDataError(
    parsed.error.issues.map((issue) => `${path} at /${issue.path.join('/')}: ${issue.message}`),
  );
}

function parseJson(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    throw new DemoDataError([`${path}: ${error instanceof Error ? error.message : String(error)}`]);
  }
}
