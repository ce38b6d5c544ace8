import type { CarriedJudgement } from '../../core/safety/index.ts';

export const TRANSFER_STATUSES = ['planned', 'sent', 'received', 'not_sent', 'dropped'] as const;
/**
 * `planned`: asked for by the receiving site's plan. `not_sent`: the making site says it does not go.
 * `dropped`: a newer plan does without it.
 */
export type TransferStatus = (typeof TRANSFER_STATUSES)[number];

/** A need that a transfer serves at the receiving site. Base units. */
export interface TransferServes {
  readonly label: string;
  readonly serviceDate: string;
  readonly atMin: number;
  readonly quantity: number;
}

/** A part of a lot that left. */
export interface SentLot {
  readonly lotId: string;
  readonly quantity: number;
  readonly madeAt: string;
  readonly useBy: string;
}

/** A temperature as it was read when food left or came. */
export interface CarriedTemperature {
  readonly value: number;
  readonly unit: string;
  readonly celsius: number;
  readonly judgement: CarriedJudgement;
}

/** Who wrote what left. */
export interface SentRecord {
  readonly at: string;
  readonly by: string;
  readonly lots: readonly SentLot[];
  readonly quantity: number;
  readonly temperature: CarriedTemperature | null;
  readonly note: string | null;
}

/** A lot that left, and what came of it. */
export interface ReceivedLot {
  readonly fromLotId: string;
  /** The lot it is here; null where nothing of it came. */
  readonly lotId: string | null;
  readonly sent: number;
  readonly came: number;
}

/** Who wrote what came. */
export interface ReceivedRecord {
  readonly at: string;
  readonly by: string;
  readonly lots: readonly ReceivedLot[];
  readonly quantity: number;
  /** Came less sent: below zero where something is missing. */
  readonly difference: number;
  readonly temperature: CarriedTemperature | null;
  /** Said because of a difference or of the food's state. */
  readonly note: string | null;
}

/** A component on a trip. Base units. */
export interface Transfer {
  readonly id: string;
  readonly productionId: string;
  readonly componentId: string;
  readonly versionId: string;
  readonly fromSiteId: string;
  readonly toSiteId: string;
  readonly leaveDate: string;
  readonly leavesAt: Date;
  readonly arrivesAt: Date;
  readonly containerName: string;
  readonly containerQuantity: number;
  readonly quantity: number;
  /** What the making site's plan can give; null before it was worked out with what is asked now. */
  readonly promised: number | null;
  readonly surplus: number;
  readonly serviceDate: string;
  readonly neededUntil: Date;
  readonly lotUntil: Date;
  readonly useBy: Date;
  readonly certainFraction: number;
  readonly serves: readonly TransferServes[];
  readonly explainedIn: string;
  readonly node: string;
  readonly status: TransferStatus;
  readonly sent: SentRecord | null;
  readonly received: ReceivedRecord | null;
  readonly reason: string | null;
  readonly rev: number;
}

export type TransferChange = Partial<Omit<Transfer, 'id' | 'rev' | 'fromSiteId' | 'toSiteId'>>;

/** @returns what the receiving site can count on of a transfer that has not left */
export function countedOn({ quantity, promised }: Pick<Transfer, 'quantity' | 'promised'>): number {
  return promised === null ? quantity : Math.min(promised, quantity);
}
