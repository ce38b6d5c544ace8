/** Ciò che dice il servizio, in italiano: persone, sedi e richieste. {1}, {2} stanno per ciò che vi si mette. */
export const people = {
  'The dates run backwards: {1} to {2}.': 'Le date vanno all’indietro: da {1} a {2}.',
  'Opening and closing are both {1}.': 'Apertura e chiusura sono entrambe alle {1}.',
  '{1} falls when the kitchen is closed.': '{1} cade quando la cucina è chiusa.',
  '{1} is not a date. Write it as year-month-day, 2026-03-14.':
    '{1} non è una data. Scrivere anno-mese-giorno, 2026-03-14.',
  '{1} is not a time of day. Write it as 24-hour HH:MM, 18:30.':
    '{1} non è un’ora. Scrivere ore e minuti su 24 ore, 18:30.',
  '{1} is not a known time zone.': '{1} non è un fuso orario conosciuto.',
  '{1} is not an instant.': '{1} non è un istante.',
  'Please sign in first.': 'Prima entrare, per favore.',
  'This is for {1}; you are {2}.': 'Questo è per {1}; qui si è {2}.',
  'The address is not readable.': 'L’indirizzo non è leggibile.',
  'The database does not answer just now. Try again in a moment.':
    'La banca dati in questo momento non risponde. Riprovare tra poco.',
  'There is no room left to write in the database. Nothing was changed.':
    'Non c’è più spazio per scrivere nella banca dati. Non è cambiato nulla.',
  'Others were changing the same things. Nothing was changed; try again in a moment.':
    'Altri stavano cambiando le stesse cose. Non è cambiato nulla; riprovare tra poco.',
  'Not valid.': 'Non valido.',
  'The request is not valid.': 'La richiesta non è valida.',
  'The fault is logged. Nothing you sent is lost on your side.':
    'Il guasto è stato annotato. Di quanto inviato qui non va perso nulla.',
  'There is nothing at {1} {2}.': 'Non c’è nulla a {1} {2}.',
  'Write the date as YYYY-MM-DD.': 'Scrivere la data come AAAA-MM-GG.',
  'There is no such day.': 'Questo giorno non esiste.',
  'Write the time as HH:MM, from 00:00 to 23:59.': 'Scrivere l’ora come HH:MM, da 00:00 a 23:59.',
  'Write the instant as RFC 3339, with its offset.':
    'Scrivere l’istante secondo RFC 3339, con il suo scarto.',
  'The year must be from 1900 to 2999.': 'L’anno deve stare tra 1900 e 2999.',
  'Use the three-letter ISO 4217 code.': 'Usare il codice ISO 4217 di tre lettere.',
  'Write money as a decimal, such as "12.40".':
    'Scrivere il denaro come numero decimale, per esempio «12.40».',
  'Not an id of ours.': 'Non è un codice di qui.',
  'This is not an email address.': 'Questo non è un indirizzo email.',
  'The request does not come from the page that signed in.':
    'La richiesta non viene dalla pagina da cui si è entrati.',
  'Send the csrfToken of GET /v1/session.': 'Inviare il csrfToken di GET /v1/session.',
  'A password has at least {1} characters; a short sentence is good.':
    'Una password ha almeno {1} caratteri; va bene una breve frase.',
  'A password has at most {1} characters.': 'Una password ha al massimo {1} caratteri.',
  'This password is a run or a repetition; it is among the first to be tried.':
    'Questa password è una sequenza o una ripetizione: è tra le prime che si provano.',
  'This password is mostly your own name, address or the word password.':
    'Questa password è quasi solo il proprio nome, indirizzo o la parola password.',
  'The email or the password is not right.': 'L’email o la password non è giusta.',
  'Only a person has a password.': 'Solo una persona ha una password.',
  'The present password is not right.': 'La password attuale non è giusta.',
  'This is not the set-up code that the service printed when it started.':
    'Questo non è il codice mostrato dal servizio all’avvio.',
  'The service is set up already. Sign in, or ask an admin.':
    'Il servizio è già configurato. Entrare, o chiedere a un amministratore.',
  'Too many tries. Wait {1} minutes, then try again.':
    'Troppi tentativi. Aspettare {1} minuti, poi riprovare.',
  'A lead or admin has all sites: write "all".':
    'Un responsabile o un amministratore ha tutte le sedi: scrivere «all».',
  "Name the chef's sites one by one.": 'Nominare le sedi del cuoco una per una.',
  'A site is listed twice.': 'Una sede è elencata due volte.',
  'People and keys are looked after by a person who signs in.':
    'Persone e chiavi le gestisce una persona che è entrata.',
  'Change your own password with the present one.':
    'La propria password si cambia con quella attuale.',
  'A lead looks after chefs; for others ask an admin.':
    'Un responsabile gestisce i cuochi; per gli altri chiedere a un amministratore.',
  'This is the last admin. Make another one first.':
    'Questo è l’ultimo amministratore. Farne prima un altro.',
  'There is no site with the id {1}.': 'Non c’è nessuna sede con il codice {1}.',
  'That site is not one of yours.': 'Quella sede non è tra le proprie.',
  'Write {1} without a comma, or with a point for decimals.':
    'Scrivere {1} senza virgola, o con il punto per i decimali.',
  'Write a number of zero or more.': 'Scrivere un numero di zero o più.',
  'This cursor is not one of ours.': 'Questo segno di pagina non è di qui.',
  'Use the cursor of the page before, unchanged.':
    'Usare il segno della pagina prima, senza cambiarlo.',
  'Say how many minutes ago it was; it cannot lie ahead.':
    'Dire quanti minuti fa è stato; non può stare nel futuro.',
  'That is more than two days ago: too long to be told as a tick. Count the fridge instead.':
    'Sono passati più di due giorni: troppo per dirlo con una spunta. Contare invece il frigo.',
  'The file is empty.': 'Il file è vuoto.',
  'Separate the columns by commas, not semicolons.':
    'Separare le colonne con virgole, non con punto e virgola.',
  'The column {1} is missing.': 'Manca la colonna {1}.',
  'There is no column {1}; we know {2}.': 'Non c’è la colonna {1}; si conoscono {2}.',
  'The column {1} is there twice.': 'La colonna {1} c’è due volte.',
  'The file has more than {1} rows; send it in parts.':
    'Il file ha più di {1} righe; inviarlo a pezzi.',
  'This row has {1} cells, the header {2}.': 'Questa riga ha {1} celle, l’intestazione {2}.',
  'This cell is too long.': 'Questa cella è troppo lunga.',
  'The file has a header and no rows.': 'Il file ha un’intestazione e nessuna riga.',
  '{1} row is not right; nothing was imported.':
    '{1} riga non è giusta; non è stato importato nulla.',
  '{1} rows are not right; nothing was imported.':
    '{1} righe non sono giuste; non è stato importato nulla.',
  'There is no {1} with the id {2}.': 'Non c’è nessun {1} con il codice {2}.',
  'Somebody else saved this while you were editing. Nothing of yours was saved; look at what stands now and try again.':
    'Qualcun altro ha salvato mentre qui si scriveva. Di quanto scritto qui non è stato salvato nulla; guardare che cosa c’è ora e riprovare.',
  'There is no time zone called {1}.': 'Non c’è nessun fuso orario di nome {1}.',
  'This weekday has hours already; write it once.':
    'Questo giorno della settimana ha già un orario; scriverlo una volta.',
  'Opening and closing time are the same.': 'Apertura e chiusura sono alla stessa ora.',
  'A weekday is listed twice.': 'Un giorno della settimana è elencato due volte.',
  'Somebody signs in with this email already.': 'Qualcuno entra già con questa email.',
  'Somebody else is stating these covers just now.':
    'Qualcun altro sta indicando questi coperti proprio ora.',
  'This took so long that a repeat of it is being worked on instead.':
    'Ci ha messo tanto che si sta lavorando invece a una sua ripetizione.',
  'There is an ingredient of that name already.': 'C’è già un ingrediente con questo nome.',
  'This site has a menu of that name already.': 'Questa sede ha già un menù con questo nome.',
  'There is an open order for this delivery already. Change that one, or take the next delivery.':
    'Per questa consegna c’è già un ordine aperto. Cambiare quello, o prendere la consegna dopo.',
  'There is a rate from that day on already.': 'Da quel giorno c’è già un cambio.',
  'There is a recipe of that name already.': 'C’è già una ricetta con questo nome.',
  'Somebody else began a version just now; try again.':
    'Qualcun altro ha appena cominciato una versione; riprovare.',
  'There is a site of that name already.': 'C’è già una sede con questo nome.',
  'This site has a service of that name already.':
    'Questa sede ha già un servizio con questo nome.',
  'This site has equipment of that name already.':
    'Questa sede ha già un’attrezzatura con questo nome.',
  'That day is marked as closed already.': 'Quel giorno è già segnato come chiuso.',
  'There is a supplier of that name already.': 'C’è già un fornitore con questo nome.',
  'This supplier has a pack with that article number already.':
    'Questo fornitore ha già una confezione con quel numero d’articolo.',
  'This pack has a price from that day on already.':
    'Questa confezione ha già un prezzo da quel giorno.',
  'A figure holds from that date already.': 'Da quella data vale già una cifra.',
} as const;
