import { betweenEn } from './between.en.ts';
import { buyingEn } from './buying.en.ts';
import { deskEn } from './desk.en.ts';
import { expectedEn } from './expected.en.ts';
import { peopleEn } from './people.en.ts';
import { recipesEn } from './recipes.en.ts';
import { safetyEn } from './safety.en.ts';
import { menusEn } from './menus.en.ts';
import { supplyEn } from './supply.en.ts';
import { termsEn } from './terms.en.ts';
import { viewsEn } from './views.en.ts';

const plural = new Intl.PluralRules('en-GB');
const one = (count: number, single: string, several: string): string =>
  plural.select(count) === 'one' ? single : several;

/** Every text of the page in British kitchen English. */
export const en = {
  ...safetyEn,
  // Everywhere
  loading: 'One moment…',
  skip: 'Skip to the page',
  pages: 'Pages',
  site: 'Site',
  language: 'Language',
  signOut: 'Sign out',
  undo: 'Undo',
  print: 'Print',
  reload: 'Load it',
  newerPage: 'A newer version of this page is ready.',
  today: 'today',
  tomorrow: 'tomorrow',
  yesterday: 'yesterday',
  pieces: (shown: string, count: number) => `${shown}\u00a0${one(count, 'piece', 'pieces')}`,
  piecesWord: 'pieces',
  batches: (shown: string, count: number) => `${shown}\u00a0${count <= 1 ? 'batch' : 'batches'}`,
  days: (days: number, hours: number) =>
    `${days}\u00a0${one(days, 'day', 'days')}${hours > 0 ? ` ${hours}\u00a0h` : ''}`,
  notFound: 'There is nothing at this address.',
  toStart: 'To the first page',

  // The state of the connection
  connected: 'Connected',
  noConnection: (since: string) => `No connection since ${since}`,
  goOn: 'Go on working: what you tick is kept on this device and sent later.',
  waitToSend: (count: number) => `${count} ${one(count, 'entry waits', 'entries wait')} to be sent`,
  sending: (count: number) => `Sending ${count} ${one(count, 'entry', 'entries')}…`,
  othersWait: (count: number) =>
    `${count} ${one(count, 'entry', 'entries')} of somebody else on this device will be sent when they sign in.`,
  keptFrom: (when: string) => `This is what the device kept at ${when}.`,
  noAnswer:
    'The service does not answer. Nothing was changed. Try again when there is a connection.',
  screenRenewed: 'This screen could not be fetched; the page may be newer by now.',
  neverKept: 'There is no connection, and this device has not kept this page yet.',
  notCounted: (name: string, at: string) => `${name}, entered at ${at}, was not counted:`,
  haveRead: 'I have read this',
  onlyHere: 'Pages work without a network only over https; ask whoever runs the service.',

  // Signing in, first set-up
  signIn: 'Sign in',
  signInAgain: 'Your session has ended. Sign in again; what waits to be sent is kept.',
  email: 'Email',
  password: 'Password',
  setUpTitle: 'First set-up',
  setUpWords: 'Nobody can sign in yet. Set up the first person, who may then add the others.',
  setUpCode: 'Code shown where the service was started',
  groupName: 'Name of the group',
  yourName: 'Your name',
  passwordRule: 'At least 12 characters.',
  finishSetUp: 'Finish set-up',
  couldNotStart: 'The service does not answer, and nobody has signed in on this device yet.',
  tryAgain: 'Try again',

  // Pages
  prepList: 'Prep list',
  group: 'All sites',
  orders: 'Orders',
  fridge: 'Fridge',

  // Prep list
  dayBefore: 'Day before',
  dayAfter: 'Day after',
  thisDay: 'Go to today',
  workOut: 'Work out again',
  workingOut: 'Working it out…',
  workedOut: (when: string) => `Worked out ${when}.`,
  workedOutNow: 'The plan is worked out anew.',
  noPlan: 'There is no plan for this site yet. Work it out to see the list.',
  firstPlan: 'Work out the plan',
  short: 'Short',
  shortOf: (amount: string, name: string) => `${amount} of ${name} short.`,
  behindTitle: 'Since this list was worked out',
  behindPart: (made: string, planned: string) =>
    `${made} of ${planned} made, and the rest is not on the list`,
  behindLess: (made: string, needed: string) => `${made} made, ${needed} needed`,
  behindGivenUp: (planned: string) => `${planned} given up, and nothing is planned instead`,
  behindMadeHeld: (made: string) => `${made} made and held back, do not use`,
  behindLate: (count: number) =>
    count === 1
      ? 'One task is late to start: when it is ready, and what waits for it, no longer holds'
      : `${count} tasks are late to start: when they are ready, and what waits for them, no longer holds`,
  behindHeld: (planned: string) => `${planned} in the fridge held back, do not use`,
  behindLeft: (left: string, planned: string) =>
    `${left} left in the fridge, ${planned} counted on`,
  lotGone: 'not there any more',
  lotLess: (left: string) => `only ${left} left`,
  warnings: 'Know before you rely on these figures',
  toMake: 'To make',
  leftToMake: (left: number, all: number) =>
    left === 0 ? `All ${all} made or given up` : `${left} of ${all} left to make`,
  stations: 'Station',
  allStations: 'All',
  nothingToMake: 'Nothing to make on this day.',
  startBy: 'start by',
  startNow: 'start now',
  late: (span: string) => `late by ${span}`,
  inTime: (span: string) => `in ${span}`,
  underWay: 'under way',
  readyBy: (when: string) => `Ready by ${when}.`,
  keepsUntil: (when: string) => `Use by ${when}.`,
  makings: (count: number) => `in ${count} goes`,
  forWhom: 'For',
  whoNeedsIt: 'Who needs it',
  startByLong: (when: string) => `Start by ${when}.`,
  fridgeFirst: 'First use from the fridge:',
  useByShort: (when: string) => `use by ${when}`,
  changedFrom: (amount: string) => `Changed since the last plan: it was ${amount}.`,
  newInPlan: 'New since the last plan.',
  madeAsPlanned: 'Made',
  madeAsPlannedLong: (name: string, amount: string) => `${name}: made ${amount} as planned`,
  openCard: (name: string) => `Card for ${name}`,
  made: (amount: string) => `Made ${amount}`,
  partMade: (amount: string) => `Made ${amount}, only part`,
  givenUp: (reason: string) => `Given up: ${reason}`,
  dropped: 'Not needed any more since the plan was worked out again',
  byWhom: (name: string) => `by ${name}`,
  atTime: (time: string) => `at ${time}`,
  waits: 'Kept here, not sent yet.',
  services: 'Services',
  covers: (expected: string, low: string, high: string) =>
    `about ${expected} covers (${low} to ${high})`,
  booked: (count: string) => `${count} booked`,
  noneBooked: 'bookings not known',
  noServices: 'No service left on this day.',
  useFirst: 'Use first',
  forUse: 'for',
  moreToUse: (count: number) => `${count} more that keep longer`,
  nothingToUse: 'Nothing in the fridge that must be used first.',
  throwAway: 'Past its date: throw away',
  throwAwayLater: 'Runs out today with no use planned',
  throwOut: 'Throw away',
  thrownAway: 'Thrown away, kept in the record.',
  tomorrowTitle: 'Tomorrow',
  nextDayTitle: (day: string) => `The day after: ${day}`,
  nextDayNothing: 'Nothing to make.',
  wholeList: 'Whole list',

  // Task
  backToList: 'Back to the list',
  start: 'Start',
  startedAt: (time: string) => `Under way since ${time}`,
  finishTitle: 'When it is made',
  howMuch: (unit: string) => `What was made, in ${unit}`,
  numberOnly: 'Write a number above zero.',
  onlyPart: 'Only part of it; the rest is still to make',
  finish: 'Made',
  giveUp: 'Give it up',
  whyGiveUp: 'Why? (it split, no cream left, not needed …)',
  giveUpNow: 'Give it up',
  reasonShort: 'Say why in a few words.',
  counted: 'In the record.',
  weigh: 'Weigh',
  weighOf: (amount: string) => `for ${amount}`,
  weighTimes: (count: number, amount: string) => `${count} times, each for ${amount}`,
  perBatch: 'once a batch, whatever its size',
  finerScale: 'on the fine scale',
  gives: 'gives as well',
  method: 'Method',
  tickStep: (n: number) => `Step ${n} done`,
  working: (span: string) => `${span} work`,
  waiting: (span: string) => `${span} waiting`,
  atDegrees: (degrees: string) => `${degrees}\u00a0°C`,
  holds: (span: string) => `may stand up to ${span}`,
  cooling: 'Cool as your food-safety plan says, and write the temperatures down.',
  startTimer: (span: string) => `Time ${span}`,
  timers: 'Waiting',
  timerLeft: 'left',
  timerOver: (time: string) => `over since ${time}`,
  stopTimer: (name: string) => `Stop the timer of ${name}`,
  stopped: 'Stop',
  madeOtherwiseHere: 'Made otherwise at this site',
  noCard: 'The card is not kept on this device. It needs the connection.',
  version: (n: number) => `Version ${n}`,
  notes: 'Note',

  // Explanation
  why: 'Why this figure?',
  whyNeedsNetwork: 'The explanation needs the connection.',
  whyTimes: 'Why then?',
  whyStageTimes: 'Times',
  whyCovers: 'Covers',
  whyPortions: 'Portions',
  whyComponents: 'What the recipes ask for',
  whyBatches: 'Batches',
  whyOrder: 'Packs',
  figures: (count: number) => `${count} ${one(count, 'figure', 'figures')}`,

  // Group
  groupTitle: (date: string) => `All sites, ${date}`,
  groupReading: (done: number, all: number) => `Reading site ${done} of ${all}…`,
  groupBehind: 'Behind, tasks late to start:',
  groupHeldSites: 'Held back until somebody decides:',
  groupHeld: 'Held back, do not use:',
  groupDecide: 'Look and decide',
  groupShortSites: 'Short, things that will not be there:',
  groupUnknown: 'Without a plan, or not reached:',
  groupAllWell: 'Nobody is behind and nothing is short.',
  groupMade: (made: number, all: number) => `${made} of ${all} made`,
  groupLate: (count: number) => `${count} late to start:`,
  groupNoneLate: 'Nothing late.',
  groupShort: 'Short:',
  groupNoneShort: 'Nothing short.',
  groupUnderWay: 'Under way:',
  groupNoPlan: 'No plan yet.',
  groupOpen: (site: string) => `Prep list of ${site}`,
  andMore: (count: number) => `and ${count} more`,
  sinceTime: (time: string) => `since ${time}`,

  // Orders
  ordersTitle: 'Orders',
  proposeOrders: 'Work out the orders',
  proposing: 'Working the orders out…',
  proposed: (count: number) =>
    count === 0
      ? 'Nothing needs ordering now.'
      : `${count} ${one(count, 'order', 'orders')} worked out.`,
  noOrders: 'No orders yet. Work them out from the prep plans.',
  noOrdersChef: 'No orders for your site yet. Purchasing works them out.',
  allSites: 'All sites',
  whichOrders: 'Show',
  openOrders: 'To be approved',
  allOrders: 'All orders',
  delivery: (day: string) => `Delivery ${day}`,
  lines: (count: number) => `${count} ${one(count, 'line', 'lines')}`,
  orderBy: (when: string) => `Order by ${when}`,
  cutoffIn: (span: string) => `${span} left`,
  cutoffGone: 'the cutoff has passed',
  status: {
    proposed: 'proposed',
    approved: 'approved',
    sent: 'sent',
    confirmed: 'confirmed',
    'part-delivered': 'delivered in part',
    received: 'received',
    closed: 'closed',
    cancelled: 'cancelled',
  } as Record<string, string>,
  cannotBuy: 'Cannot be bought in time',
  csvAll: 'Download all lines of this day (CSV)',
  csv: 'Download CSV',
  xlsx: 'Download workbook (XLSX)',
  ubl: 'Download UBL order (XML)',
  agreedBelowMinimum: 'The supplier takes this order below its minimum',
  backToOrders: 'Back to the orders',
  orderTitle: (supplier: string, site: string) => `${supplier} for ${site}`,
  orderNumber: (n: number) => `Order ${n}`,
  need: 'Needed',
  leftOver: 'Left over',
  orderTotal: 'Order total, net of tax',
  packsOf: (name: string) => `Packs of ${name}`,
  wasPacks: (n: number) => `worked out: ${n}`,
  packsChanged: (name: string, from: number, to: number) =>
    `${name}: ${from} → ${to} ${to === 1 ? 'pack' : 'packs'}.`,
  packsRule: 'Write a whole number of packs, 0 to leave it out.',
  approve: 'Approve',
  approvingIn: (seconds: number) => `Approving in ${seconds} s.`,
  approveNow: 'Approve at once',
  approved: 'Approved.',
  wholeChain: 'From the guests down, figure by figure',
  changedElsewhere:
    'Somebody else changed this order meanwhile. Here is how it stands now; your change was not made.',
  methodGap: (method: string, gap: string | null) => {
    const chosen =
      method === 'habit'
        ? 'Packs chosen by habit'
        : 'Packs, suppliers and days chosen for least cost';
    return gap === null ? `${chosen}.` : `${chosen}; proven within ${gap} of it.`;
  },

  // Fridge
  fridgeTitle: 'Count the fridge',
  fridgeWords: 'Write what there is and go on with Enter. Leave a line empty to leave it as it is.',
  counted1: (name: string) => `${name}: how much there is`,
  onRecord: (amount: string) => `record says ${amount}`,
  saveCount: 'Save the count',
  countKept: (count: number) => `${count} ${one(count, 'count', 'counts')} entered.`,
  nothingCounted: 'Nothing was entered.',
  countRule: 'Write plain numbers, such as 850 or 1.2.',
  fridgeEmpty: 'The record knows of nothing in this fridge.',
  countTakenBack: 'The count is taken back.',
  countedAgainst: (name: string, counted: string, record: string) =>
    `${name}: ${counted}; the record said ${record}.`,
  wasteWhy: 'Why? A tap on the reason writes it off.',
  wasteHow: (unit: string) => `How much goes, in ${unit}`,
  wasteSaid: (amount: string, name: string, reason: string) =>
    `${amount} of ${name} thrown away: ${reason}.`,
  find: 'Find',
  madeHere: 'Made here',
  bought: 'Bought',

  // Guests expected, pars
  ...expectedEn,
  // Recipes, cards, allergens; the lead's desk
  ...recipesEn,
  ...deskEn,
  ...peopleEn,
  ...buyingEn,
  ...menusEn,
  ...viewsEn,
  ...supplyEn,
  ...termsEn,
  ...betweenEn,
};

/** What a language must say. */
export type Texts = typeof en;
