import qrcode from 'qrcode-generator';

/** Correction level M: a smudge on a fridge label does not make it unreadable. */
const CORRECTION = 'M';

/**
 * A QR code (ISO/IEC 18004) of a text as rows of '0' and '1', without the quiet zone of four modules
 * that must be left round it. The smallest version that holds the text.
 */
export function qrSymbol(text: string): readonly string[] {
  const symbol = qrcode(0, CORRECTION);
  symbol.addData(text, 'Byte');
  symbol.make();
  const size = symbol.getModuleCount();
  return Array.from({ length: size }, (_, row) =>
    Array.from({ length: size }, (__, column) => (symbol.isDark(row, column) ? '1' : '0')).join(''),
  );
}
