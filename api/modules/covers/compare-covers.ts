import type { Sitting, SnapshotInput } from './covers.ports.ts';

/** Whether a snapshot sent again adds nothing; one that leaves out what was cancelled says less. */
export function saysTheSame(
  standing: Pick<SnapshotInput, 'booked' | 'cancelled'>,
  again: Pick<SnapshotInput, 'booked' | 'cancelled'>,
): boolean {
  const { booked, cancelled } = again;
  return standing.booked === booked && (cancelled === null || standing.cancelled === cancelled);
}

/** The key of a snapshot: a sitting and an instant. */
export function snapshotKey(s: Sitting & { readonly takenAt: Date }): string {
  return `${s.serviceId}\n${s.serviceDate}\n${s.takenAt.toISOString()}`;
}

/** Earliest and latest service date of some rows. */
export function dateRange(rows: readonly Sitting[]): readonly [string, string] {
  const dates = rows.map((row) => row.serviceDate).sort();
  return [dates[0] ?? '', dates.at(-1) ?? ''];
}
