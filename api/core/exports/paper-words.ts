/** The languages in which papers for suppliers are written, as ISO 639 codes. */
export const PAPER_LANGUAGES = ['en', 'it'] as const;
export type PaperLanguage = (typeof PAPER_LANGUAGES)[number];

/** What an order sheet says, in one language; `locale` is its way with numbers, money and dates. */
export interface PaperWords {
  readonly locale: string;
  readonly order: (number: string) => string;
  readonly copy: string;
  readonly supplier: string;
  readonly buyer: string;
  readonly account: (number: string) => string;
  readonly deliverTo: string;
  readonly deliveryDate: string;
  readonly issued: string;
  readonly line: string;
  readonly code: string;
  readonly what: string;
  readonly pack: string;
  readonly packs: string;
  readonly inAll: string;
  readonly price: string;
  readonly total: string;
  readonly received: string;
  readonly goods: string;
  readonly deliveryCharge: string;
  readonly totalNetOfTax: string;
  readonly pieces: string;
}

/** Each language says all of it; the type makes sure. */
export const PAPER_WORDS: Readonly<Record<PaperLanguage, PaperWords>> = {
  en: {
    locale: 'en-GB',
    order: (number) => `Order ${number}`,
    copy: 'copy',
    supplier: 'Supplier',
    buyer: 'Buyer',
    account: (number) => `Account ${number}`,
    deliverTo: 'Deliver to',
    deliveryDate: 'Delivery',
    issued: 'Issued',
    line: 'Line',
    code: 'Code',
    what: 'What',
    pack: 'Pack',
    packs: 'Packs',
    inAll: 'In all',
    price: 'Price',
    total: 'Total',
    received: 'Received',
    goods: 'Goods',
    deliveryCharge: 'Delivery',
    totalNetOfTax: 'Total net of tax',
    pieces: 'pc',
  },
  it: {
    locale: 'it-IT',
    order: (number) => `Ordine n. ${number}`,
    copy: 'copia',
    supplier: 'Fornitore',
    buyer: 'Committente',
    account: (number) => `Codice cliente ${number}`,
    deliverTo: 'Consegnare a',
    deliveryDate: 'Consegna',
    issued: 'Data dell’ordine',
    line: 'Riga',
    code: 'Codice',
    what: 'Articolo',
    pack: 'Confezione',
    packs: 'N. conf.',
    inAll: 'Quantità',
    price: 'Prezzo',
    total: 'Totale',
    received: 'Ricevute',
    goods: 'Merce',
    deliveryCharge: 'Spese di consegna',
    totalNetOfTax: 'Totale IVA esclusa',
    pieces: 'pz',
  },
};
