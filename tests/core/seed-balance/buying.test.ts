import { describe, expect, it } from 'vitest';
import { buyingFaults, type DemoBuying } from '../../../seed/generator/buying.ts';
import { readDemo } from '../../../seed/load/load-demo.ts';

const data = readDemo();
const faults = (changes: Partial<DemoBuying>) => buyingFaults(data, { ...data.buying, ...changes });

describe('what the demo group buys by', () => {
  it('has a contract, something a supplier cannot give, a stand-in and sites that buy together', () => {
    const { contracts, gaps, substitutes, together } = data.buying;
    for (const list of [contracts, gaps, substitutes, together]) {
      expect(list.length).toBeGreaterThan(0);
    }
    expect(faults({})).toEqual([]);
    expect(data.ingredients.some((one) => one.withdrawn !== undefined)).toBe(true);
    expect(data.ingredients.some((one) => one.months !== undefined)).toBe(true);
  });

  it('leaves another way to buy what a contract or a gap is about, so that orders show it', () => {
    const sellers = (ingredient: string, sites: readonly string[]) =>
      data.suppliers.filter(
        (supplier) =>
          supplier.sites.some((site) => sites.includes(site)) &&
          data.packs.some(
            (pack) => pack.supplier === supplier.key && pack.ingredient === ingredient,
          ),
      );
    for (const { ingredient, site } of data.buying.contracts) {
      expect(sellers(ingredient, [site]).length).toBeGreaterThan(1);
    }
    for (const { ingredient, supplier } of data.buying.gaps) {
      const sites = data.suppliers.find(({ key }) => key === supplier)?.sites ?? [];
      expect(sellers(ingredient, sites).length).toBeGreaterThan(1);
    }
  });

  it('is refused where it names what is not there', () => {
    const [contract] = data.buying.contracts;
    const [gap] = data.buying.gaps;
    const [substitute] = data.buying.substitutes;
    if (!contract || !gap || !substitute)
      throw new Error('The demo lacks a contract, gap or stand-in.');
    const elsewhere = data.suppliers.find(({ sites }) => !sites.includes(contract.site));
    expect(faults({ contracts: [{ ...contract, ingredient: 'moon-dust' }] })).toEqual([
      `'${contract.supplier}' sells no 'moon-dust'.`,
    ]);
    expect(faults({ contracts: [{ ...contract, supplier: elsewhere?.key ?? '' }] })).toContain(
      `'${elsewhere?.key}' does not bring to '${contract.site}'.`,
    );
    expect(faults({ gaps: [{ ...gap, supplier: 'nobody' }] })).toHaveLength(1);
    expect(faults({ substitutes: [{ ...substitute, substitute: 'moon-dust' }] })).toHaveLength(1);
    expect(faults({ together: [{ sites: ['ferry-house', 'serafina'], days: 7 }] })).toHaveLength(1);
  });
});
