import { ContractsService } from './contracts.service.ts';
import { GapsService, type SupplyTermsDependencies } from './gaps.service.ts';
import { SubstitutesService } from './substitutes.service.ts';
import type { SupplyTermsServices, TermNames } from './supply-terms.routes.ts';

export type * from './supply-terms.ports.ts';
export {
  contractsForChoice,
  ingredientAvailability,
  packAvailability,
  siteAvailability,
} from './pack-availability.ts';
export { keepsDays } from './keeping.ts';
export { supplyTermsRoutes, type SupplyTermsServices } from './supply-terms.routes.ts';

export function createSupplyTermsServices(deps: SupplyTermsDependencies): SupplyTermsServices {
  return {
    gaps: new GapsService(deps),
    contracts: new ContractsService(deps),
    substitutes: new SubstitutesService(deps),
    async names() {
      const { sites, suppliers, ingredients } = deps.work.read;
      return namesOf([
        ...(await sites.all()),
        ...(await suppliers.all()),
        ...(await ingredients.all()),
      ]);
    },
    async goodsNames() {
      const { suppliers, ingredients } = deps.work.read;
      return namesOf([...(await suppliers.packsWithPrices()), ...(await ingredients.all())]);
    },
  };
}

function namesOf(all: readonly { readonly id: string; readonly name: string }[]): TermNames {
  const known = new Map(all.map(({ id, name }) => [id, name]));
  return { name: (id) => known.get(id) ?? id };
}
