import { describe, expect, it } from 'vitest';
import {
  parseAllergenCode,
  regimeGroups,
  SULPHITE_THRESHOLD_MG_PER_KG,
  underRegime,
} from '../../api/core/allergens/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';

/*
 * Source: Regulation (EU) 1169/2011, Annex II, as quoted in the University of Reading's allergen
 * list (groups 1–8) and csa.cz (9–14); UK law keeps the same fourteen.
 */
describe('Annex II to Regulation (EU) 1169/2011', () => {
  it('has fourteen groups in this order, the same in the UK', () => {
    const words = [
      /gluten/,
      /crustaceans/,
      /eggs/,
      /fish/,
      /peanuts/,
      /soybeans/,
      /milk/,
      /nuts/,
      /celery/,
      /mustard/,
      /sesame/,
      /sulph/,
      /lupin/,
      /molluscs/,
    ];
    const groups = regimeGroups('eu');
    expect(groups).toHaveLength(14);
    for (const [i, word] of words.entries()) expect(groups[i]?.label.toLowerCase()).toMatch(word);
    expect(regimeGroups('uk')).toEqual(groups);
  });

  it.each(['wheat', 'spelt', 'khorasan', 'rye', 'barley', 'oats'])(
    'names the cereal %s',
    (kind) => {
      const code = unwrap(parseAllergenCode(`gluten:${kind}`));
      expect(underRegime(code, 'eu')).toMatchObject({ id: 'gluten', kind, kindNotNamed: false });
    },
  );

  it.each(['almond', 'hazelnut', 'walnut', 'cashew', 'pecan', 'brazil', 'pistachio', 'macadamia'])(
    'names the nut %s',
    (kind) => {
      const code = unwrap(parseAllergenCode(`nuts:${kind}`));
      expect(underRegime(code, 'eu')).toMatchObject({ id: 'nuts', kind });
    },
  );

  it('does not name chestnut, coconut or pine nut', () => {
    expect(parseAllergenCode('nuts:chestnut').ok).toBe(false);
    expect(parseAllergenCode('nuts:coconut').ok).toBe(false);
    expect(underRegime(unwrap(parseAllergenCode('nuts:pine-nut')), 'eu')).toBeNull();
  });

  it('lists sulphites above 10 mg/kg', () => {
    expect(SULPHITE_THRESHOLD_MG_PER_KG).toBe(10);
  });
});

/*
 * Sources: FALCPA 2004 and the FASTER Act 2021, as described at thefdalawblog.com, dwt.com and
 * mondaq; nuts: FDA, Questions and Answers Regarding Food Allergens, Edition 5 (6 January 2025),
 * Table 1, as listed by foodallergy.org and canr.msu.edu.
 */
describe('the nine of US law', () => {
  it('are milk, eggs, fish, crustacean shellfish, tree nuts, peanuts, wheat, soybeans, sesame', () => {
    expect(regimeGroups('us').map((g) => g.label)).toEqual([
      'Milk',
      'Eggs',
      'Fish',
      'Crustacean shellfish',
      'Tree nuts',
      'Peanuts',
      'Wheat',
      'Soybeans',
      'Sesame',
    ]);
  });

  it.each([
    'gluten:rye',
    'gluten:barley',
    'gluten:oats',
    'molluscs',
    'celery',
    'mustard',
    'lupin',
    'sulphites',
  ] as const)('do not take in %s', (code) => {
    expect(underRegime(code, 'us')).toBeNull();
  });

  it.each(['wheat', 'spelt', 'khorasan'])('take in %s as wheat', (kind) => {
    expect(underRegime(`gluten:${kind}`, 'us')).toMatchObject({ id: 'wheat', kind });
  });

  it.each([
    'almond',
    'black-walnut',
    'brazil',
    'california-walnut',
    'cashew',
    'hazelnut',
    'heartnut',
    'macadamia',
    'pecan',
    'pine-nut',
    'pistachio',
    'walnut',
  ])('take in the tree nut %s, one of the twelve of the FDA table', (kind) => {
    const code = unwrap(parseAllergenCode(`nuts:${kind}`));
    expect(underRegime(code, 'us')).toMatchObject({ id: 'nuts', kind });
  });

  it('want the species of fish and crustaceans named (FALCPA)', () => {
    expect(underRegime('fish', 'us')?.kindNotNamed).toBe(true);
    expect(underRegime(unwrap(parseAllergenCode('fish:cod')), 'us')).toMatchObject({
      kind: 'cod',
      kindNotNamed: false,
    });
    expect(underRegime('fish', 'eu')?.kindNotNamed).toBe(false);
  });
});
