/** Attributes of an element; undefined ones are left out. */
export type XmlAttributes = Readonly<Record<string, string | undefined>>;

/** Characters that XML 1.0 cannot hold at all, not even escaped, and halves of surrogate pairs. */
const FORBIDDEN =
  // eslint-disable-next-line no-control-regex
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** Text for an XML document: markup escaped, characters XML cannot hold left out. */
export function xmlText(text: string): string {
  return text
    .replace(FORBIDDEN, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** An element with escaped text. */
export function xmlElement(name: string, text: string, attributes: XmlAttributes = {}): string {
  return `<${name}${attributeText(attributes)}>${xmlText(text)}</${name}>`;
}

/** An element that holds elements; empty when none of them says anything. */
export function xmlParent(
  name: string,
  children: readonly (string | null)[],
  attributes: XmlAttributes = {},
): string | null {
  const said = children.filter((child) => child !== null && child !== '');
  if (said.length === 0) return null;
  return `<${name}${attributeText(attributes)}>${said.join('')}</${name}>`;
}

function attributeText(attributes: XmlAttributes): string {
  return Object.entries(attributes)
    .flatMap(([name, value]) => (value === undefined ? [] : [` ${name}="${xmlText(value)}"`]))
    .join('');
}
