/** Ciò che dice il controllo della forma di una richiesta, in italiano. */
export const checks = {
  'Invalid input': 'Non valido',
  'Invalid input: expected {1}, received {2}': 'Non va bene: ci si aspettava {1}, è arrivato {2}',
  'Invalid input: expected {1}': 'Non va bene: ci si aspettava {1}',
  'Invalid option: expected one of {1}': 'Non va bene: uno tra {1}',
  'Invalid string: must match pattern {1}': 'Non ha la forma giusta: {1}',
  'Too small: expected {1} to be >{2}': 'Troppo piccolo: deve essere più di {2}',
  'Too small: expected {1} to be >={2}': 'Troppo piccolo: almeno {2}',
  'Too big: expected {1} to be <{2}': 'Troppo grande: deve essere meno di {2}',
  'Too big: expected {1} to be <={2}': 'Troppo grande: al massimo {2}',
  'Too small: expected {1} to have >={2} characters': 'Troppo corto: almeno {2} caratteri',
  'Too big: expected {1} to have <={2} characters': 'Troppo lungo: al massimo {2} caratteri',
  'Too small: expected {1} to have >={2} items': 'Troppo pochi: almeno {2}',
  'Too big: expected {1} to have <={2} items': 'Troppi: al massimo {2}',
  'Unrecognized key: {1}': 'Parola sconosciuta: {1}',
  'Unrecognized keys: {1}': 'Parole sconosciute: {1}',
} as const;
