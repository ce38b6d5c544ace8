/** Ciò che dice il servizio, in italiano: ordini e consegne. {1}, {2} stanno per ciò che vi si mette. */
export const orders = {
  '"{1}" is not a row of digits.': '«{1}» non è una fila di cifre.',
  '{1}: "{2}" is not a row of digits.': '{1}: «{2}» non è una fila di cifre.',
  'A {1} has {2} digits, not {3}.': 'Un {1} ha {2} cifre, non {3}.',
  '{1} {2}: the last digit should be {3}. Check for a slip.':
    '{1} {2}: l’ultima cifra dovrebbe essere {3}. Controllare la battitura.',
  'A case indicator is 1 to 9.': 'L’indicatore del cartone va da 1 a 9.',
  '{1} is not a date as YYMMDD.': '{1} non è una data nella forma AAMMGG.',
  'The data after ({1}) is not of the right form: "{2}".':
    'I dati dopo ({1}) non hanno la forma giusta: «{2}».',
  '({1}) is on the label twice.': '({1}) è due volte sull’etichetta.',
  'The label holds no code.': 'L’etichetta non contiene codici.',
  'The label has a part we do not read: "{1}".':
    'L’etichetta ha una parte che qui non si legge: «{1}».',
  '{1} cannot be written as a lot code.': '{1} non si può scrivere come codice di lotto.',
  'A label needs dates and a time.': 'Un’etichetta ha bisogno di date e di un’ora.',
  '{1} is not a unit code that orders use here.':
    '{1} non è un codice di unità usato qui negli ordini.',
  'No packs meet the minimums of the suppliers together.':
    'Nessuna scelta di confezioni raggiunge insieme i minimi dei fornitori.',
  'No order was found within the time given.': 'Non si è trovato un ordine nel tempo dato.',
  'There are no routes between sites to carry goods on.':
    'Non ci sono vie tra le sedi su cui portare la merce.',
  'A weekday is a number from 1, Monday, to 7, Sunday.':
    'Un giorno della settimana è un numero da 1, lunedì, a 7, domenica.',
  'The supplier has no delivery days, so nothing can be ordered.':
    'Il fornitore non ha giorni di consegna, quindi non si può ordinare nulla.',
  'A supplier works on at least one weekday.':
    'Un fornitore lavora almeno un giorno della settimana.',
  'Orders cannot close after the delivery.': 'Gli ordini non possono chiudere dopo la consegna.',
  'Days are whole numbers from 0 to 60.': 'I giorni sono numeri interi da 0 a 60.',
  'Orders that close on the delivery day must close before the stated arrival.':
    'Gli ordini che chiudono il giorno della consegna chiudono prima dell’arrivo indicato.',
  'Look ahead a whole number of days, at most two years.':
    'Guardare avanti di un numero intero di giorni, al massimo due anni.',
  'The order is in {1}.': 'L’ordine è in {1}.',
  'An invoice line is odd.': 'Una riga della fattura non torna.',
  'The delivery charge is no amount.': 'La spesa di consegna non è una somma.',
  'The order has changed since it was opened. Look at it again.':
    'L’ordine è cambiato da quando è stato aperto. Guardarlo di nuovo.',
  'An order that is {1} cannot be {2}.': 'Un ordine {1} non può essere {2}.',
  'The limit is in {1}, not {2}.': 'Il limite è in {1}, non in {2}.',
  '{1} {2} is above the limit of {3}.': '{1} {2} supera il limite di {3}.',
  'There is nothing on the order.': 'Nell’ordine non c’è nulla.',
  'An order is sent with a number.': 'Un ordine si invia con un numero.',
  'The cutoff for this delivery has passed.': 'Il termine per questa consegna è passato.',
  'Confirmed packs are whole, of a line of this order.':
    'Le confezioni confermate sono intere, di una riga di questo ordine.',
  'The pack is priced in {1}.': 'Il prezzo della confezione è in {1}.',
  'The supplier does not sell that number of packs.':
    'Il fornitore non vende quel numero di confezioni.',
  'An order number needs a code of 2 to 8 capitals and a count.':
    'Un numero d’ordine ha un codice da 2 a 8 maiuscole e un conteggio.',
  'There is an open order for this delivery already.':
    'Per questa consegna c’è già un ordine aperto.',
  'The price is in {1}, not {2}.': 'Il prezzo è in {1}, non in {2}.',
  'A pack holds more than nothing.': 'Una confezione contiene più di nulla.',
  'A price is above zero; leave out a pack whose price is not known.':
    'Un prezzo è maggiore di zero; lasciare fuori una confezione di cui non si sa il prezzo.',
  'Fewest and most packs are whole numbers, in order.':
    'Il minimo e il massimo di confezioni sono numeri interi, in ordine.',
  'Price breaks start at two packs or more and rise.':
    'Gli sconti di quantità cominciano da due confezioni e crescono.',
  'A price break never costs more.': 'Uno sconto di quantità non costa mai di più.',
  'A shelf life is a whole number of days.': 'La durata è un numero intero di giorni.',
  'Write the content as 2.5 kg or 10 x 250 g.': 'Scrivere il contenuto come 2.5 kg o 10 x 250 g.',
  '"{1}" is not a unit we know.': '«{1}» non è un’unità conosciuta.',
  'Write the price as 12.40.': 'Scrivere il prezzo come 12.40.',
  'A price is above zero.': 'Un prezzo è maggiore di zero.',
  'Write a whole number from {1} on.': 'Scrivere un numero intero da {1} in su.',
  'The cell holds a spreadsheet formula, not a text.':
    'La cella contiene una formula, non un testo.',
  'Say which column holds the {1}.': 'Dire quale colonna contiene: {1}.',
  'The list has no column "{1}".': 'Nel listino non c’è la colonna «{1}».',
  'The row has {1} cells, the header {2}.': 'La riga ha {1} celle, l’intestazione {2}.',
  'The code is on row {1} already.': 'Il codice è già nella riga {1}.',
  'The cell is empty.': 'La cella è vuota.',
  'This is not a currency code.': 'Questo non è un codice di valuta.',
  "This supplier's prices are in {1}.": 'I prezzi di questo fornitore sono in {1}.',
  'Check temperature, dates and packaging at the door. Local food-safety rules and your own plan decide, not this list.':
    'Controllare temperatura, date e imballo alla porta. Decidono le norme alimentari del luogo e il vostro piano, non questo elenco.',
  'This delivery has been put in already.': 'Questa consegna è già stata registrata.',
  'The order has no such line.': 'L’ordine non ha questa riga.',
  'Packs are whole and not below zero.': 'Le confezioni sono intere e non sotto zero.',
  'The price is no amount such as 12.40.': 'Il prezzo non è una somma come 12.40.',
  'The temperature is no number.': 'La temperatura non è un numero.',
  '{1} packs would be taken in of {2} ordered.':
    'Si prenderebbero {1} confezioni delle {2} ordinate.',
  'No temperature was taken; the limit is {1} °C.':
    'Nessuna temperatura misurata; il limite è {1} °C.',
  '{1} °C is above the limit of {2} °C.': '{1} °C è sopra il limite di {2} °C.',
  'The use-by {1} has passed.': 'La scadenza {1} è passata.',
  '{1} days in date; {2} are promised.': '{1} giorni alla scadenza; ne sono promessi {2}.',
  '{1} instead of {2} a pack.': '{1} invece di {2} a confezione.',
  'Check the label of the substitute and tell the floor before it is served. Declarations here may be out of date; local rules decide.':
    'Controllare l’etichetta del sostituto e avvisare la sala prima di servirlo. Le dichiarazioni qui possono essere vecchie; decidono le norme del luogo.',
  'Yields lie above 0 up to 1; ratios and quantities above 0.':
    'Le rese stanno sopra 0 fino a 1; rapporti e quantità sopra 0.',
  '{1} is not a currency code such as EUR.': '{1} non è un codice di valuta come EUR.',
  'That is more than {1} times what was planned. Check the amount and its unit.':
    'È più di {1} volte quanto era pianificato. Controllare la quantità e l’unità.',
  'These goods are {1} already.': 'Questa merce è già {1}.',
  'The site that bought it has {1} on record, less than came. Count it there first.':
    'La sede che l’ha comprata ne ha {1} a registro, meno di quanto è arrivato. Contarla prima là.',
  'Somebody else took from these goods just now. Look again.':
    'Qualcun altro ha appena preso di questa merce. Guardare di nuovo.',
  'Somebody else changed this just now. Look again.':
    'Qualcun altro ha appena cambiato questo. Guardare di nuovo.',
  'Chilled and frozen goods must stay cold on the way: read their temperature when they arrive. Local codes and licensed practice decide.':
    'La merce refrigerata e congelata deve restare fredda lungo la via: leggerne la temperatura all’arrivo. Decidono le norme del luogo e chi ne ha titolo.',
  'It takes two sites with a plan that buy in one currency.':
    'Servono due sedi con un piano che comprino nella stessa valuta.',
  'No trip goes between these sites in time to carry goods on.':
    'Nessun viaggio tra queste sedi arriva in tempo per portare la merce.',
  'Buying together costs no less: there is nothing to take.':
    'Comprare insieme non costa meno: non c’è nulla da scegliere.',
  'Plan or orders of {1} moved on since this was worked out. Work it out again.':
    'Il piano o gli ordini di {1} sono cambiati da quando questo è stato calcolato. Ricalcolarlo.',
  'This joint purchase was decided already.': 'Su questo acquisto comune si è già deciso.',
  'Somebody else saved this order just now. Look again.':
    'Qualcun altro ha appena salvato questo ordine. Guardare di nuovo.',
  'This order has no number yet. Approve it before you send it.':
    'Questo ordine non ha ancora un numero. Approvarlo prima di inviarlo.',
  'A pack of this order is not on sale any more, so its content is not known. Use the CSV file.':
    'Una confezione di questo ordine non è più in vendita, quindi non se ne sa il contenuto. Usare il file CSV.',
  'None of these orders is approved yet.': 'Nessuno di questi ordini è ancora approvato.',
  'The cutoff of this delivery has passed. Say that the supplier takes it late, or work the orders out again.':
    'Il termine di questa consegna è passato. Dire che il fornitore lo accetta in ritardo, o ricalcolare gli ordini.',
  'The delivery date has passed. Work the orders out again.':
    'La data di consegna è passata. Ricalcolare gli ordini.',
  'This order is below the supplier’s minimum. Fill it up, or say that the supplier agrees.':
    'Questo ordine è sotto il minimo del fornitore. Completarlo, o dire che il fornitore è d’accordo.',
  'Kept at {1} as changed by hand; the plan now asks for {2}.':
    'Lasciato a {1} come cambiato a mano; il piano ora ne chiede {2}.',
  'It can no longer be bought in time.': 'Non si può più comprare in tempo.',
  'Taken off: {1}.': 'Tolto: {1}.',
  '{1}: filling it up would cost more than it is worth. Ask the supplier, or add what keeps.':
    '{1}: completarlo costerebbe più di quanto vale. Chiedere al fornitore, o aggiungere ciò che si conserva.',
  'Ask for at most {1} days at once.': 'Chiedere al massimo {1} giorni per volta.',
  'Name a person by id, or write role: and the role.':
    'Nominare una persona con il suo codice, o scrivere role: e il ruolo.',
  'The plan or the orders of this site keep changing at this moment. Try again in a minute.':
    'Il piano o gli ordini di questa sede continuano a cambiare in questo momento. Riprovare tra un minuto.',
  'No supplier of that id delivers to {1}.': 'Nessun fornitore con quel codice consegna a {1}.',
  '{1} brings nothing on {2} that can still be ordered; the next delivery is on {3}.':
    '{1} il {2} non porta nulla che si possa ancora ordinare; la prossima consegna è il {3}.',
  'This supplier sells no such pack.': 'Questo fornitore non vende questa confezione.',
  'This pack is on the order already; change its number.':
    'Questa confezione è già nell’ordine; cambiarne il numero.',
  'The price of this pack is not known.': 'Il prezzo di questa confezione non si conosce.',
  'This order is {1} already and cannot be changed.':
    'Questo ordine è già {1} e non si può cambiare.',
  'The last delivery date is before the first.':
    'L’ultima data di consegna viene prima della prima.',
  'The supplier sells at least {1} of this pack at once.':
    'Il fornitore vende almeno {1} di questa confezione per volta.',
  'The supplier can give at most {1} of this pack.':
    'Il fornitore può dare al massimo {1} di questa confezione.',
  '{1} {2} of packs only reach the minimum order{3}.':
    '{1} {2} di confezioni servono solo a raggiungere l’ordine minimo{3}.',
  'Addition to order {1}, which is with the supplier: {2}.':
    'Aggiunta all’ordine {1}, che è dal fornitore: {2}.',
  'Write money as a decimal of zero or more, such as "12.40".':
    'Scrivere il denaro come numero decimale di zero o più, per esempio «12.40».',
  'A delivery cannot have come in the future.': 'Una consegna non può essere arrivata nel futuro.',
  'Nothing came in. Write what came, or say that nothing more will.':
    'Non è arrivato nulla. Scrivere che cosa è arrivato, o dire che non arriverà altro.',
  'Invoice {1} has been put in already.': 'La fattura {1} è già stata registrata.',
  'This invoice has been put in already.': 'Questa fattura è già stata registrata.',
  'This line is there twice.': 'Questa riga c’è due volte.',
  'No use-by was given and none is known: counted as {1} days. Look at the label.':
    'Nessuna scadenza data né conosciuta: contati {1} giorni. Guardare l’etichetta.',
  'Nobody who delivers to {1} sells {2}.': 'Nessuno di chi consegna a {1} vende {2}.',
  '{1} for {2} can no longer be delivered in time; the next delivery can be used from {3}.':
    '{1} per il {2} non può più arrivare in tempo; la prossima consegna si può usare dal {3}.',
  '{1} for {2} can no longer be delivered in time, and no delivery follows.':
    '{1} per il {2} non può più arrivare in tempo, e non segue nessuna consegna.',
  '{1} for {2}: everything that could come would be past its date by then.':
    '{1} per il {2}: tutto ciò che potrebbe arrivare sarebbe scaduto per allora.',
  '{1} for {2}: the suppliers cannot give more.':
    '{1} per il {2}: i fornitori non possono dare di più.',
  '{1} is withdrawn from {2}: it is not bought any more.':
    '{1} è ritirato dal {2}: non si compra più.',
  '{1} for {2} is out of season: what is bought before would not keep.':
    '{1} per il {2} è fuori stagione: ciò che si compra prima non durerebbe.',
  '{1} is out of stock at everybody who delivers to {2}.':
    '{1} è esaurito presso tutti quelli che consegnano a {2}.',
} as const;
