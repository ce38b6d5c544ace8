/** Ciò che dice il servizio, in italiano: piano, lista e frigo. {1}, {2} stanno per ciò che vi si mette. */
export const kitchen = {
  'A batch needs a yield, a multiple and limits above zero.':
    'Una dose ha bisogno di resa, multiplo e limiti maggiori di zero.',
  'No batch size is at least the minimum, at most the maximum and a permitted multiple.':
    'Nessuna misura di dose sta tra minimo e massimo e nei multipli ammessi.',
  '{1} Full: {2}.': '{1} Pieno: {2}.',
  '{1} is short for {2}: {3}.': '{1} manca per {2}: {3}.',
  '{1} has no published recipe for it on {2}.':
    '{1} non ha una ricetta pubblicata per questo il {2}.',
  'No transfer that can still be asked for brings {1} from {2} in time for {3}.':
    'Nessun trasporto che si possa ancora chiedere porta {1} da {2} in tempo per {3}.',
  '{1} cannot have {2} ready for a transfer in time for {3}.':
    '{1} non può avere {2} pronto per un trasporto in tempo per {3}.',
  '{1} from {2} would not keep until the end of {3}.':
    '{1} da {2} non durerebbe fino alla fine di {3}.',
  'The transfers from {1} are full: {2} for {3} does not fit on them.':
    'I trasporti da {1} sono pieni: {2} per {3} non ci sta.',
  'Too little is wanted for a transfer from {1}: {2} for {3} is below the least load.':
    'Si chiede troppo poco per un trasporto da {1}: {2} per {3} è sotto il carico minimo.',
  '{1} has no room to make more {2} for {3}.': '{1} non ha posto per fare altro {2} per {3}.',
  'A plan could not be worked out.': 'Non si è potuto calcolare un piano.',
  'Only this was possible: {1}.': 'Solo questo era possibile: {1}.',
  '{1}: {2} batches short; {3}, {4}.': '{1}: mancano {2} dosi; {3}, {4}.',
  '{1} costs {2} over the days planned; {3}, {4}.':
    '{1} costa {2} nei giorni pianificati; {3}, {4}.',
  'It stays as it was, {1} ({2}): {3} would cost {4}, which is not {5} min less.':
    'Resta com’era, {1} ({2}): {3} costerebbe {4}, che non è {5} min di meno.',
  'No plan of the transfers was found.': 'Non si è trovato un piano dei trasporti.',
  'These sites would make for each other in a circle.':
    'Queste sedi produrrebbero l’una per l’altra in circolo.',
  'It would arrive at {1} before it leaves at {2}.':
    'Arriverebbe alle {1} prima di partire alle {2}.',
  'The demands do not fill their rows.': 'Le richieste non riempiono le loro righe.',
  'The quantity wanted of {1} must be zero or more.':
    'La quantità voluta di {1} deve essere zero o più.',
  'Needs, stock and batches of {1} must be zero or more.':
    'Fabbisogno, giacenza e dosi di {1} devono essere zero o più.',
  '{1} gives no {2}.': '{1} non dà {2}.',
  'What is wanted of a part must be zero or more.':
    'Ciò che si vuole di una parte deve essere zero o più.',
  'A piece must weigh something.': 'Un pezzo deve pesare qualcosa.',
  'A piece needs at least one part.': 'Un pezzo ha bisogno di almeno una parte.',
  'The group {1} has no part.': 'Il gruppo {1} non ha parti.',
  '{1} is named twice.': '{1} è nominato due volte.',
  'A piece must give some {1}.': 'Un pezzo deve dare un po’ di {1}.',
  'A piece cannot give more {1} than it weighs.': 'Un pezzo non può dare più {1} di quanto pesa.',
  'Recipes of different dates contain each other: {1}.':
    'Ricette di date diverse si contengono a vicenda: {1}.',
  '{1} is made at another site, and nothing comes in time for {2}.':
    '{1} si fa in un’altra sede, e nulla arriva in tempo per {2}.',
  '{1} comes only as a by-product, and the batches planned do not give enough for {2}.':
    '{1} nasce solo come sottoprodotto, e le dosi pianificate non ne danno abbastanza per {2}.',
  '{1} has no published recipe on {2}.': '{1} non ha una ricetta pubblicata il {2}.',
  '{1}: {2} hold less than the smallest batch.': '{1}: {2} contengono meno della dose più piccola.',
  '{1} would not keep until the end of {2}.': '{1} non durerebbe fino alla fine di {2}.',
  '{1} may wait at most {2} hours once it is done, and would be done too long before {3}.':
    '{1}, una volta pronto, può aspettare al massimo {2} ore, e sarebbe pronto troppo tempo prima di {3}.',
  '{1} finds no time inside working hours before {2}.':
    '{1} non trova tempo nell’orario di lavoro prima di {2}.',
  '{1} cannot be ready in time for {2}: started now, it needs longer than there is.':
    '{1} non può essere pronto in tempo per {2}: iniziato ora, gli serve più tempo di quanto ce n’è.',
  '{1} is on the menu but has no published recipe on {2}.':
    '{1} è sul menù ma non ha una ricetta pubblicata il {2}.',
  '{1} offers a dish that is not known.': '{1} offre un piatto che non è conosciuto.',
  'A recipe line names something that is not known.':
    'Una riga di ricetta nomina qualcosa che non è conosciuto.',
  '{1} would be ready {2} minutes late: {3}.': '{1} sarebbe pronto con {2} minuti di ritardo: {3}.',
  '{1} is begun on {2} instead of {3}: {4}.': '{1} si inizia il {2} invece che il {3}: {4}.',
  '{1} finds no time at all: {2}.': '{1} non trova proprio tempo: {2}.',
  '{1} cannot be ready in time for {2}: {3}.': '{1} non può essere pronto in tempo per {2}: {3}.',
  'The last day is before the first.': 'L’ultimo giorno viene prima del primo.',
  'Nothing has happened on that day yet.': 'In quel giorno non è ancora successo nulla.',
  'Ask for {1} days at most.': 'Chiedere al massimo {1} giorni.',
  'There is no such lot of {1} here.': 'Qui non c’è questo lotto di {1}.',
  'This lot is named twice.': 'Questo lotto è nominato due volte.',
  'This lot is out of date by the time it arrives.': 'Questo lotto è scaduto quando arriva.',
  'Say how much of it leaves, or leave the lot out.':
    'Dire quanto ne parte, o lasciar fuori il lotto.',
  'There is less than that in this lot. Count it first.':
    'In questo lotto ce n’è meno. Contarlo prima.',
  'That is more than {1} times what was asked for. Check the amounts and their units.':
    'È più di {1} volte quanto era stato chiesto. Controllare le quantità e le unità.',
  'Implausibly much.': 'Troppo per essere vero.',
  'This lot did not leave with it.': 'Questo lotto non è partito con il resto.',
  'Say of every lot that left how much came, 0 where none did.':
    'Dire di ogni lotto partito quanto è arrivato, 0 se non è arrivato nulla.',
  'That is more than {1} times what left. Check the amount and its unit.':
    'È più di {1} volte quanto è partito. Controllare la quantità e l’unità.',
  'Measure it: {1} or colder.': 'Misurarlo: {1} o più freddo.',
  'Measure it: it is kept cold.': 'Misurarlo: si tiene al freddo.',
  'The stock changed at this very moment. Look and try again.':
    'La giacenza è cambiata proprio in questo momento. Guardare e riprovare.',
  'It is not what left: say what happened.': 'Non è ciò che è partito: dire che cosa è successo.',
  'It left more than four hours ago. Count the stock instead.':
    'È partito più di quattro ore fa. Contare invece la giacenza.',
  'Somebody else changed this at the same moment. Look and try again.':
    'Qualcun altro ha cambiato questo nello stesso momento. Guardare e riprovare.',
  'Nobody wrote that it left: let the making site do that first.':
    'Nessuno ha scritto che è partito: lo faccia prima la sede che lo produce.',
  'It has left already ({1}). Nothing was counted twice.':
    'È già partito ({1}). Nulla è stato contato due volte.',
  'It has left already. Nothing was counted twice.':
    'È già partito. Nulla è stato contato due volte.',
  'It is here already ({1}). Nothing was counted twice.':
    'È già qui ({1}). Nulla è stato contato due volte.',
  'It is here already. Nothing was counted twice.': 'È già qui. Nulla è stato contato due volte.',
  'It does not go: {1}.': 'Non parte: {1}.',
  'The plan was worked out again and does without it.':
    'Il piano è stato ricalcolato e ne fa a meno.',
  'A weekday is named twice.': 'Un giorno della settimana è nominato due volte.',
  'It would end before it begins.': 'Finirebbe prima di cominciare.',
  'There is no component with the id {1}.': 'Non c’è nessun componente con il codice {1}.',
  'This site is named twice.': 'Questa sede è nominata due volte.',
  'Name the one site that makes it.': 'Nominare la sola sede che lo produce.',
  'Name a site that it is made for beside the one that makes it.':
    'Nominare una sede per cui si produce, oltre a quella che produce.',
  'This site uses ingredients of its own, which would not reach the allergen lists of the sites it makes for. End that first.':
    'Questa sede usa ingredienti propri, che non arriverebbero agli elenchi degli allergeni delle sedi per cui produce. Prima mettervi fine.',
  'It uses ingredients of its own.': 'Usa ingredienti propri.',
  'A full container holds something.': 'Un contenitore pieno contiene qualcosa.',
  'There is no way for goods from the maker to this site yet.':
    'Non c’è ancora una via per la merce da chi produce a questa sede.',
  'There is no way for goods from here to any of the sites.':
    'Non c’è una via per la merce da qui a nessuna delle sedi.',
  'What {1} weighs is not known, and the way there has a limit of weight: say in its recipe what a piece or a litre weighs.':
    'Non si sa quanto pesa {1}, e la via fin lì ha un limite di peso: dire nella ricetta quanto pesa un pezzo o un litro.',
  'A full container weighs more than a trip carries.':
    'Un contenitore pieno pesa più di quanto porta un viaggio.',
  'Another rule says who makes this for the site on some of these dates.':
    'Un’altra regola dice chi lo produce per la sede in alcune di queste date.',
  'This site gets it from another on some of these dates.':
    'Questa sede lo riceve da un’altra in alcune di queste date.',
  'Past dates stay as they were; begin today or later.':
    'Le date passate restano com’erano; cominciare oggi o dopo.',
  'A rule keeps its component: end it and enter another.':
    'Una regola tiene il suo componente: finirla e scriverne un’altra.',
  'Past dates stay as they were.': 'Le date passate restano com’erano.',
  'Past dates stay as they were; end it today or later.':
    'Le date passate restano com’erano; finirla oggi o dopo.',
  'There is a way between these sites: change that one.':
    'C’è già una via tra queste sedi: cambiare quella.',
  'There is one already.': 'Ce n’è già una.',
  'A way keeps its two sites: set up another one for other sites.':
    'Una via tiene le sue due sedi: farne un’altra per altre sedi.',
  'Something is made at one site for the other: end that first.':
    'In una sede si produce qualcosa per l’altra: prima mettervi fine.',
  'Goods go from one site to another.': 'La merce va da una sede a un’altra.',
  'That is more than one trip carries.': 'È più di quanto porta un viaggio.',
  'A trip carries something.': 'Un viaggio porta qualcosa.',
  'The dates run backwards.': 'Le date vanno all’indietro.',
  'Nothing is left of this lot: there is nothing to label.':
    'Di questo lotto non resta nulla: non c’è niente da etichettare.',
  'There is nothing of this task to label: it is not made yet, or nothing is left of it.':
    'Di questa preparazione non c’è niente da etichettare: non è ancora fatta, o non ne resta nulla.',
  '{1} from {2}: it should have left on {3}, and nobody wrote that it did. It is not counted on.':
    '{1} da {2}: doveva partire il {3}, e nessuno ha scritto che è partito. Non ci si conta.',
  'The lead has fixed who makes this.': 'Il responsabile ha fissato chi lo produce.',
  'No service it is for is among the days that are planned yet.':
    'Nessun servizio a cui serve è ancora tra i giorni pianificati.',
  'It gets something itself from the sites it would make this for.':
    'Riceve a sua volta qualcosa dalle sedi per cui lo produrrebbe.',
  'No trip from here is left in the days that are planned.':
    'Nei giorni pianificati non resta nessun viaggio da qui.',
  'There is no published recipe for it.': 'Non ha una ricetta pubblicata.',
  'Who makes what was changed while this was worked out. Look and try again.':
    'Chi produce che cosa è cambiato mentre si calcolava. Guardare e riprovare.',
  'Use-by and cooling figures help, and never replace, your food-safety plan, local codes and licensed practice. When in doubt, throw it out.':
    'Le cifre di scadenza e raffreddamento aiutano, e non sostituiscono mai, il vostro piano di autocontrollo, le norme del luogo e chi ne ha titolo. Nel dubbio, buttare.',
  'Ask for 1 to {1} days.': 'Chiedere da 1 a {1} giorni.',
  'The list of this site keeps changing at this moment. Try again in a minute.':
    'La lista di questa sede continua a cambiare in questo momento. Riprovare tra un minuto.',
  'This site has no plan yet. Ask for one to be worked out first.':
    'Questa sede non ha ancora un piano. Chiedere prima di calcolarlo.',
  'Each was worked out by planning again with it; nothing is changed. Shelf life and cooling are not for bargaining: food-safety plan and local codes decide. What comes from another site must stay cold on the way.':
    'Ogni rimedio è stato calcolato rifacendo il piano con esso; non cambia nulla. Durata e raffreddamento non si contrattano: decidono il piano di autocontrollo e le norme del luogo. Ciò che viene da un’altra sede deve restare freddo lungo la via.',
  'This site’s plan knows nothing of it.': 'Il piano di questa sede non ne sa nulla.',
  'Say how much was made; to give the task up, abandon it.':
    'Dire quanto se n’è fatto; per rinunciare alla preparazione, abbandonarla.',
  'This was to be thrown away: give the task up instead.':
    'Questo era da buttare: rinunciare invece alla preparazione.',
  'This task has not been started: there is nothing to take back.':
    'Questa preparazione non è stata iniziata: non c’è nulla da ritirare.',
  'This was ticked more than four hours ago. Correct the stock by counting instead.':
    'Questa è stata spuntata più di quattro ore fa. Correggere invece la giacenza contando.',
  'It is held back: a lead releases it or has it thrown away, and then it can be taken back.':
    'È trattenuto: un responsabile lo libera o lo fa buttare, e poi si può ritirare.',
  'Some of it has been used already. Correct the stock by counting instead.':
    'Una parte è già stata usata. Correggere invece la giacenza contando.',
  'The plan was worked out again and does without this task. Look at the new list.':
    'Il piano è stato ricalcolato e fa a meno di questa preparazione. Guardare la lista nuova.',
  'It was started later than that: it cannot have been finished before.':
    'È stata iniziata più tardi: non può essere finita prima.',
  'This task is {1} already{2}. Nothing was counted twice.':
    'Questa preparazione è già {1}{2}. Nulla è stato contato due volte.',
  'Name the lot or the item, not both.': 'Nominare il lotto o la voce, non entrambi.',
  'Name the lot or the item.': 'Nominare il lotto o la voce.',
  'Say whether it is an ingredient or component.': 'Dire se è un ingrediente o un componente.',
  'There is less {1} on record than that. Count it first.':
    'A registro c’è meno {1} di così. Contarlo prima.',
  'This site has no lot with the id {1}.': 'Questa sede non ha nessun lotto con il codice {1}.',
  'There is more than on record, and no lot in date it could belong to: say its use-by.':
    'Ce n’è più che a registro, e nessun lotto non scaduto a cui possa appartenere: dirne la scadenza.',
  'This item is counted already; add the amounts together.':
    'Questa voce è già contata; sommare le quantità.',
  'It cannot have been made in the future.': 'Non può essere stato fatto nel futuro.',
  'The use-by is not after the making.': 'La scadenza non viene dopo la preparazione.',
  'A use-by more than ten years ahead is a slip.': 'Una scadenza a più di dieci anni è una svista.',
  'Made more than ten years ago is a slip.': 'Fatto più di dieci anni fa è una svista.',
  'A temperature limit was not kept: decide that breach, so that the reason stands beside the temperatures.':
    'Un limite di temperatura non è stato rispettato: decidere su quello, così che la ragione stia accanto alle temperature.',
  'This lot is not held.': 'Questo lotto non è trattenuto.',
  'This lot is held already.': 'Questo lotto è già trattenuto.',
  'Counts found less than the record: what is missing may have been served in any dish made with it.':
    'I conteggi hanno trovato meno di quanto risultava: ciò che manca può essere stato servito in qualunque piatto che lo contiene.',
  'Some of it lies at sites that are not yours: ask a lead.':
    'Una parte è in sedi che non sono le proprie: chiedere a un responsabile.',
  'No sale on record has drawn from it. That is no proof that nobody ate of it: sales may not have been entered.':
    'Nessuna vendita a registro ne ha preso. Non prova che nessuno ne abbia mangiato: le vendite possono non essere state scritte.',
  'Write the code on the label.': 'Scrivere il codice sull’etichetta.',
  'This was taken back already.': 'È già stato ripreso.',
  'It was thrown away because a limit was not kept: that stands.':
    'È stato buttato perché un limite non è stato rispettato: resta così.',
  'This was thrown away more than four hours ago. Count the fridge instead.':
    'È stato buttato più di quattro ore fa. Contare invece il frigo.',
  'It was counted since it was thrown away: count it again instead.':
    'È stato contato dopo essere stato buttato: contarlo di nuovo.',
} as const;
