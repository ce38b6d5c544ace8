/** Ciò che dice il servizio, in italiano: ricette e ingredienti. {1}, {2} stanno per ciò che vi si mette. */
export const recipes = {
  Milk: 'Latte',
  Eggs: 'Uova',
  Fish: 'Pesce',
  'Crustacean shellfish': 'Crostacei',
  'Tree nuts': 'Frutta a guscio',
  Peanuts: 'Arachidi',
  Wheat: 'Frumento',
  Soybeans: 'Soia',
  Sesame: 'Sesamo',
  '"{1}" is not an allergen such as milk or nuts:almond.':
    '«{1}» non è un allergene come milk o nuts:almond.',
  'Worked out from recipes and from what suppliers declare. It never says that a dish is free from anything: kitchens share air, hands and equipment. Check labels and changes of supplier; local food law and trained staff decide.':
    'Ricavato dalle ricette e da ciò che dichiarano i fornitori. Non dice mai che un piatto è privo di qualcosa: nelle cucine aria, mani e attrezzi sono comuni. Controllare le etichette e i cambi di fornitore; decidono la legge alimentare del luogo e personale formato.',
  '{1} is not among the recipes.': '{1} non è tra le ricette.',
  'Sulphites are 0 or more milligrams in a kilogram.':
    'I solfiti sono 0 o più milligrammi in un chilogrammo.',
  'Sulphites are declared, so their amount cannot be 0.':
    'I solfiti sono dichiarati, quindi la loro quantità non può essere 0.',
  'Too strong for the freezing table.': 'Troppo concentrato per la tabella di congelamento.',
  '{1} has no known weight and is left out.': 'Di {1} non si conosce il peso: è lasciato fuori.',
  'It is kept frozen, and nothing in it is baked or set with gelatine.':
    'Si conserva congelata, e nulla in essa è cotto in forno o addensato con gelatina.',
  'Everything in it dissolves, and it is sugar and water.':
    'Tutto ciò che contiene si scioglie, ed è zucchero e acqua.',
  'Flour is {1} % of it.': 'La farina ne è il {1} %.',
  'The weight of what the recipe gives is not known.':
    'Non si sa quanto pesa ciò che la ricetta dà.',
  'More sugar than water holds at 20 °C: it may crystallise as it stands.':
    'Più zucchero di quanto l’acqua ne tenga a 20 °C: fermo, può cristallizzare.',
  'It holds alcohol; the sucrose table does not hold for it.':
    'Contiene alcol; la tabella del saccarosio non vale.',
  'Above 70 °Brix the table has no figure.': 'Oltre 70 °Brix la tabella non ha valori.',
  'Recipes are nested {1} levels deep.': 'Le ricette sono annidate su {1} livelli.',
  'A recipe cannot contain itself: {1}.': 'Una ricetta non può contenere sé stessa: {1}.',
  'The item {1} is given twice.': 'La voce {1} è data due volte.',
  '{1} is an ingredient and cannot have a recipe.':
    '{1} è un ingrediente e non può avere una ricetta.',
  '{1} has two recipes for the same date.': '{1} ha due ricette per la stessa data.',
  'The recipe for {1} needs one main output, and that is {2}.':
    'La ricetta di {1} ha bisogno di un risultato principale, ed è {2}.',
  '{1} gives {2} twice in one recipe.': '{1} dà due volte {2} in una ricetta.',
  'What a batch of {1} gives of {2} must be above zero.':
    'Ciò che una dose di {1} dà di {2} deve essere maggiore di zero.',
  'The shelf life of {1} must be above zero.': 'La durata di {1} deve essere maggiore di zero.',
  'The recipe for {1} has too many lines.': 'La ricetta di {1} ha troppe righe.',
  '{1} uses {2}, which has no published recipe for the date.':
    '{1} usa {2}, che per quella data non ha una ricetta pubblicata.',
  'Two lines of {1} share an id.': 'Due righe di {1} hanno lo stesso codice.',
  'The amount of {1} in {2} must be above zero.':
    'La quantità di {1} in {2} deve essere maggiore di zero.',
  'The yield of {1} in {2} must be above 0 and at most {3}.':
    'La resa di {1} in {2} deve essere sopra 0 e al massimo {3}.',
  'The batch sizes of {1} must be above zero.':
    'Le misure di dose di {1} devono essere maggiori di zero.',
  'No batch of {1} fits: the largest batch is below the smallest permitted.':
    'Nessuna dose di {1} va bene: la più grande è sotto la più piccola ammessa.',
  '{1} names {2}, which is not known.': '{1} nomina {2}, che non è conosciuto.',
  'No multiple of {1} lies between the smallest batch ({2}) and the largest ({3}).':
    'Nessun multiplo di {1} sta tra la dose più piccola ({2}) e la più grande ({3}).',
  'The recipe names no mould or tray.': 'La ricetta non nomina né stampo né teglia.',
  "The recipe has no line '{1}' that scales.":
    'La ricetta non ha una riga «{1}» che si possa riproporzionare.',
  'What is at hand is less than the smallest batch needs.':
    'Quel che c’è è meno di quanto serve alla dose più piccola.',
  'A recipe may have {1} lines, not {2}.': 'Una ricetta può avere {1} righe, non {2}.',
  '{1} has no published version for {2}.': '{1} non ha una versione pubblicata per {2}.',
  'Write the rise as a fraction, such as 0.10.':
    'Scrivere l’aumento come frazione, per esempio 0.10.',
  'Recorded {1} to {2}: {3} thrown away, {4} used for the plates sold.':
    'Registrato dal {1} al {2}: {3} buttati, {4} usati per i piatti venduti.',
  'One batch gives {1} instead of {2}.': 'Una dose dà {1} invece di {2}.',
  'A piece weighs {1} instead of {2}.': 'Un pezzo pesa {1} invece di {2}.',
  'New: {1} {2}.': 'Nuovo: {1} {2}.',
  'Left out: {1} {2}.': 'Tolto: {1} {2}.',
  'The lines stand in another order.': 'Le righe stanno in un altro ordine.',
  '{1}: {2} becomes {3} ({4}).': '{1}: {2} diventa {3} ({4}).',
  '{1}: still {2} ({3}).': '{1}: ancora {2} ({3}).',
  '{1}: {2} is left when {3}, instead of {4}.': '{1}: ne resta {2} quando {3}, invece di {4}.',
  '{1}: losses are now {2}.': '{1}: le perdite ora sono {2}.',
  '{1}: now once a batch, whatever its size.':
    '{1}: ora una volta per dose, qualunque ne sia la misura.',
  '{1}: now scales.': '{1}: ora cresce con la dose.',
  '{1}: the note is {2}.': '{1}: la nota è {2}.',
  'Keeps {1} instead of {2}.': 'Dura {1} invece di {2}.',
  'Kept {1} instead of {2}.': 'Conservato {1} invece di {2}.',
  'Made as {1} instead of {2}.': 'Si fa {1} invece di {2}.',
  'Gives {1} {2} as well.': 'Dà anche {1} {2}.',
  'Gives {1} {2} instead of {3}.': 'Dà {1} {2} invece di {3}.',
  '{1} keeps {2} instead of {3}.': '{1} dura {2} invece di {3}.',
  'No longer gives {1}.': 'Non dà più {1}.',
  'The note is {1}.': 'La nota è {1}.',
  '{1} has no version yet.': '{1} non ha ancora una versione.',
  'Somebody else saved the draft just now; try again.':
    'Qualcun altro ha appena salvato la bozza; riprovare.',
  'The losses are listed one by one; leave this out.':
    'Le perdite sono elencate una per una; lasciare questo vuoto.',
  'Only a version in review is published.': 'Si pubblica solo una versione in revisione.',
  'The recipe has no lines.': 'La ricetta non ha righe.',
  'The recipe has no steps.': 'La ricetta non ha passi.',
  'Another version begins on that date already.': 'Un’altra versione comincia già in quella data.',
  'Past dates stay as they were planned; begin today or later.':
    'Le date passate restano com’erano pianificate; cominciare oggi o dopo.',
  'This adds allergens to {1}. Somebody other than who submitted it must publish it.':
    'Questo aggiunge allergeni a {1}. Deve pubblicarlo una persona diversa da chi l’ha mandato in revisione.',
  'A second person has to confirm added allergens.':
    'Una seconda persona deve confermare gli allergeni aggiunti.',
  'Only a published version is withdrawn.': 'Si ritira solo una versione pubblicata.',
  '{1} offers this dish, and no other version stands.':
    '{1} offre questo piatto, e nessun’altra versione vale.',
  'Times are for the batch as written. Cooling, storage and allergen rules of your area and your own checks come first.':
    'I tempi sono per la dose com’è scritta. Le regole del luogo su raffreddamento, conservazione e allergeni e i propri controlli vengono prima.',
  '{1} is written and used as it is; begin a new recipe.':
    '{1} è scritta e usata così com’è; cominciare una ricetta nuova.',
  'A dish is counted in portions: use each.': 'Un piatto si conta in porzioni: usare each.',
  'Take it out of these first.': 'Toglierlo prima da questi.',
  '{1} in place of {2}.': '{1} al posto di {2}.',
  '{1}: at {2} °C instead of {3} °C.': '{1}: a {2} °C invece di {3} °C.',
  '{1}: at {2} °C instead of no stated temperature.':
    '{1}: a {2} °C invece di nessuna temperatura indicata.',
  'Somebody else saved this while you were editing{1}. Nothing of yours was saved; look at what changed and try again.':
    'Qualcun altro ha salvato mentre qui si scriveva{1}. Di quanto scritto qui non è stato salvato nulla; guardare che cosa è cambiato e riprovare.',
  '{1} of work instead of {2}.': '{1} di lavoro invece di {2}.',
  'Only drafts are edited; begin a new one.': 'Si modificano solo le bozze; cominciarne una nuova.',
  'Only drafts are thrown away; withdraw a published version.':
    'Si buttano solo le bozze; una versione pubblicata si ritira.',
  'Only a draft is sent for review.': 'Si manda in revisione solo una bozza.',
  'The recipe has no lines yet.': 'La ricetta non ha ancora righe.',
  'Only a version in review is sent back.': 'Si rimanda indietro solo una versione in revisione.',
  'This is the first version; there is none before it.':
    'Questa è la prima versione; prima non ce n’è.',
  'That is not a version of the same recipe.': 'Quella non è una versione della stessa ricetta.',
  '{1} is an output of this recipe already.': '{1} è già un risultato di questa ricetta.',
  'A recipe cannot contain itself: {1} → {2}.':
    'Una ricetta non può contenere sé stessa: {1} → {2}.',
  'A line names either an ingredient or a component.':
    'Una riga nomina un ingrediente o un componente.',
  'There is no component {1}.': 'Non c’è nessun componente {1}.',
  '{1} is a dish; dishes are plated, not put into recipes.':
    '{1} è un piatto; i piatti si impiattano, non si mettono nelle ricette.',
  'The recipe does not let a site use a local ingredient here. Ask the lead.':
    'Qui la ricetta non lascia usare alla sede un ingrediente locale. Chiedere al responsabile.',
  'The recipe does not let a site state its own yield here. Ask the lead.':
    'Qui la ricetta non lascia indicare alla sede una resa propria. Chiedere al responsabile.',
  'The recipe does not let a site set its own temperature here. Ask the lead.':
    'Qui la ricetta non lascia mettere alla sede una temperatura propria. Chiedere al responsabile.',
  'The recipe does not let a site set its own times here. Ask the lead.':
    'Qui la ricetta non lascia mettere alla sede tempi propri. Chiedere al responsabile.',
  'It ends before it begins.': 'Finisce prima di cominciare.',
  'That does not belong to a change of {1}.': 'Questo non fa parte di un cambio di {1}.',
  'Say what is done otherwise.': 'Dire che cosa si fa diversamente.',
  'That is not what is changed.': 'Non è questo ciò che cambia.',
  'Say of what.': 'Dire di che cosa.',
  'The version in force then has no such line.': 'La versione in vigore allora non ha questa riga.',
  'Only an ingredient is replaced by a local one.':
    'Solo un ingrediente si sostituisce con uno locale.',
  'Line {1}': 'Riga {1}',
  'The recipe uses {1} already.': 'La ricetta usa già {1}.',
  '{1} is counted in {2}, {3} in {4}.': '{1} si conta in {2}, {3} in {4}.',
  '{1} sets otherwise than {2}; that is a change of the recipe.':
    '{1} addensa diversamente da {2}; questo è un cambio di ricetta.',
  'The version in force then has no such step.':
    'La versione in vigore allora non ha questo passo.',
  'Step {1}: {2}': 'Passo {1}: {2}',
  'This adds allergens. Somebody other than who entered it must confirm it.':
    'Questo aggiunge allergeni. Deve confermarlo una persona diversa da chi l’ha scritto.',
  'It would have ended before today; enter it anew.':
    'Sarebbe finito prima di oggi; scriverlo di nuovo.',
  'The recipe no longer lets a site do this.': 'La ricetta non lascia più farlo a una sede.',
  'This one is {1}; only one that stands ends.': 'Questo è {1}; finisce solo uno che vale.',
  'It has not begun by then; end it on its first date.':
    'Per allora non è cominciato; finirlo nella sua prima data.',
  'It ends sooner already; enter a new one for later dates.':
    'Finisce già prima; scriverne uno nuovo per le date dopo.',
  'It adds allergens and waits for a second person.':
    'Aggiunge allergeni e aspetta una seconda persona.',
  'It was turned down.': 'È stato respinto.',
  'It begins on {1}.': 'Comincia il {1}.',
  'It held until before {1}.': 'È valso fino a prima del {1}.',
  'The recipe in force no longer has this, or no longer lets a site change it.':
    'La ricetta in vigore non ce l’ha più, o non lascia più che una sede lo cambi.',
  'This one is {1}; nobody has to confirm it.': 'Questo è {1}; nessuno deve confermarlo.',
  'There is no recipe {1} with a published version on {2}.':
    'Non c’è una ricetta {1} con una versione pubblicata il {2}.',
  'Another one for the same holds on some of these dates; end it first.':
    'Un altro per la stessa cosa vale in alcune di queste date; prima finirlo.',
  'This site makes for others, and an ingredient of its own would not reach their allergen lists. It keeps to the group’s ingredients as long as it does.':
    'Questa sede produce per altre, e un suo ingrediente proprio non arriverebbe ai loro elenchi degli allergeni. Finché lo fa si attiene agli ingredienti del gruppo.',
  'This site makes for others.': 'Questa sede produce per altre.',
  'There is no ingredient or component {1}.': 'Non c’è nessun ingrediente né componente {1}.',
} as const;
