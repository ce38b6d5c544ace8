/** Ciò che dice il servizio, in italiano: coperti, previsioni, scorte e menù. {1}, {2} stanno per ciò che vi si mette. */
export const guests = {
  'Running out and throwing away cost at least 0, and not both 0.':
    'Restare senza e buttare costano almeno 0, e non entrambi 0.',
  'Weighing running out against waste needs the cost of both; set a service level or a fixed par instead.':
    'Per pesare il restare senza contro lo scarto servono i costi di entrambi; mettere invece un livello di servizio o una scorta fissa.',
  'A service level lies between 0 and 1.': 'Un livello di servizio sta tra 0 e 1.',
  'A fixed par is at least 0.': 'Una scorta fissa è almeno 0.',
  'Row {1} says this already.': 'La riga {1} lo dice già.',
  'For this instant {1} stands already; snapshots are never overwritten.':
    'Per questo istante c’è già {1}; le registrazioni non si sovrascrivono mai.',
  '{1} has no service with the id {2}.': '{1} non ha un servizio con il codice {2}.',
  'This date is more than two years ahead or ten years back.':
    'Questa data è più di due anni avanti o dieci anni indietro.',
  '{1} is not held on {2}.': '{1} non si tiene il {2}.',
  '{1} begins on {2}.': '{1} comincia il {2}.',
  '{1} ended on {2}.': '{1} è finito il {2}.',
  '{1} is closed on {2}.': '{1} è chiuso il {2}.',
  '{1} covers is more than {2} times the {3} seats of {4}.':
    '{1} coperti è più di {2} volte i {3} posti di {4}.',
  'A snapshot cannot be taken in the future. Check clock and offset.':
    'Una registrazione non può essere presa nel futuro. Controllare ora e scarto.',
  'Taken after the service was over: record the outcome instead.':
    'Presa dopo la fine del servizio: registrare invece com’è andata.',
  '{1} cancelled is more than {2} times the {3} seats of {4}.':
    '{1} disdetti è più di {2} volte i {3} posti di {4}.',
  'This service is still to come; nothing has come of it yet.':
    'Questo servizio deve ancora venire; non ne è venuto ancora nulla.',
  'A closed service has no covers.': 'Un servizio chiuso non ha coperti.',
  'Of {1} covers no more than {2} can have walked in.':
    'Di {1} coperti non più di {2} possono essere venuti senza prenotare.',
  'Nobody fails to come to a closed service: say cancelled.':
    'A un servizio chiuso nessuno manca: dire disdetto.',
  'That makes {1} booked; the newest bookings say {2}. Did more walk in?':
    'Fa {1} prenotati; le prenotazioni più nuove dicono {2}. Sono venuti in più senza prenotare?',
  'That makes {1} booked; the newest bookings say {2}. Did more not come?':
    'Fa {1} prenotati; le prenotazioni più nuove dicono {2}. Ne sono mancati di più?',
  'The bookings counted {1} cancelled already.': 'Le prenotazioni contavano già {1} disdetti.',
  'There is no dish with the id {1}.': 'Non c’è nessun piatto con il codice {1}.',
  '{1} portions is more than {2} can serve.': '{1} porzioni è più di quanto {2} possa servire.',
  'A dish sells out on the day of the service.': 'Un piatto finisce nel giorno del servizio.',
  'This instant is still to come.': 'Questo istante deve ancora venire.',
  'There is a snapshot of this service, date and instant already.':
    'C’è già una registrazione di questo servizio, data e istante.',
  'Another figure stands for this instant already.': 'Per questo istante c’è già un’altra cifra.',
  'It says {1}.': 'Dice {1}.',
  'The dish is on no menu of this service on {1}. Put it on the menu for that date first.':
    'Il piatto non è su nessun menù di questo servizio il {1}. Metterlo prima sul menù per quella data.',
  'The last date is before the first.': 'L’ultima data viene prima della prima.',
  'This is said of the service already; take that back first.':
    'Del servizio lo si è già detto; prima ritirarlo.',
  'This weekday is stated already.': 'Questo giorno della settimana è già indicato.',
  '{1} is not held on this weekday.': '{1} non si tiene in questo giorno della settimana.',
  'That is more than {1} can serve.': 'È più di quanto {1} possa servire.',
  'Say how many times the usual.': 'Dire quante volte il solito.',
  'No factor here.': 'Qui nessun fattore.',
  'Say how many covers.': 'Dire quanti coperti.',
  'No covers here.': 'Qui nessun coperto.',
  'More {1} was sold than the record held: count it.':
    'Si è venduto più {1} di quanto ne risultava: contarlo.',
  'Name the {1}.': 'Nominare: {1}.',
  'Write the instant with its offset: 2026-03-14T05:30:00Z.':
    'Scrivere l’istante con il suo scarto: 2026-03-14T05:30:00Z.',
  'Write a whole number, zero or more.': 'Scrivere un numero intero, zero o più.',
  'Write the date as YYYY-MM-DD, a day that exists.':
    'Scrivere la data come AAAA-MM-GG, un giorno che esiste.',
  'Write yes or no.': 'Scrivere yes o no.',
  '{1} no {2} called {3}.': '{1} nessun {2} di nome {3}.',
  'There is no history and nobody has stated the usual covers, so only what is booked counts.':
    'Non c’è storia e nessuno ha indicato i coperti soliti, quindi conta solo ciò che è prenotato.',
  'Say why in a few words.': 'Dire perché in poche parole.',
  'Ask for at most {1} days at a time.': 'Chiedere al massimo {1} giorni per volta.',
  'A forecast reaches {1} days ahead.': 'Una previsione arriva a {1} giorni in avanti.',
  'This service has begun; record what came of it instead.':
    'Questo servizio è cominciato; registrare invece com’è andata.',
  '{1} takes at most {2} covers: two sittings of {3} seats.':
    '{1} prende al massimo {2} coperti: due turni di {3} posti.',
  'This dish is on the menu already.': 'Questo piatto è già sul menù.',
  'That is not a service of this site.': 'Questo non è un servizio di questa sede.',
  '{1} sells in {2}.': '{1} vende in {2}.',
  'A dish on a menu has a price above zero.': 'Un piatto sul menù ha un prezzo maggiore di zero.',
  'The shares of one service add up to {1} dishes a cover.':
    'Le parti di un servizio sommate fanno {1} piatti a coperto.',
  'There is no dish {1}.': 'Non c’è nessun piatto {1}.',
  '{1} is a component; only dishes go on a menu.':
    '{1} è un componente; sul menù vanno solo piatti.',
  "{1} has no published version on {2}, the menu's first day.":
    '{1} non ha una versione pubblicata il {2}, primo giorno del menù.',
  '{1} offers this dish in the same service on some of these dates.':
    '{1} offre questo piatto nello stesso servizio in alcune di queste date.',
  '{1} is archived.': '{1} è archiviato.',
  'Nothing on the menu uses it in the days this par must last, or no service is held.':
    'Nulla sul menù lo usa nei giorni che questa scorta deve durare, o non c’è servizio.',
  'Until then it is planned to be enough in {1} of 100 services.':
    'Fino ad allora è pianificato perché basti in {1} servizi su 100.',
  '{1} is on no menu in this time.': '{1} non è su nessun menù in questo tempo.',
  '{1} has no published recipe.': '{1} non ha una ricetta pubblicata.',
  'No price yet for {1}, so the cost of {2} is not complete.':
    'Ancora nessun prezzo per {1}, quindi il costo di {2} non è completo.',
  '{1} earns nothing at its price.': '{1} al suo prezzo non guadagna nulla.',
  'Nobody is expected to order it in this time.':
    'Non si aspetta che qualcuno lo ordini in questo tempo.',
  'Say how much.': 'Dire quanto.',
  'No quantity with this rule.': 'Con questa regola nessuna quantità.',
  'Say how often it must last.': 'Dire quanto spesso deve bastare.',
  'No level with this rule.': 'Con questa regola nessun livello.',
  'The chance lies above 0 and below 1: no kitchen is sure to be without, or never short.':
    'La probabilità sta sopra 0 e sotto 1: nessuna cucina è sicura di restare senza, o di non restare mai senza.',
  'There is no such dish or component in use.': 'Non c’è in uso un piatto o componente così.',
  'A par stays with its dish or component; set another for this.':
    'Una scorta resta con il suo piatto o componente; per questo metterne un’altra.',
  'A dish is kept in whole portions.': 'Un piatto si tiene in porzioni intere.',
  'Review and lead time come to at most {1} days.':
    'Revisione e attesa fanno al massimo {1} giorni.',
  '{1} has a par for some of these dates already.':
    '{1} ha già una scorta per alcune di queste date.',
  'That day is over.': 'Quel giorno è passato.',
  'Say it at most {1} days ahead.': 'Dirlo al massimo {1} giorni prima.',
  'No service is held on that day.': 'In quel giorno non c’è servizio.',
  'This service is over.': 'Questo servizio è finito.',
  '{1} guests with pre-orders is more than the {2} seats of {3}.':
    '{1} ospiti con ordini già presi è più dei {2} posti di {3}.',
  '{1} guests have ordered, and {2} are booked.':
    '{1} ospiti hanno già ordinato, e {2} sono prenotati.',
  '{1} is not on the menu then: it is made for {2} only.':
    '{1} allora non è sul menù: si fa solo per {2}.',
  'This dish is named twice.': 'Questo piatto è nominato due volte.',
  '{1} portions for {2} guests is more than {3} each.':
    '{1} porzioni per {2} ospiti è più di {3} a testa.',
  'The usual spread lies above 0 and is at most 2.':
    'La variazione solita sta sopra 0 ed è al massimo 2.',
  'Stated covers are a number of at least 0.': 'I coperti indicati sono un numero di almeno 0.',
  'A service before the last one learned needs the series relearned.':
    'Un servizio prima dell’ultimo appreso vuole che la serie sia riappresa.',
  '{1} had {2} covers, far from usual; it was given little weight.':
    '{1} ha avuto {2} coperti, lontano dal solito; gli è stato dato poco peso.',
  'The series was learned by another model version; learn it again.':
    'La serie è stata appresa da un’altra versione del modello; riapprenderla.',
  'The series has learned from services after this moment.':
    'La serie ha appreso da servizi dopo questo momento.',
  'No covers recorded since {1}; the usual level is less sure.':
    'Nessun coperto registrato dal {1}; il livello solito è meno sicuro.',
  'The room takes a whole number of covers above 0.':
    'La sala prende un numero intero di coperti sopra 0.',
  'A quantile level lies between 0 and 1.': 'Il livello di un quantile sta tra 0 e 1.',
  "An event's factor is above 0.": 'Il fattore di un evento è sopra 0.',
  "An event's covers are a whole number.": 'I coperti di un evento sono un numero intero.',
  'A forecast reaches 0 to {1} days ahead.': 'Una previsione arriva da 0 a {1} giorni in avanti.',
  'The targets do not count their days from the same day.':
    'Gli obiettivi non contano i giorni dallo stesso giorno.',
  'A private hire needs its number of guests.':
    'Un affitto privato ha bisogno del numero di ospiti.',
  'There is no history, no stated covers and no sister site to forecast from.':
    'Non c’è storia, né coperti indicati, né una sede sorella da cui prevedere.',
  'The newest bookings of {1} are {2} days before service; only the floor uses them.':
    'Le prenotazioni più nuove del {1} sono di {2} giorni prima del servizio; contano solo come minimo.',
  'No sister site has four weeks of history to learn from.':
    'Nessuna sede sorella ha quattro settimane di storia da cui imparare.',
  'The service of {1} lies after the forecast was made and was left out.':
    'Il servizio del {1} viene dopo la previsione ed è stato lasciato fuori.',
  '{1} is recorded twice; the later record was used.':
    '{1} è registrato due volte; si è usata la registrazione più tarda.',
  '{1} is not weekday {2} (1 is Monday).': '{1} non è il giorno {2} della settimana (1 è lunedì).',
  '{1} booking snapshot(s) of {2} lie in the future and were left out.':
    '{1} registrazioni di prenotazioni del {2} stanno nel futuro e sono state lasciate fuori.',
  '{1} shows more covers than the room takes ({2}); counted as full.':
    '{1} mostra più coperti di quanti ne prenda la sala ({2}); contato come pieno.',
  'Covers are a whole number of at least 0.': 'I coperti sono un numero intero di almeno 0.',
  'Walk-ins are part of the covers served.':
    'Chi viene senza prenotare fa parte dei coperti serviti.',
  'Days before service are a whole number.': 'I giorni prima del servizio sono un numero intero.',
} as const;
