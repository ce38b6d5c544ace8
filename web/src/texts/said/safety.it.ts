/** Ciò che dice il servizio, in italiano: temperature, scadenze e gelatina. {1}, {2} stanno per ciò che vi si mette. */
export const safety = {
  'It left with this use-by.': 'È partito con questa scadenza.',
  'Once carried it keeps for {1} after it was made.':
    'Una volta trasportato dura {1} da quando è stato fatto.',
  'Once carried it keeps for {1} after it came.':
    'Una volta trasportato dura {1} da quando è arrivato.',
  'It keeps at room temperature: no limit.': 'Si tiene a temperatura ambiente: nessun limite.',
  '{1} °C when it was carried: {2} or colder is the limit.':
    '{1} °C durante il trasporto: il limite è {2} o più freddo.',
  'Carried at {1} or colder.': 'Trasportato a {1} o più freddo.',
  'The first reading is already below {1}: say when it came off the heat, or nothing shows how long it took.':
    'La prima misura è già sotto {1}: dire quando è stato tolto dal fuoco, altrimenti nulla mostra quanto ci ha messo.',
  'It was heated again: what follows belongs to a new record.':
    'È stato scaldato di nuovo: quel che segue va in una registrazione nuova.',
  '{1} reached within {2}; the limit is {3}.': '{1} raggiunti in {2}; il limite è {3}.',
  '{1} must be reached within {2}.': '{1} vanno raggiunti entro {2}.',
  'Still above {1} after {2}.': 'Ancora sopra {1} dopo {2}.',
  'Nothing shows that {1} was reached within {2}: the first reading that cold came after {3}.':
    'Nulla mostra che {1} siano stati raggiunti entro {2}: la prima misura così fredda è arrivata dopo {3}.',
  'Nothing shows that {1} was reached within {2}.':
    'Nulla mostra che {1} siano stati raggiunti entro {2}.',
  'Too many readings.': 'Troppe misure.',
  'A reading is a number of degrees at a time.': 'Una misura è un numero di gradi a una certa ora.',
  'A reading cannot lie in the future.': 'Una misura non può stare nel futuro.',
  'Throw it away, and say so in the record.': 'Buttarlo, e scriverlo nel registro.',
  'Heat all of it again to {1} ({2}), then cool it again, faster: shallow trays, ice bath, blast chiller. Once only.':
    'Scaldare tutto di nuovo a {1} ({2}), poi raffreddare di nuovo, più in fretta: teglie basse, bagno di ghiaccio, abbattitore. Una volta sola.',
  'Split it into shallow trays, ice bath or blast chiller, and measure again.':
    'Dividerlo in teglie basse, in bagno di ghiaccio o in abbattitore, e misurare di nuovo.',
  'Chill it at once to {1} or colder, find out why, and let a lead decide.':
    'Raffreddarlo subito a {1} o meno, scoprire il perché, e lasciar decidere a un responsabile.',
  'Serve it now, only where a lead finds that the rules here forgive the time it was warm; throw away what is left.':
    'Servirlo ora, solo se un responsabile trova che le regole qui perdonano il tempo al caldo; buttare ciò che resta.',
  'Heat it again at once to {1} ({2}) and keep it hot, or let a lead decide.':
    'Scaldarlo subito di nuovo a {1} ({2}) e tenerlo caldo, oppure lasciar decidere a un responsabile.',
  'Serve it now, only where a lead finds that the rules here forgive the time; throw away what is left.':
    'Servirlo ora, solo se un responsabile trova che le regole qui perdonano il tempo passato; buttare ciò che resta.',
  'These limits help and never replace your food-safety plan: local codes and licensed practice decide. When in doubt, throw it out.':
    'Questi limiti aiutano e non sostituiscono mai il vostro piano di autocontrollo: decidono le norme del luogo e chi ne ha titolo. Nel dubbio, buttare.',
  'No temperature taken yet.': 'Ancora nessuna temperatura misurata.',
  'Held at {1}.': 'Tenuto a {1}.',
  'Not held at {1} for up to {2}. Less than {3}, once, is forgiven for service or display; it must not happen to this food again.':
    'Non tenuto a {1} per un tempo fino a {2}. Meno di {3}, una volta, si perdona per il servizio o l’esposizione; a questo cibo non deve succedere più.',
  'Not held at {1} for up to {2}.': 'Non tenuto a {1} per un tempo fino a {2}.',
  'UK law names no number of days for food made on the premises: the shelf life of the recipe stands.':
    'La legge britannica non fissa giorni per il cibo fatto sul posto: vale la durata della ricetta.',
  'A fridge set to 5 °C keeps food below the legal 8 °C when its door is opened (Food Standards Agency advice).':
    'Un frigo a 5 °C tiene il cibo sotto gli 8 °C di legge anche quando si apre la porta (consiglio della Food Standards Agency).',
  'EU law names no number of days or degrees for a kitchen; member states and local codes do.':
    'La legge dell’UE non fissa giorni né gradi per una cucina; lo fanno gli Stati membri e le norme locali.',
  'France: 63 to 10 °C in under two hours, kept at 3 °C, three days after the day of making unless a study shows more ({1}).':
    'Francia: da 63 a 10 °C in meno di due ore, conservazione a 3 °C, tre giorni dopo quello di preparazione salvo uno studio che ne mostri di più ({1}).',
  'Time alone may stand for temperature (4 hours, or 6 hours below 21 °C) only by a procedure written beforehand: Food Code 3-501.19.':
    'Il solo tempo può valere al posto della temperatura (4 ore, o 6 ore sotto 21 °C) solo con una procedura scritta prima: Food Code 3-501.19.',
  'Freezing stops the seven days; thawing goes on with those that are left.':
    'Il congelamento ferma i sette giorni; scongelando si riprende da quelli che restano.',
  'No kitchen thermometer reads that. Check the number and its unit.':
    'Nessun termometro da cucina segna questo. Controllare il numero e l’unità.',
  'The recipe says that it keeps for no time at all.': 'La ricetta dice che non dura per nulla.',
  'The recipe keeps for {1}.': 'La ricetta dura {1}.',
  '{1} went in and has its own use-by.': 'È entrato {1}, che ha una scadenza propria.',
  'At most {1} days at {2} or colder, the day of making counted.':
    'Al massimo {1} giorni a {2} o meno, contando quello di preparazione.',
  'Acid weakens the set: add gelatine to the warm base, not to the juice, and test the firmness.':
    'L’acido indebolisce il gel: mettere la gelatina nella base calda, non nel succo, e provare la tenuta.',
  'At {1} % alcohol the set is softer and may cloud: use more gelatine and test it.':
    'Con il {1} % di alcol il gel è più morbido e può intorbidirsi: usare più gelatina e provarlo.',
  'Raw {1} stops gelatine from setting: heat it through first, or set with something else.':
    '{1} crudo impedisce alla gelatina di rapprendere: scaldarlo a fondo prima, o addensare con altro.',
  'Boiling weakens gelatine: dissolve it off the boil and do not boil the mix again.':
    'La bollitura indebolisce la gelatina: scioglierla fuori dal bollore e non far più bollire il composto.',
  'It came off the heat before it was measured.':
    'È stato tolto dal fuoco prima di essere misurato.',
  'Hold at {1} or colder.': 'Tenere a {1} o più freddo.',
  'Hold at {1} or hotter.': 'Tenere a {1} o più caldo.',
  'Cool from the end of making to {1}.': 'Raffreddare dalla fine della preparazione a {1}.',
  'Cool from {1} to {2}.': 'Raffreddare da {1} a {2}.',
  '{1} has no step that cools cooked food.': '{1} non ha un passo che raffredda cibo cotto.',
  'This task is not being made: there is nothing to cool.':
    'Questa preparazione non è in corso: non c’è nulla da raffreddare.',
  'Only a lead strikes out what was entered by somebody else or more than 15 minutes ago.':
    'Solo un responsabile cancella ciò che ha scritto un altro o più di 15 minuti fa.',
  'This reading is struck out already.': 'Questa misura è già cancellata.',
  'That is no way to correct this kind of breach.':
    'Questo non è un modo di correggere un caso così.',
  '{1} decided this already: {2}.': '{1} l’ha già deciso: {2}.',
  'common practice, no source': 'pratica comune, senza fonte',
  'Food that was not kept safe is not served: every food-safety plan ends here':
    'Il cibo non tenuto al sicuro non si serve: ogni piano di autocontrollo finisce qui',
  '63 °C in the middle within one hour': '63 °C al cuore entro un’ora',
  '74 °C (165 °F) for 15 seconds, reached within 2 hours':
    '74 °C (165 °F) per 15 secondi, raggiunti entro 2 ore',
  '75 °C in the middle for 30 seconds, or 70 °C for 2 minutes; in Scotland 82 °C unless that spoils it':
    '75 °C al cuore per 30 secondi, o 70 °C per 2 minuti; in Scozia 82 °C salvo che lo rovini',
  'United Kingdom': 'Regno Unito',
  'European Union': 'Unione europea',
  'United States (FDA Food Code)': 'Stati Uniti (FDA Food Code)',
  'The law says as quickly as possible (Regulation 852/2004, annex II, chapter IX); 90 minutes is what industry guides advise':
    'La legge dice il più in fretta possibile (regolamento 852/2004, allegato II, capitolo IX); 90 minuti è quanto consigliano le guide di settore',
  'The same 90 minutes, counted from the end of making':
    'Gli stessi 90 minuti, contati dalla fine della preparazione',
  'The same two hours, counted from the end of making':
    'Le stesse due ore, contate dalla fine della preparazione',
  '{1}; Regulation (EC) 852/2004, annex II, chapter IX, point 6 says as quickly as possible and gives no number':
    '{1}; il regolamento (CE) 852/2004, allegato II, capitolo IX, punto 6 dice il più in fretta possibile e non dà un numero',
  '{1} (holding: from memory)': '{1} (conservazione: a memoria)',
  '{1}, for France; other countries differ': '{1}, per la Francia; altri paesi differiscono',
  '{1}, paragraph 2': '{1}, paragrafo 2',
  '{1}, paragraph 5: service or display, once':
    '{1}, paragrafo 5: servizio o esposizione, una volta',
  '{1}, paragraph 6': '{1}, paragrafo 6',
  '{1}, paragraph 7: service or display, once (from memory)':
    '{1}, paragrafo 7: servizio o esposizione, una volta (a memoria)',
  '{1}, 3-501.14(A), where a state has adopted it':
    '{1}, 3-501.14(A), dove uno Stato l’ha adottato',
  '{1}, 3-501.14(B), where a state has adopted it':
    '{1}, 3-501.14(B), dove uno Stato l’ha adottato',
  '{1}, 3-501.17(A): the day of preparation is day 1':
    '{1}, 3-501.17(A): il giorno della preparazione è il giorno 1',
  'Food Standards Agency cooking advice; Scotland: Food Hygiene (Scotland) Regulations 2006':
    'Consigli di cottura della Food Standards Agency; Scozia: Food Hygiene (Scotland) Regulations 2006',
  'Council Directive 89/108/EEC: -18 °C, up to 3 °C warmer for short while carried (from memory)':
    'Direttiva 89/108/CEE: -18 °C, fino a 3 °C in più per breve tempo durante il trasporto (a memoria)',
  "gelatine makers' and sellers' notes, read second-hand":
    'note di chi produce e vende gelatina, lette di seconda mano',
} as const;
