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
  pullFreezer: 'Fuori dal congelatore, ciò che deve scongelare',
  pullBegin: 'Da iniziare oggi',
  pullNothing: 'Per quel giorno non c’è nulla da tirare fuori o da iniziare.',
  pullStarted: 'iniziata',
  pullFor: (whom) => `per ${whom}`,
  readyThen: (when) => `pronta ${when}`,
  lookTitle: (when) => `Cambiato da quando hai guardato alle ${when}`,
  lookNew: 'nuova',
  lookGone: 'non più da fare',
  lookAmount: (from, to) => `${from} → ${to}`,
  lookSeen: 'Visto',
  tightTitle: 'Stretto',
  solutionWords: (gap) =>
    `Le dosi di questo piano sono scelte livello per livello; del loro lavoro si potrebbe risparmiare al massimo il ${gap}.`,
};
