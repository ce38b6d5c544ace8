/** How a figure was made, from the names of what it was made from. */
type FormulaWords = (
  terms: readonly string[],
  given: Readonly<Record<'multiple' | 'minimum' | 'step' | 'lower' | 'upper' | 'percent', string>>,
) => string;

/** Texts of the plan seen otherwise: a week, what to pull for tomorrow, what changed, how tight it is. */
export const viewsEn = {
  weekNav: 'The week',
  weekTitle: (site: string) => `What is made when, ${site}`,
  weekFrom: (day: string) => `Seven days from ${day}`,
  weekBefore: 'Week before',
  weekAfter: 'Week after',
  component: 'Component',
  nothingThisWeek: 'Nothing is planned for these days.',
  downloadWeek: 'Download CSV',
  downloadTasks: 'Download the tasks (CSV)',
  calendarFile: 'Calendar file (iCalendar)',
  pullTitle: (day: string) => `Tonight, for ${day}`,
  pullFreezer: 'In the freezer, used that day: take out now what must thaw',
  pullBegin: 'Must be begun today',
  pullNothing: 'Nothing has to come out or be begun for that day.',
  pullStarted: 'begun',
  pullFor: (whom: string) => `for ${whom}`,
  readyThen: (when: string) => `ready ${when}`,
  beginNow: 'Start now',
  finishedBefore: 'Finished',
  whyUnits: {
    covers: 'covers',
    portions: 'portions',
    packs: 'packs',
    containers: 'containers',
  } as Record<string, string>,
  formula: {
    given: (terms) => terms.join(' + '),
    'weighted-sum': (terms) => terms.join(' + '),
    product: (terms) => terms.join(' × '),
    quotient: (terms) => terms.join(' ÷ '),
    maximum: (terms) => `the largest of ${terms.join(', ')}`,
    minimum: (terms) => `the smallest of ${terms.join(', ')}`,
    'not-below-zero': (terms) => `${terms.join(' + ')}, not below 0`,
    'round-up-to-multiple': (terms, { multiple, minimum }) =>
      `${terms.join(' + ')}, rounded up to a multiple of ${multiple}${minimum === '' ? '' : `, at least ${minimum}`}`,
    'round-to-step': (terms, { step }) => `${terms.join(' + ')}, to the nearest ${step}`,
    clamp: (terms, { lower, upper }) =>
      [
        terms.join(' + '),
        lower === '' ? '' : `at least ${lower}`,
        upper === '' ? '' : `at most ${upper}`,
      ]
        .filter((part) => part !== '')
        .join(', '),
    'distribution-quantile': (terms, { percent }) =>
      `enough in ${percent} of 100 such services, from ${terms.join(', ')}`,
    'compound-quantile': (terms, { percent }) =>
      `enough in ${percent} of 100 such services, from ${terms.join(', ')}`,
  } satisfies Record<string, FormulaWords>,
  lookTitle: (when: string) => `Changed since you looked at ${when}`,
  lookNew: 'new',
  lookGone: 'no longer to make',
  lookAmount: (from: string, to: string) => `${from} → ${to}`,
  lookMoved: (from: string, to: string) => `start by ${to}, not ${from}`,
  lookSeen: 'Seen',
  helpAsk: 'What would help?',
  helpBusy: 'Planning it through…',
  helpKind: {
    'one-more-pair-of-hands': 'One more pair of hands until then',
    'start-earlier': 'Opening two hours earlier and closing one later',
    'borrow-equipment': 'One more of the equipment',
    'even-chance': 'Planning to last every second time only',
    'cut-the-par': 'Cutting the par to every second time',
    'another-dish': 'That day without this dish, its guests choosing another',
  } as Record<string, string>,
  helpMends: 'nothing short',
  helpLeaves: (what: string) => `still ${what} short`,
  helpOthers: (before: number, after: number) =>
    after === before ? '' : `Short in all: ${before} → ${after}.`,
  helpElsewhere: (site: string, what: string) => `${site} has ${what} in date and no plan for it.`,
  helpNothing: 'Nothing that may be changed would help: make less of it, or another dish.',
  helpNotShort: 'Worked out now it is short no more. Work the plan out again.',
  helpHasBeen: 'The service has been: nothing mends it any more.',
  helpStillLate: (minutes: number) => `still ${minutes} minutes late`,
  helpStillTight: 'still without room on its day',
  helpKitchen: (site: string, what: string) => `${site} makes ${what} of it`,
  helpMoreWork: (minutes: number) => `About ${minutes} minutes more work there.`,
  tightTitle: 'Tight',
  solutionBest: 'No other choice of batches would save work in this plan.',
  solutionWords: (gap: string) =>
    `Another choice of batches could save at most ${gap} of the work in this plan.`,
};
