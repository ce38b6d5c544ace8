import type { components } from './schema.d.ts';

type Schemas = components['schemas'];
export type Session = Schemas['Session'];
export type PrepList = Schemas['PrepList'];
export type PrepTask = Schemas['PrepTask'];
export type PlannedService = Schemas['PlannedService'];
export type Shortage = Schemas['Shortage'];
export type UseFirst = Schemas['UseFirst'];
export type NeededFor = Schemas['NeededFor'];
export type RecipeCard = Schemas['RecipeCard'];
export type CardBatch = RecipeCard['batches'][number];
export type Explanation = Schemas['Explanation'];
export type StockLot = Schemas['StockLot'];
export type SetupState = Schemas['SetupState'];
export type Amount = Schemas['AmountOrZero'];
export type Money = Schemas['Money'];
