/** Ciò che dice il servizio, in italiano: ingredienti, misure e rese. {1}, {2} stanno per ciò che vi si mette. */
export const ingredients = {
  '{1} goes back into its own batch.': '{1} torna nella propria dose.',
  '{1} has no recipe to list.': '{1} non ha una ricetta da elencare.',
  '{1} needs a density or the mass of a piece.':
    '{1} ha bisogno di una densità o del peso di un pezzo.',
  '100 g cannot hold {1} of {2}.': '100 g non possono contenere {1} di {2}.',
  'Calculated from recipe weights and published averages, not analysed. Losses, batches and suppliers differ; for packed goods local food law and a competent person decide.':
    'Calcolato dai pesi delle ricette e da medie pubblicate, non analizzato. Perdite, dosi e fornitori variano; per i prodotti confezionati decidono la legge alimentare del luogo e una persona competente.',
  'What is in a by-product cannot be told.':
    'Di che cosa è fatto un sottoprodotto non si può dire.',
  '{1} would be counted twice.': '{1} sarebbe contato due volte.',
  'Nothing of what is to be declared is in it.': 'Nulla di ciò che va dichiarato è dentro.',
  "{1} needs a density or a piece's mass.": '{1} ha bisogno di una densità o del peso di un pezzo.',
  'An amount of {1} cannot be a temperature.':
    'Una quantità di {1} non può essere una temperatura.',
  '{1} is a {2}, {3} a {4}: they do not convert into each other.':
    '{1} è {2}, {3} è {4}: non si convertono l’uno nell’altro.',
  "A density is a mass per volume such as g/mL; '{1}' is not.":
    'Una densità è un peso per volume come g/mL; «{1}» non lo è.',
  'A density needs a weight and a volume, not {1} and {2}.':
    'Una densità ha bisogno di un peso e di un volume, non di {1} e {2}.',
  '{1} must be {2} and at most {3}, not {4}.': '{1} deve essere {2} e al massimo {3}, non {4}.',
  "'{1}' is neither a unit nor a measure of {2}.": '«{1}» non è né un’unità né una misura di {2}.',
  '{1} has no density and no weighed spoon or cup, so volume and weight do not convert.':
    '{1} non ha una densità né un cucchiaio o una tazza pesati, quindi volume e peso non si convertono.',
  '{1} has no weight for one piece, so pieces do not convert to weight or volume.':
    '{1} non ha il peso di un pezzo, quindi i pezzi non si convertono in peso o volume.',
  'An oven is set between 30 and 500 °C, not {1} °C.':
    'Un forno si imposta tra 30 e 500 °C, non a {1} °C.',
  'Gas marks are ¼, ½ and 1 to 9, not {1}.': 'Le tacche del gas sono ¼, ½ e da 1 a 9, non {1}.',
  'Read as {1} {2}; write {3} {4} if the point stands for thousands.':
    'Letto come {1} {2}; scrivere {3} {4} se il punto sta per le migliaia.',
  'At character {1} we found {2}, but expected {3}.':
    'Al carattere {1} c’è {2}, ma ci si aspettava {3}.',
  "At character {1} '{2}' is not one clear measure: write {3}.":
    'Al carattere {1} «{2}» non è una misura chiara: scrivere {3}.',
  "'{1}' is not a unit we know.": '«{1}» non è un’unità conosciuta.',
  'There is no weighing to take a yield from.': 'Non c’è nessuna pesata da cui ricavare una resa.',
  'Far off the rest: {1}. Look at what was different before leaving it out.':
    'Lontano dalle altre: {1}. Guardare che cosa era diverso prima di lasciarla fuori.',
  'A standard needs at least {1} weighings that agree; there are {2}.':
    'Per uno standard servono almeno {1} pesate concordi; ce ne sono {2}.',
  'Take {1} as the first standard.': 'Prendere {1} come primo standard.',
  'The kitchen gets {1}, the standard says {2}: change it.':
    'La cucina ottiene {1}, lo standard dice {2}: cambiarlo.',
  'The standard of {1} fits what was weighed; there is no need to change it.':
    'Lo standard di {1} corrisponde a quanto pesato; non serve cambiarlo.',
  '{1} needs to say where it comes from.': '{1} deve dire da dove viene.',
  'The yields leave nothing over.': 'Le rese non lasciano nulla.',
  'The amount of {1} must be above zero.': 'La quantità di {1} deve essere maggiore di zero.',
  '{1} is a unit of its own; a measure is a sheet, a bunch or a spoon of {2}.':
    '{1} è un’unità a sé; una misura è un foglio, un mazzo o un cucchiaio di {2}.',
  '{1} is listed twice.': '{1} è elencato due volte.',
  'A month is listed twice.': 'Un mese è elencato due volte.',
  '{1} is declared as contained already.': '{1} è già dichiarato come contenuto.',
  'Saturates cannot be more than all the fat.':
    'I grassi saturi non possono essere più di tutti i grassi.',
  'Sugars cannot be more than all the carbohydrate.':
    'Gli zuccheri non possono essere più di tutti i carboidrati.',
  'The parts add up to {1} g in 100 g.': 'Le parti sommate fanno {1} g su 100 g.',
  'The parts make {1} % of it, over 100 %.': 'Le parti ne fanno il {1} %, oltre il 100 %.',
  'The piece this part is taken from is not there.':
    'Il pezzo da cui si prende questa parte non c’è.',
  'There is no ingredient {1}.': 'Non c’è nessun ingrediente {1}.',
  'A part is taken from a whole piece, not from a part.':
    'Una parte si prende da un pezzo intero, non da una parte.',
  '{1} is not counted in pieces.': '{1} non si conta a pezzi.',
  '{1} has no weight for one piece.': '{1} non ha il peso di un pezzo.',
  'Give the piece its weight first.': 'Dare prima il peso al pezzo.',
  '{1} has parts of its own, so it is no part.': '{1} ha parti proprie, quindi non è una parte.',
  'Parts are taken from {1}, so it is counted in pieces.':
    'Da {1} si prendono parti, quindi si conta a pezzi.',
  'Parts are taken from {1}, so a piece has a weight.':
    'Da {1} si prendono parti, quindi un pezzo ha un peso.',
  'Write sugars as kind=fraction, separated by semicolons: sucrose=0.6; dextrose=0.1.':
    'Scrivere gli zuccheri come tipo=frazione, separati da punto e virgola: sucrose=0.6; dextrose=0.1.',
  'A source is given without its figure.': 'È data una fonte senza la sua cifra.',
  'Write measures as name=grams, separated by semicolons: sheet=2; cup=125.':
    'Scrivere le misure come nome=grammi, separate da punto e virgola: sheet=2; cup=125.',
  'Write months as numbers: 5 6 7.': 'Scrivere i mesi come numeri: 5 6 7.',
  'Row {1} is about this ingredient already.': 'La riga {1} parla già di questo ingrediente.',
  '{1} is archived; restore it first.': '{1} è archiviato; prima ripristinarlo.',
  'Recipes, packs or stock hold {1} in {2}.': 'Ricette, confezioni o giacenze hanno {1} in {2}.',
  'Recipes, packs or stock hold {1} in {2}; make a new ingredient instead.':
    'Ricette, confezioni o giacenze hanno {1} in {2}; fare invece un ingrediente nuovo.',
  'Still used by {1}.': 'Ancora usato da {1}.',
  'Take it out of these recipes first, or mark it withdrawn.':
    'Toglierlo prima da queste ricette, o segnarlo come ritirato.',
  'There is no recipe version {1}.': 'Non c’è nessuna versione di ricetta {1}.',
  'More is left than there was; only cooking can add weight.':
    'Ne resta più di quanto ce n’era; solo la cottura può aggiungere peso.',
  'That day has not come yet.': 'Quel giorno non è ancora venuto.',
  'Nothing has been weighed of that.': 'Di questo non si è pesato nulla.',
  'Weigh it first.': 'Prima pesarlo.',
  'By now the weighings say {1}; look again.': 'Ormai le pesate dicono {1}; guardare di nuovo.',
  'The recipe says {1} already.': 'La ricetta dice già {1}.',
  'Somebody else changed a weighing just now; look again.':
    'Qualcun altro ha appena cambiato una pesata; guardare di nuovo.',
  'Only who recorded a weighing withdraws it.': 'Una pesata la ritira solo chi l’ha registrata.',
  'This weighing is {1} already.': 'Questa pesata è già {1}.',
  'Say what took the weight away: trim, peel, cooking, sieve and so on.':
    'Dire che cosa ha tolto il peso: mondatura, pelatura, cottura, setaccio e così via.',
  'Weigh it before as well.': 'Pesarlo anche prima.',
  'Batches are counted for a whole batch only.': 'Le dosi si contano solo per una dose intera.',
  'This weighing is of a line.': 'Questa pesata è di una riga.',
  'That version has no such line.': 'Quella versione non ha questa riga.',
  'This weighing is of a step.': 'Questa pesata è di un passo.',
  'That version has no such step.': 'Quella versione non ha questo passo.',
  'A whole batch is weighed as batch.': 'Una dose intera si pesa come dose.',
  'Say how many batches were made; the recipe says what they should give.':
    'Dire quante dosi si sono fatte; la ricetta dice quanto dovrebbero dare.',
  'This weighing is of a batch.': 'Questa pesata è di una dose.',
  'Say how many batches were made.': 'Dire quante dosi si sono fatte.',
  'By now the recipe says otherwise what a batch gives; weigh some of those.':
    'Ormai la ricetta dice altro su quanto dà una dose; pesarne qualcuna.',
  '{1} is not in the version being worked towards.': '{1} non è nella versione a cui si lavora.',
} as const;
