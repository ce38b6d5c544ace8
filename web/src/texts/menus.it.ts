import type { menusEn } from './menus.en.ts';

/** Testi dei menu di una sede, settimana per settimana. */
export const menusIt: typeof menusEn = {
  menusNav: 'Menu',
  menusTitle: (site) => `Che cosa c’è nei menu, ${site}`,
  menusFrom: (day) => `Sei settimane da ${day}`,
  menusBefore: 'Prima',
  menusAfter: 'Dopo',
  weekOf: (day) => `settimana del ${day}`,
  onAllWeek: 'c’è',
  onFrom: (day) => `da ${day}`,
  onUntil: (day) => `fino a ${day}`,
  onBetween: (first, last) => `da ${first} a ${last}`,
  everyService: 'ogni servizio',
  sharesNow: (share) => `${share} degli ospiti`,
  noMenus: 'In queste settimane non c’è nessun menu. Vai prima o dopo per vederne altri.',
  changeMenu: (menu) => `Cambia ${menu}`,
  menuFirstDay: 'Primo giorno',
  menuLastDay: 'Ultimo giorno (vuoto: fino a nuovo avviso)',
  shareOf: (dish, service) => `${dish}, ${service}: quanti ospiti su 100`,
  dropDish: (dish, service) => `Togli dal menu: ${dish}, ${service}`,
  takenOff: 'tolto',
  putBack: (dish, service) => `Rimetti: ${dish}, ${service}`,
  shareRule: 'Una quota è un numero sopra 0 e al massimo 100.',
  menuChanged: (menu) => `${menu} è cambiato.`,
};
