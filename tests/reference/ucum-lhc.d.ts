/** The part of the library we call; it ships no types. */
declare module '@lhncbc/ucum-lhc' {
  export class UcumLhcUtils {
    static getInstance(): UcumLhcUtils;
    convertUnitTo(
      fromUnitCode: string,
      fromVal: number,
      toUnitCode: string,
    ): { status: 'succeeded' | 'failed' | 'error'; toVal: number | null; msg: string[] };
    validateUnitString(unitCode: string): { status: 'valid' | 'invalid' | 'error' };
  }
}
