const PRIME_LOW = 0x01b3;
const PRIME_HIGH = 0x0100;

/**
 * A short id that depends on the text alone: FNV-1a, 64 bits, over UTF-16 code units.
 * Not for secrecy; the builder checks for the rare clash.
 * Source: Fowler–Noll–Vo hash, IETF draft-eastlake-fnv (prime 2^40 + 0x1b3).
 */
export function contentId(text: string): string {
  let low = 0x84222325;
  let high = 0xcbf29ce4;
  for (let i = 0; i < text.length; i += 1) {
    const unit = text.charCodeAt(i);
    for (const byte of [unit & 0xff, unit >>> 8]) {
      low = (low ^ byte) >>> 0;
      // (high·2^32 + low) · (2^40 + 0x1b3), modulo 2^64, in halves that stay exact in a double.
      const product = low * PRIME_LOW;
      const carry = Math.floor(product / 0x1_0000_0000);
      high = (Math.imul(high, PRIME_LOW) + carry + Math.imul(low, PRIME_HIGH)) >>> 0;
      low = product >>> 0;
    }
  }
  return `x${high.toString(16).padStart(8, '0')}${low.toString(16).padStart(8, '0')}`;
}
