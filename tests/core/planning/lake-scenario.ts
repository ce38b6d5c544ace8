import { openIntervals, serviceInstant } from '../../../api/core/calendar/index.ts';
import type {
  PlannedService,
  PlanVersion,
  SitePlanInput,
} from '../../../api/core/planning/index.ts';
import type { Item } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

// A small invented menu: a lemon curd tart and a hazelnut sponge with roasted plums, whose roasting
// juice glazes the sponge. Synthetic figures, chosen so that each step can be checked by hand.
export const ZONE = 'Europe/Rome';

const item = (id: string, kind: Item['kind'], baseUnit: Item['baseUnit'] = 'g'): Item => ({
  id,
  kind,
  name: id,
  baseUnit,
});

export const items: readonly Item[] = [
  item('tart', 'dish', 'each'),
  item('sponge-plate', 'dish', 'each'),
  item('curd', 'component'),
  item('shell', 'component', 'each'),
  item('sweet-paste', 'component'),
  item('sponge', 'component'),
  item('roast-plums', 'component'),
  item('plum-juice', 'component'),
  item('flour', 'ingredient'),
  item('butter', 'ingredient'),
  item('sugar', 'ingredient'),
  item('egg', 'ingredient', 'each'),
  item('plum', 'ingredient'),
  item('hazelnut', 'ingredient'),
  item('lemon', 'ingredient', 'each'),
  item('lemon-zest', 'ingredient'),
  item('lemon-juice', 'ingredient'),
];

let lineCount = 0;
const line = (itemId: string, quantity: number, yieldFraction = 1, perBatch = false) => {
  lineCount += 1;
  return { id: `line-${itemId}-${lineCount}`, itemId, quantity, yieldFraction, perBatch };
};

interface VersionShape {
  readonly output: number;
  readonly lines: ReturnType<typeof line>[];
  readonly steps?: PlanVersion['steps'];
  readonly shelfLifeHours?: number;
  readonly from?: string;
  readonly number?: number;
  readonly step?: number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly byProducts?: readonly { itemId: string; quantity: number; mayStartBatch?: boolean }[];
}

export function version(itemId: string, shape: VersionShape): PlanVersion {
  return {
    versionId: `ver-${itemId}-${shape.number ?? 1}`,
    versionNumber: shape.number ?? 1,
    itemId,
    station: 'pastry',
    firstServiceDate: shape.from ?? '2026-01-01',
    shelfLifeMin: (shape.shelfLifeHours ?? 48) * 60,
    steps: shape.steps ?? [{ id: `${itemId}-make`, workingMin: 30, waitingMin: 0 }],
    cautions: [],
    recipe: {
      itemId,
      versionId: `ver-${itemId}-${shape.number ?? 1}`,
      outputs: [
        { itemId, quantity: shape.output, main: true },
        ...(shape.byProducts ?? []).map((by) => ({ ...by, main: false, shelfLifeMin: 72 * 60 })),
      ],
      lines: shape.lines,
      batchLimits: {
        stepBatches: shape.step ?? 1,
        minimumBatches: shape.minimum ?? 1,
        ...(shape.maximum === undefined ? {} : { maximumBatches: shape.maximum }),
      },
    },
  };
}

const set = (id: string, workingMin: number, waitingMin: number) => [
  { id, workingMin, waitingMin, holdMaxMin: 48 * 60 },
];

