import { readFileSync } from 'node:fs';
import ICAL from 'ical.js';
import { XmlDocument, XmlElement } from 'libxml2-wasm';
import { describe, expect, it } from 'vitest';
import { tradeUnit } from '../../api/core/codes/index.ts';
import { orderToUbl, toCalendarFeed, toCsv } from '../../api/core/exports/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';
import { fullOrder } from '../fixtures/exports/order-documents.ts';
import { UBL_AMOUNTS, UBL_NAMESPACES, UBL_SEQUENCES } from '../fixtures/exports/ubl-sequences.ts';

const nameOf = (element: XmlElement): string =>
  `${UBL_NAMESPACES[element.namespaceUri] ?? '?'}${element.name}`;

function childrenOf(element: XmlElement): XmlElement[] {
  const children: XmlElement[] = [];
  for (let node = element.firstChild; node; node = node.next) {
    if (node instanceof XmlElement) children.push(node);
  }
  return children;
}

/** What the UBL schema would find wrong: order, repeats, missing elements, missing currencies. */
function faults(element: XmlElement): string[] {
  const name = nameOf(element);
  const children = childrenOf(element);
  const sequence = UBL_SEQUENCES[name];
  if (sequence === undefined) {
    const leaf = children.length === 0 && name.startsWith('cbc:');
    const currency = element.attrs.some((a) => a.name === 'currencyID' && a.value !== '');
    return [
      ...(leaf ? [] : [`${name}: not an element we know`]),
      ...(UBL_AMOUNTS.includes(name) && !currency ? [`${name}: no currencyID`] : []),
    ];
  }
  const found: string[] = [];
  let next = 0;
  const names = children.map(nameOf);
  const particles = sequence.split(' ').map((particle) => ({
    name: particle.replace(/[!*]+$/, ''),
    needed: particle.includes('!'),
    many: particle.includes('*'),
  }));
  for (const { name: wanted, needed, many } of particles) {
    const start = next;
    while (names[next] === wanted && (many || next === start)) next += 1;
    if (needed && next === start) found.push(`${name}: no ${wanted}`);
  }
  if (next < names.length) found.push(`${name}: ${names[next]} is out of order or repeated`);
  return [...found, ...children.flatMap(faults)];
}

function faultsOf(xml: string): string[] {
  const document = XmlDocument.fromString(xml);
  try {
    return nameOf(document.root) === 'Order' ? faults(document.root) : ['not an Order'];
  } finally {
    document.dispose();
  }
}

const minimal = readFileSync(
  new URL('../fixtures/exports/ubl-minimal-order.xml', import.meta.url),
  'utf8',
);
const without = (pattern: RegExp): string => {
  const shorter = minimal.replace(pattern, '');
  expect(shorter).not.toBe(minimal);
  return shorter;
};

// The outcomes in these two lists were measured with libxml2 against OASIS UBL-Order-2.1.xsd; they
// check the checker above before it checks our orders. No registry package carries the schema.
describe('the checker of UBL orders against outcomes measured with the OASIS schema', () => {
  it('finds nothing wrong with the minimal order that the schema takes', () => {
    expect(faultsOf(minimal)).toEqual([]);
  });

  it.each([
    ['the order number', /<cbc:ID>PO-0001<\/cbc:ID>/],
    ['the issue date', /<cbc:IssueDate>[^<]*<\/cbc:IssueDate>/],
    ['the buyer', /<cac:BuyerCustomerParty>[\s\S]*<\/cac:BuyerCustomerParty>/],
    ['the supplier', /<cac:SellerSupplierParty>[\s\S]*<\/cac:SellerSupplierParty>/],
    ['the lines', /<cac:OrderLine>[\s\S]*<\/cac:OrderLine>/],
    ['the line number', /<cbc:ID>1<\/cbc:ID>/],
    ['the item', /<cac:Item>[\s\S]*<\/cac:Item>/],
    ['the price amount', /<cbc:PriceAmount[^>]*>[^<]*<\/cbc:PriceAmount>/],
    ['the currency of the price', / currencyID="GBP"/],
  ])('misses %s, as the schema does', (_, pattern) => {
    expect(faultsOf(without(pattern))).toHaveLength(1);
  });

  it.each([
    ['the quantity', /<cbc:Quantity[^>]*>[^<]*<\/cbc:Quantity>/],
    ['the price', /<cac:Price>[\s\S]*<\/cac:Price>/],
    ['the delivery', /<cac:Delivery>[\s\S]*<\/cac:Delivery>/],
    ['the document currency', /<cbc:DocumentCurrencyCode>[^<]*<\/cbc:DocumentCurrencyCode>/],
    ['the UBL version', /<cbc:UBLVersionID>[^<]*<\/cbc:UBLVersionID>/],
    ['the unit code', / unitCode="KGM"/],
  ])('does not miss %s, as the schema does not', (_, pattern) => {
    expect(faultsOf(without(pattern))).toEqual([]);
  });
});

