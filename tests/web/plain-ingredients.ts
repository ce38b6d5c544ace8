const none = { contains: [], mayContain: [], sulphitesMgPerKg: null };

/** Sugar and water, described as far as syrups and jellies are worked out from them. */
export const SUGAR_AND_WATER = [
  {
    id: 'ing_sugar',
    name: 'Caster sugar',
    baseUnit: 'g',
    allergens: none,
    composition: {
      waterFraction: 0,
      fatFraction: 0,
      sugars: { sucrose: 1 },
      inMix: 'dissolves',
    },
  },
  { id: 'ing_water', name: 'Water', baseUnit: 'g', notBought: true, allergens: none },
];