export const versions: readonly PlanVersion[] = [
  version('tart', { output: 1, lines: [line('curd', 60), line('shell', 1)] }),
  version('sponge-plate', {
    output: 1,
    lines: [line('sponge', 50), line('roast-plums', 70), line('plum-juice', 10)],
  }),
  // Six hours to set: lunch needs it made the day before.
  version('curd', {
    output: 1200,
    shelfLifeHours: 72,
    step: 0.5,
    minimum: 0.5,
    steps: set('curd-set', 30, 360),
    lines: [
      line('lemon-juice', 300),
      line('lemon-zest', 12),
      line('sugar', 300),
      line('egg', 8),
      line('butter', 300),
    ],
  }),
  version('shell', {
    output: 20,
    shelfLifeHours: 48,
    maximum: 2,
    lines: [line('sweet-paste', 700, 0.95)],
  }),
  version('sweet-paste', {
    output: 1000,
    shelfLifeHours: 72,
    steps: set('paste-rest', 20, 120),
    lines: [line('flour', 500), line('butter', 300), line('sugar', 180), line('egg', 1, 1, true)],
  }),
  version('sponge', {
    output: 1500,
    lines: [line('hazelnut', 400), line('egg', 10), line('sugar', 400), line('flour', 200)],
  }),
  version('roast-plums', {
    output: 1500,
    lines: [line('plum', 2000, 0.94), line('sugar', 150)],
    byProducts: [{ itemId: 'plum-juice', quantity: 400 }],
  }),
];

export const pieceParts: SitePlanInput['pieceParts'] = [
  {
    itemId: 'lemon-zest',
    pieceItemId: 'lemon',
    pieceMassG: 110,
    group: 'zest',
    yieldPerPiece: 3,
    keepsDays: 0,
  },
  {
    itemId: 'lemon-juice',
    pieceItemId: 'lemon',
    pieceMassG: 110,
    group: 'flesh',
    yieldPerPiece: 48,
    keepsDays: 1,
  },
];

export const at = (date: string, time: string): number => unwrap(serviceInstant(date, time, ZONE));

export function service(
  date: string,
  name: 'Lunch' | 'Dinner',
  covers: number,
  dishes: readonly { dishId: string; share: number; preOrdered?: number }[],
): PlannedService {
  const [starts, ends] = name === 'Lunch' ? ['12:00', '14:30'] : ['19:00', '22:30'];
  return {
    id: `${name}-${date}`,
    serviceId: `svc-${name}`,
    name,
    serviceDate: date,
    startMin: at(date, starts),
    endMin: at(date, ends),
    terms: [
      {
        label: 'Booked',
        value: covers / 2,
        factor: 0.9,
        source: { kind: 'covers snapshot', id: `snap-${date}` },
      },
      { label: 'Still to come', value: covers * 0.55, factor: 1 },
    ],
    distribution: { kind: 'negative-binomial', mean: covers, size: 20 },
    certainFraction: 0.45,
    dishes: dishes.map((dish) => ({
      ...dish,
      shareSource: { kind: 'menu line', id: `ml-${dish.dishId}` },
      level: 0.85,
    })),
  };
}

export const both = [
  { dishId: 'tart', share: 0.4 },
  { dishId: 'sponge-plate', share: 0.3 },
] as const;

export function planInput(
  services: readonly PlannedService[],
  extra: Partial<SitePlanInput> = {},
): SitePlanInput {
  const dates = services.map((s) => s.serviceDate).sort();
  const fromDate = '2026-03-09';
  const toDate = dates.at(-1) ?? fromDate;
  const hours = ([1, 2, 3, 4, 5, 6, 7] as const).map((weekday) => ({
    weekday,
    opens: '07:00',
    closes: '23:00',
  }));
  return {
    siteId: 'site-1',
    zone: ZONE,
    nowMin: at(fromDate, '06:30'),
    horizonEndMin: at(toDate, '23:00'),
    open: unwrap(openIntervals({ zone: ZONE, hours, closedDates: [], fromDate, toDate })),
    services,
    items,
    versions,
    lots: [],
    pieceParts,
    ...extra,
  };
}

/** The same, with curd that sets one batch at a time in a mould set of the kitchen's. */
export const curdInMoulds: readonly PlanVersion[] = versions.map((v) =>
  v.itemId === 'curd'
    ? {
        ...v,
        steps: [
          {
            id: 'curd-set',
            workingMin: 30,
            waitingMin: 360,
            holdMaxMin: 48 * 60,
            growingFraction: 0,
            equipment: { kind: 'mould set', amount: 1 },
          },
        ],
        recipe: {
          ...v.recipe,
          batchLimits: { stepBatches: 1, minimumBatches: 1, maximumBatches: 1 },
        },
      }
    : v,
);
