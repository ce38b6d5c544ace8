import { describe, expect, it } from 'vitest';
import { allergenName } from '../../../api/core/allergens/index.ts';

// Labels: Regulation (EU) No 1169/2011, Annex II; Federal Food, Drug, and Cosmetic Act s. 201(qq).
describe('what an allergen code is called', () => {
  it.each([
    ['milk', 'eu', 'Milk', null],
    ['nuts:almond', 'uk', 'Nuts', 'almond'],
    ['gluten:wheat', 'eu', 'Cereals containing gluten', 'wheat'],
    ['gluten:wheat', 'us', 'Wheat', null],
    ['gluten:spelt', 'us', 'Wheat', 'spelt'],
  ] as const)('%s under %s law: %s, %s', (code, regime, label, kind) => {
    expect(allergenName(code, regime)).toEqual({ code, label, kind });
  });

  it('keeps a name where the law of the site does not list it', () => {
    expect(allergenName('celery', 'us')).toEqual({ code: 'celery', label: 'Celery', kind: null });
    expect(allergenName('gluten:rye', 'us')).toEqual({
      ...{ code: 'gluten:rye', label: 'Cereals containing gluten', kind: 'rye' },
    });
  });

  it('leaves a text that is no code as it came', () => {
    expect(allergenName('moss', 'eu')).toEqual({ code: 'moss', label: 'moss', kind: null });
  });
});
