import type { Catalogue } from '../../show/wording.ts';
import { allergens } from './allergens.it.ts';
import { checks } from './checks.it.ts';
import { figures } from './figures.it.ts';
import { guests } from './guests.it.ts';
import { ingredients } from './ingredients.it.ts';
import { kitchen } from './kitchen.it.ts';
import { orders } from './orders.it.ts';
import { people } from './people.it.ts';
import { phrases } from './phrases.it.ts';
import { recipes } from './recipes.it.ts';
import { safety } from './safety.it.ts';
import { suppliers } from './suppliers.it.ts';
import { workbooks } from './workbooks.it.ts';

/** Everything the service says, in Italian, by its English wording. */
export const saidIt: Catalogue = {
  sentences: {
    ...allergens,
    ...checks,
    ...figures,
    ...guests,
    ...ingredients,
    ...kitchen,
    ...orders,
    ...people,
    ...recipes,
    ...safety,
    ...suppliers,
    ...workbooks,
  },
  phrases,
};
