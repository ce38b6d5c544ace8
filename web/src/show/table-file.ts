const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** What a person is offered to choose among. */
export const TABLE_FILES = `.csv,.xlsx,text/csv,text/plain,${XLSX}`;

/**
 * A chosen file as it is sent: as a workbook where it begins like an archive or an older workbook,
 * whatever its name, because the service can say what is wrong with it; else as comma-separated
 * values. Read at once, so that it may be saved anew on the disk meanwhile.
 */
export async function tableFile(file: Blob): Promise<Blob> {
  const bytes = await file.arrayBuffer();
  const [first, second] = new Uint8Array(bytes, 0, Math.min(2, bytes.byteLength));
  const isArchive = first === 0x50 && second === 0x4b;
  const isOlder = first === 0xd0 && second === 0xcf;
  return new Blob([bytes], { type: isArchive || isOlder ? XLSX : 'text/csv' });
}
