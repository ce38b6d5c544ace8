/** Ciò che dice il servizio, in italiano: fornitori, prezzi e mancanze. {1}, {2} stanno per ciò che vi si mette. */
export const suppliers = {
  '{1} is not among the ingredients.': '{1} non è tra gli ingredienti.',
  'A cost is worked out for a quantity of zero or more.':
    'Il costo si calcola per una quantità di zero o più.',
  '"{1}" is not a currency code such as EUR.': '«{1}» non è un codice di valuta come EUR.',
  'The part thrown away lies between 0 and 1.': 'La parte buttata sta tra 0 e 1.',
  'The cost and the price are in two currencies.': 'Il costo e il prezzo sono in due valute.',
  'A price must be above zero.': 'Un prezzo deve essere maggiore di zero.',
  'Menu figures are for one portion.': 'Le cifre del menù sono per una porzione.',
  'No price yet for {1}.': 'Ancora nessun prezzo per {1}.',
  'A target must be above zero.': 'Un obiettivo deve essere maggiore di zero.',
  '"{1}" is not a fraction such as 0.10.': '«{1}» non è una frazione come 0.10.',
  'The fraction lies between 0 and 1.': 'La frazione sta tra 0 e 1.',
  'The pack {1} must hold something.': 'La confezione {1} deve contenere qualcosa.',
  'The rate from {1} to {2} is no rate.': 'Il cambio da {1} a {2} non è un cambio.',
  '"{1}" is not a price such as 12.40.': '«{1}» non è un prezzo come 12.40.',
  'A price cannot be below zero.': 'Un prezzo non può essere sotto zero.',
  '"{1}" is not a fraction such as 0.15.': '«{1}» non è una frazione come 0.15.',
  'A price cannot fall by more than all of it.': 'Un prezzo non può calare più di tutto.',
  '"{1}" is not an amount of money such as 12.40.': '«{1}» non è una somma di denaro come 12.40.',
  '{1} and {2} cannot be put together.': '{1} e {2} non si possono sommare.',
  'It is {1} at {2}.': 'È {1} a {2}.',
  'Ask for at most {1} days ahead.': 'Chiedere al massimo {1} giorni in avanti.',
  'Write the rate as a decimal, such as "0.86".':
    'Scrivere il cambio come numero decimale, per esempio «0.86».',
  'A rate is between two currencies.': 'Un cambio è tra due valute.',
  'A rate is above zero.': 'Un cambio è maggiore di zero.',
  'The ingredient of this pack is not there.': 'L’ingrediente di questa confezione non c’è.',
  '{1} is taken from a piece; the piece is bought.':
    '{1} si prende da un pezzo; si compra il pezzo.',
  '{1} is marked as not bought.': '{1} è segnato come non comprato.',
  'The most packs are fewer than the fewest.': 'Il massimo di confezioni è meno del minimo.',
  'Only a pack that is out of stock comes back on a day.':
    'Torna in un certo giorno solo una confezione esaurita.',
  '{1} is the pack ordered by habit already.': '{1} è già la confezione ordinata di solito.',
  'A date is given without its price.': 'È data una data senza il suo prezzo.',
  'Write the price with a point for decimals.': 'Scrivere il prezzo con il punto per i decimali.',
  'There is no supplier of that name.': 'Non c’è nessun fornitore con questo nome.',
  'There is no ingredient of that name.': 'Non c’è nessun ingrediente con questo nome.',
  'Row {1} describes this pack otherwise.': 'La riga {1} descrive questa confezione diversamente.',
  'There is another price from that day on.': 'Da quel giorno c’è un altro prezzo.',
  'A pack stays with its ingredient; use another article number.':
    'Una confezione resta con il suo ingrediente; usare un altro numero d’articolo.',
  'This pack is archived.': 'Questa confezione è archiviata.',
  'Row {1} has the pack ordered by habit already.':
    'La riga {1} ha già la confezione ordinata di solito.',
  "Say first which columns {1}'s list has (price-columns).":
    'Dire prima quali colonne ha il listino di {1} (price-columns).',
  'The list has more than {1} rows. Send it in parts.':
    'Il listino ha più di {1} righe. Inviarlo a pezzi.',
  'The list has no rows.': 'Il listino non ha righe.',
  '{1} has prices in {2} already.': '{1} ha già prezzi in {2}.',
  'A pack stays with its ingredient; add a new pack instead.':
    'Una confezione resta con il suo ingrediente; aggiungere invece una confezione nuova.',
  'A contract stays with its site; enter another one.':
    'Un contratto resta con la sua sede; scriverne un altro.',
  '{1} is paid in {2}, {3} buys in {4}.': '{1} si paga in {2}, {3} compra in {4}.',
  'Name an ingredient or a category, not both.':
    'Nominare un ingrediente o una categoria, non entrambi.',
  'There is no such ingredient.': 'Questo ingrediente non c’è.',
  'No ingredient is of the category {1}.': 'Nessun ingrediente è della categoria {1}.',
  'The same contract stands for some of these days already.':
    'Lo stesso contratto vale già in alcuni di questi giorni.',
  'It holds from {1}.': 'Vale dal {1}.',
  'Name a pack or an ingredient, not both.':
    'Nominare una confezione o un ingrediente, non entrambi.',
  '{1} sells no such pack.': '{1} non vende questa confezione.',
  'What is withdrawn does not come back: call it out of stock instead.':
    'Ciò che è ritirato non torna: dirlo invece esaurito.',
  '{1} cannot stand in for itself.': '{1} non può sostituire sé stesso.',
  '{1} is not bought itself: name what is bought.':
    '{1} non si compra da solo: nominare ciò che si compra.',
} as const;