describe('our UBL orders', () => {
  it('hold every mandatory element, in the order of the schema, with currencies', () => {
    expect(faultsOf(unwrap(orderToUbl(fullOrder())))).toEqual([]);
    const bare = fullOrder({
      buyer: { name: 'B' },
      site: { name: 'S' },
      supplier: { name: 'V' },
      deliveryCharge: '0',
    });
    expect(faultsOf(unwrap(orderToUbl(bare)))).toEqual([]);
  });

  it('say what they mean when another XML library reads them', () => {
    const document = XmlDocument.fromString(unwrap(orderToUbl(fullOrder())));
    const namespaces = Object.fromEntries(
      Object.entries(UBL_NAMESPACES).map(([uri, prefix]) => [prefix.slice(0, -1) || 'o', uri]),
    );
    const texts = (path: string): string[] =>
      document.find(path, namespaces).map((node) => node.content);
    expect(texts('//cac:DeliveryParty/cac:PartyName/cbc:Name')).toEqual(['Boathouse <kitchen>']);
    expect(texts('//cac:DeliveryLocation//cbc:Line')).toEqual(['1 Quay "North"', '0000 Lakeside']);
    expect(texts('//cac:LineItem/cbc:Quantity')).toEqual(['5', '2', '1']);
    expect(texts('//cac:LineItem/cbc:Quantity/@unitCode')).toEqual(['NMP', 'NMP', 'NMP']);
    expect(texts('//cbc:PackQuantity')).toEqual(['2.5', '1', '30']);
    expect(texts('//cac:Price/cbc:PriceAmount')).toEqual(['16.005', '3.2', '7']);
    expect(texts('//cbc:LineExtensionAmount')).toEqual(['80.02', '6.40', '7.00']);
    expect(texts('/o:Order/cac:AllowanceCharge/cbc:Amount')).toEqual(['6.50']);
    expect(texts('//cac:StandardItemIdentification/cbc:ID')).toEqual(['6291041500213']);
    // A bell character cannot be in XML at all.
    expect(texts('//cac:LineItem/cbc:Note')).toEqual(['@chef: one by "noon"']);
    for (const code of texts('//cbc:PackQuantity/@unitCode')) {
      expect(tradeUnit(code).ok).toBe(true);
    }
    document.dispose();
  });
});

describe('calendar feeds read by a general-purpose iCalendar library', () => {
  it('keep instants, long and awkward texts and categories', () => {
    const title =
      'Pâte sucrée; roll, line & chill \\ 24 × Ø 8 cm — "rings", then freeze the trimmings';
    const description = `Step 1: 5 °C\nStep 2: ${'é'.repeat(60)}`;
    const text = unwrap(
      toCalendarFeed({
        name: 'Boathouse, prep',
        stampMin: 29_570_400,
        entries: [
          {
            uid: 'a;b@lake.example',
            title,
            description,
            location: 'Pastry, lower floor',
            categories: ['tart, sweet', 'chill'],
            startMin: 29_571_000,
            endMin: 29_571_045,
            sequence: 2,
          },
        ],
      }),
    );
    const calendar = new ICAL.Component(ICAL.parse(text));
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
    const vevent = calendar.getFirstSubcomponent('vevent');
    expect(vevent).not.toBeNull();
    if (!vevent) return;
    const event = new ICAL.Event(vevent);
    expect(event.uid).toBe('a;b@lake.example');
    expect(event.summary).toBe(title);
    expect(event.description).toBe(description);
    expect(event.location).toBe('Pastry, lower floor');
    expect(event.startDate.toJSDate().getTime()).toBe(29_571_000 * 60_000);
    expect(event.endDate.toJSDate().getTime()).toBe(29_571_045 * 60_000);
    expect(vevent.getFirstProperty('categories')?.getValues()).toEqual(['tart, sweet', 'chill']);
    expect(event.sequence).toBe(2);
  });
});

describe('RFC 4180', () => {
  it('encodes the example of a quoted field with comma and quotes', () => {
    // RFC 4180, section 2, rules 5 to 7.
    expect(toCsv(['q'], [['He said "hi", ok']])).toBe('q\r\n"He said ""hi"", ok"\r\n');
    expect(toCsv(['aaa', 'bbb', 'ccc'], [['aaa', 'b\r\nbb', 'ccc']])).toBe(
      'aaa,bbb,ccc\r\naaa,"b\r\nbb",ccc\r\n',
    );
  });
});
