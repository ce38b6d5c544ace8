/** What the service says of tables that are sent as files. */
export const workbooks = {
  'The file is not UTF-8 text. Save it as CSV UTF-8.':
    'Il file non è testo UTF-8. Salvarlo come CSV UTF-8.',
  'The file is a workbook, not CSV. Send it as {1}.':
    'Il file è una cartella di lavoro, non un CSV. Inviarlo come {1}.',
  'This file is no workbook (.xlsx). Text is sent as CSV.':
    'Questo file non è una cartella di lavoro (.xlsx). Il testo si invia come CSV.',
  'This file is no workbook (.xlsx).': 'Questo file non è una cartella di lavoro (.xlsx).',
  'This file is another kind of document, not a workbook (.xlsx).':
    'Questo file è un documento di altro tipo, non una cartella di lavoro (.xlsx).',
  'This workbook is protected by a password. Save it without one and send it again.':
    'Questa cartella di lavoro è protetta da una password. Salvarla senza e inviarla di nuovo.',
  'This workbook is of the old kind (.xls). Save it as .xlsx and send it again.':
    'Questa cartella di lavoro è del vecchio tipo (.xls). Salvarla come .xlsx e inviarla di nuovo.',
  'This workbook holds macros. Save it as .xlsx, which has none, and send it again.':
    'Questa cartella di lavoro contiene macro. Salvarla come .xlsx, che non ne ha, e inviarla di nuovo.',
  'The workbook is cut off or damaged: it cannot be unpacked.':
    'La cartella di lavoro è troncata o rovinata: non si può aprire.',
  'The workbook has more than {1} parts.': 'La cartella di lavoro ha più di {1} parti.',
  'The workbook holds a part of the same name twice.':
    'La cartella di lavoro contiene due parti con lo stesso nome.',
  'Parts of the workbook lie over one another.':
    'Alcune parti della cartella di lavoro stanno l’una sull’altra.',
  'A part of the workbook has a name that leads out of it.':
    'Una parte della cartella di lavoro ha un nome che porta fuori da essa.',
  'Unpacked, a part of the workbook is larger than {1} MB. Send it in parts.':
    'Una volta aperta, una parte della cartella di lavoro supera {1} MB. Inviarla a pezzi.',
  'The part {1} of the workbook is not readable as XML.':
    'La parte {1} della cartella di lavoro non si legge come XML.',
  'The workbook holds a document type (DOCTYPE), which no workbook needs.':
    'La cartella di lavoro contiene un tipo di documento (DOCTYPE), di cui non ha bisogno.',
  'The part {1} of the workbook holds a text without end.':
    'La parte {1} della cartella di lavoro contiene un testo senza fine.',
  'The workbook holds too many texts. Send it in parts.':
    'La cartella di lavoro contiene troppi testi. Inviarla a pezzi.',
  'Comma-separated values have no sheets.': 'I valori separati da virgole non hanno fogli.',
  'The workbook has more than one sheet "{1}".': 'La cartella di lavoro ha più di un foglio «{1}».',
  'The workbook has no sheet "{1}"; it has {2}.':
    'La cartella di lavoro non ha nessun foglio «{1}»; ha {2}.',
  'The workbook has no sheet that can be seen.': 'La cartella di lavoro non ha fogli visibili.',
  'The sheet has no rows that can be read.': 'Il foglio non ha righe che si possano leggere.',
  'The rows or cells of the sheet are not in order.':
    'Le righe o le celle del foglio non sono in ordine.',
  'The sheet has more than {1} filled cells. Send it in parts.':
    'Il foglio ha più di {1} celle piene. Inviarlo a pezzi.',
  'The sheet holds too much text. Send it in parts.':
    'Il foglio contiene troppo testo. Inviarlo a pezzi.',
  'The cell {1} lies beyond {2}, the last column that is read.':
    'La cella {1} è oltre {2}, l’ultima colonna che si legge.',
  'The cell {1} is a formula without its result. Open the workbook in a spreadsheet and save it.':
    'La cella {1} è una formula senza risultato. Aprire la cartella di lavoro in un foglio di calcolo e salvarla.',
  'The cell {1} names a text that the workbook does not hold.':
    'La cella {1} rimanda a un testo che la cartella di lavoro non contiene.',
  'The cell {1} holds an error, not a value.': 'La cella {1} contiene un errore, non un valore.',
  'The cell {1} holds no number that can be read.':
    'La cella {1} non contiene un numero leggibile.',
  'The cell {1} holds more than {2} characters.': 'La cella {1} contiene più di {2} caratteri.',
  'The cell {1} holds a character that cannot be kept.':
    'La cella {1} contiene un carattere che non si può conservare.',
} as const;
