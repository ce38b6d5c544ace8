import { Refusal } from '../platform/index.ts';
import type { PackInput, Supplier, SuppliersWork } from './suppliers.ports.ts';

/**
 * One pack of an ingredient is the one ordered by habit at a site.
 * @throws Refusal `conflict` naming the pack that is it already
 */
export async function refuseSecondDefault(
  work: Pick<SuppliersWork, 'suppliers'>,
  packId: string,
  supplier: Supplier,
  input: PackInput,
): Promise<void> {
  if (!input.isDefault) return;
  for (const other of await work.suppliers.defaultPacksOf(input.ingredientId)) {
    if (other.id === packId) continue;
    const seller = await work.suppliers.find(other.supplierId);
    const shared = seller?.siteIds.some((siteId) => supplier.siteIds.includes(siteId)) ?? false;
    if (other.supplierId === supplier.id || shared) {
      const message = `${other.name} is the pack ordered by habit already.`;
      throw new Refusal('conflict', message, {
        issues: [{ pointer: '/isDefault', message }],
        detail: { packId: other.id },
      });
    }
  }
}
