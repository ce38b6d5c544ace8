import { PACKS_CODE, tradeQuantity } from '../codes/index.ts';
import { Decimal, roundMoney } from '../money/index.ts';
import type { Result } from '../shared/result.ts';
import { mapResult } from '../shared/result.ts';
import { checkOrderDocument, orderTotals } from './order-document.ts';
import type { OrderDocument, OrderDocumentLine, OrderParty } from './order-document.ts';
import { xmlElement, xmlParent } from './xml-text.ts';

const NAMESPACES = {
  xmlns: 'urn:oasis:names:specification:ubl:schema:xsd:Order-2',
  'xmlns:cac': 'urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2',
  'xmlns:cbc': 'urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2',
};
/** ISO 6523 identifiers of the GS1 keys (from memory; an optional attribute of the standard). */
const GLN_SCHEME = '0088';
const GTIN_SCHEME = '0160';

/**
 * An order as OASIS UBL 2.1 Order XML, UTF-8, elements in the order of the schema.
 *
 * Quantities count packs (Recommendation 20 code NMP), the price is per pack, and PackQuantity gives
 * the content of one pack in kilograms, litres or pieces. The delivery charge is an AllowanceCharge.
 * There is no AnticipatedMonetaryTotal: its PayableAmount would include tax, which we do not know.
 *
 * Errors: as checkOrderDocument.
 * Source: OASIS Universal Business Language 2.1, UBL-Order-2.1.xsd and its common library.
 */
export function orderToUbl(document: OrderDocument): Result<string> {
  return mapResult(checkOrderDocument(document), () => {
    const { currency } = document;
    const { lineTotals } = orderTotals(document);
    const charge = new Decimal(document.deliveryCharge);
    const root = xmlParent(
      'Order',
      [
        xmlElement('cbc:UBLVersionID', '2.1'),
        xmlElement('cbc:ID', document.number),
        document.copy === true ? xmlElement('cbc:CopyIndicator', 'true') : null,
        xmlElement('cbc:IssueDate', document.issueDate),
        document.note === undefined ? null : xmlElement('cbc:Note', document.note),
        xmlElement('cbc:DocumentCurrencyCode', currency),
        xmlParent('cac:BuyerCustomerParty', [
          document.buyer.accountId === undefined
            ? null
            : xmlElement('cbc:SupplierAssignedAccountID', document.buyer.accountId),
          party('cac:Party', document.buyer),
        ]),
        xmlParent('cac:SellerSupplierParty', [party('cac:Party', document.supplier)]),
        xmlParent('cac:Delivery', [
          xmlParent('cac:DeliveryLocation', [address('cac:Address', document.site)]),
          xmlParent('cac:RequestedDeliveryPeriod', [
            xmlElement('cbc:StartDate', document.deliveryDate),
            xmlElement('cbc:EndDate', document.deliveryDate),
          ]),
          party('cac:DeliveryParty', document.site),
        ]),
        charge.isZero()
          ? null
          : xmlParent('cac:AllowanceCharge', [
              xmlElement('cbc:ChargeIndicator', 'true'),
              xmlElement('cbc:AllowanceChargeReason', 'Delivery'),
              amount('cbc:Amount', charge.toString(), currency),
            ]),
        ...document.lines.map((line, i) => orderLine(line, lineTotals[i] ?? '0', currency)),
      ],
      NAMESPACES,
    );
    return `<?xml version="1.0" encoding="UTF-8"?>\n${root ?? ''}\n`;
  });
}

function amount(name: string, value: string, currency: string): string {
  return xmlElement(name, roundMoney({ amount: value, currency }).amount, { currencyID: currency });
}

function address(name: string, from: OrderParty): string | null {
  const lines = (from.addressLines ?? []).filter((line) => line.trim() !== '');
  return xmlParent(
    name,
    lines.map((line) => xmlParent('cac:AddressLine', [xmlElement('cbc:Line', line)])),
  );
}

function party(name: string, from: OrderParty): string | null {
  const { gln, phone, email } = from;
  return xmlParent(name, [
    gln === undefined
      ? null
      : xmlParent('cac:PartyIdentification', [xmlElement('cbc:ID', gln, { schemeID: GLN_SCHEME })]),
    xmlParent('cac:PartyName', [xmlElement('cbc:Name', from.name)]),
    address('cac:PostalAddress', from),
    xmlParent('cac:Contact', [
      phone === undefined ? null : xmlElement('cbc:Telephone', phone),
      email === undefined ? null : xmlElement('cbc:ElectronicMail', email),
    ]),
  ]);
}

function orderLine(line: OrderDocumentLine, lineTotal: string, currency: string): string | null {
  const content = tradeQuantity(line.packBase, line.baseUnit);
  const identification = (
    name: string,
    id: string | undefined,
    schemeID?: string,
  ): string | null =>
    id === undefined ? null : xmlParent(name, [xmlElement('cbc:ID', id, { schemeID })]);
  return xmlParent('cac:OrderLine', [
    xmlParent('cac:LineItem', [
      xmlElement('cbc:ID', String(line.lineNumber)),
      line.note === undefined ? null : xmlElement('cbc:Note', line.note),
      xmlElement('cbc:Quantity', String(line.packs), { unitCode: PACKS_CODE }),
      amount('cbc:LineExtensionAmount', lineTotal, currency),
      xmlParent('cac:Price', [
        // A price may have more digits than a payment: it is not rounded.
        xmlElement('cbc:PriceAmount', new Decimal(line.pricePerPack).toFixed(), {
          currencyID: currency,
        }),
        xmlElement('cbc:BaseQuantity', '1', { unitCode: PACKS_CODE }),
      ]),
      xmlParent('cac:Item', [
        line.packName === '' ? null : xmlElement('cbc:Description', line.packName),
        xmlElement('cbc:PackQuantity', content.amount, { unitCode: content.code }),
        xmlElement('cbc:Name', line.ingredientName),
        identification('cac:SellersItemIdentification', line.supplierCode),
        identification('cac:StandardItemIdentification', line.gtin, GTIN_SCHEME),
      ]),
    ]),
  ]);
}
