import type { viewsEn } from './views.en.ts';

/** Testi del piano visto altrimenti: la settimana, la sera prima, che cosa è cambiato, dove è stretto. */
export const viewsIt: typeof viewsEn = {
  weekNav: 'La settimana',
  weekTitle: (site) => `Che cosa si fa e quando, ${site}`,
  weekFrom: (day) => `Sette giorni da ${day}`,
  weekBefore: 'Settimana prima',
  weekAfter: 'Settimana dopo',
  component: 'Componente',
  nothingThisWeek: 'Per questi giorni non è previsto nulla.',
  downloadWeek: 'Scarica CSV',
  downloadTasks: 'Scarica le preparazioni (CSV)',
  calendarFile: 'File di calendario (iCalendar)',
  pullTitle: (day) => `Stasera, per ${day}`,
  pullFreezer: 'In congelatore, si usa quel giorno: tirare fuori ora ciò che deve scongelare',
  pullBegin: 'Da iniziare oggi',
  pullNothing: 'Per quel giorno non c’è nulla da tirare fuori o da iniziare.',
  pullStarted: 'iniziata',
  pullFor: (whom) => `per ${whom}`,
  readyThen: (when) => `pronta ${when}`,
  beginNow: 'Da iniziare ora',
  finishedBefore: 'Finiti',
  whyUnits: {
    covers: 'coperti',
    portions: 'porzioni',
    packs: 'confezioni',
    containers: 'contenitori',
  },
  formula: {
    given: (terms) => terms.join(' + '),
    'weighted-sum': (terms) => terms.join(' + '),
    product: (terms) => terms.join(' × '),
    quotient: (terms) => terms.join(' ÷ '),
    maximum: (terms) => `il più grande tra ${terms.join(', ')}`,
    minimum: (terms) => `il più piccolo tra ${terms.join(', ')}`,
    'not-below-zero': (terms) => `${terms.join(' + ')}, mai sotto 0`,
    'round-up-to-multiple': (terms, { multiple, minimum }) =>
      `${terms.join(' + ')}, arrotondato in su a un multiplo di ${multiple}${minimum === '' ? '' : `, almeno ${minimum}`}`,
    'round-to-step': (terms, { step }) => `${terms.join(' + ')}, al più vicino di ${step}`,
    clamp: (terms, { lower, upper }) =>
      [
        terms.join(' + '),
        lower === '' ? '' : `almeno ${lower}`,
        upper === '' ? '' : `al massimo ${upper}`,
      ]
        .filter((part) => part !== '')
        .join(', '),
    'distribution-quantile': (terms, { percent }) =>
      `basta in ${percent} servizi simili su 100, da ${terms.join(', ')}`,
    'compound-quantile': (terms, { percent }) =>
      `basta in ${percent} servizi simili su 100, da ${terms.join(', ')}`,
  },
  lookTitle: (when) => `Cambiato da quando hai guardato alle ${when}`,
  lookNew: 'nuova',
  lookGone: 'non più da fare',
  lookAmount: (from, to) => `${from} → ${to}`,
  lookMoved: (from: string, to: string) => `da iniziare entro le ${to}, non le ${from}`,
  lookSeen: 'Visto',
  helpAsk: 'Che cosa aiuterebbe?',
  helpBusy: 'Provo a pianificare…',
  helpKind: {
    'one-more-pair-of-hands': 'Una persona in più fino ad allora',
    'start-earlier': 'Aprire due ore prima e chiudere un’ora dopo',
    'borrow-equipment': 'Un’attrezzatura in più',
    'even-chance': 'Prevedere che basti una volta su due',
    'cut-the-par': 'Abbassare la scorta prevista a una volta su due',
    'another-dish': 'Quel giorno senza questo piatto, gli ospiti ne scelgono un altro',
  },
  helpMends: 'non manca nulla',
  helpLeaves: (what) => `manca ancora ${what}`,
  helpOthers: (before, after) =>
    after === before ? '' : `Mancanze in tutto: ${before} → ${after}.`,
  helpElsewhere: (site, what) => `${site} ha ${what} non scaduti e non previsti.`,
  helpNothing: 'Nulla che si possa cambiare aiuterebbe: farne meno, o un altro piatto.',
  helpNotShort: 'Calcolato adesso non manca più. Ricalcolare il piano.',
  helpHasBeen: 'Il servizio è già passato: non c’è più rimedio.',
  helpStillLate: (minutes) => `ancora ${minutes} minuti di ritardo`,
  helpStillTight: 'ancora senza posto nel suo giorno',
  helpKitchen: (site, what) => `${site} ne prepara ${what}`,
  helpMoreWork: (minutes) => `Circa ${minutes} minuti di lavoro in più lì.`,
  tightTitle: 'Stretto',
  solutionBest: 'Nessun’altra scelta delle dosi farebbe risparmiare lavoro in questo piano.',
  solutionWords: (gap) =>
    `Un’altra scelta delle dosi potrebbe risparmiare al massimo il ${gap} del lavoro di questo piano.`,
};
