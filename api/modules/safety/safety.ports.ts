import type {
  BreachKind,
  CoolingCourse,
  CoolingJudgement,
  CorrectionId,
  HoldingJudgement,
  RuleSetId,
} from '../../core/safety/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { StockRepository } from '../stock/index.ts';

/** What temperatures are written down of: a prep task that cools, or a lot that is held. */
export interface TaskSubject {
  readonly taskId: string;
  readonly siteId: string;
  readonly name: string;
  readonly makeDate: string;
  readonly status: string;
  readonly startedAt: Date | null;
  readonly finishedAt: Date | null;
  /** A step of its recipe version cools cooked food. */
  readonly cools: boolean;
  readonly course: CoolingCourse;
}

/** A temperature somebody read. Struck out ones stay on record and are not judged. */
export interface Reading {
  readonly id: string;
  readonly siteId: string;
  readonly taskId: string | null;
  readonly lotId: string | null;
  readonly kind: BreachKind;
  readonly round: number;
  readonly celsius: number;
  readonly value: number;
  readonly unit: string;
  readonly at: Date;
  readonly offHeatAt: Date | null;
  readonly enteredAt: Date;
  readonly actorId: string;
  readonly actorName: string;
  readonly note: string | null;
  readonly struckAt: Date | null;
  readonly struckBy: string | null;
  readonly struckReason: string | null;
}

export const DECISIONS = ['released', 'thrown away'] as const;
export type Decision = (typeof DECISIONS)[number];

/** A limit that was not kept, what was done about it and what a lead decided. */
export interface Breach {
  readonly id: string;
  readonly siteId: string;
  readonly taskId: string | null;
  readonly lotId: string | null;
  readonly kind: BreachKind;
  readonly round: number;
  readonly ruleSet: RuleSetId;
  readonly message: string;
  readonly judgement: CoolingJudgement | HoldingJudgement;
  readonly foundAt: Date;
  readonly foundBy: string;
  readonly correction: CorrectionId | null;
  readonly correctionNote: string | null;
  readonly correctedAt: Date | null;
  readonly correctedBy: string | null;
  readonly decision: Decision | null;
  readonly decisionReason: string | null;
  readonly decidedAt: Date | null;
  readonly decidedBy: string | null;
  readonly rev: number;
}

type Correcting = Pick<Breach, 'correction' | 'correctionNote' | 'correctedAt' | 'correctedBy'>;
type Deciding = Pick<Breach, 'decision' | 'decisionReason' | 'decidedAt' | 'decidedBy'>;

export interface SafetyRepository {
  taskSubject(taskId: string): Promise<TaskSubject | null>;
  /** Tasks of the site that cool, begun since then. */
  coolingTasks(siteId: string, since: Date): Promise<readonly TaskSubject[]>;
  /** Lots a task made that are still on record. */
  lotsMadeBy(taskId: string): Promise<readonly { readonly id: string; readonly held: boolean }[]>;
  readingsOf(
    of: { readonly taskId: string } | { readonly lotId: string },
  ): Promise<readonly Reading[]>;
  readingsOfTasks(taskIds: readonly string[]): Promise<readonly Reading[]>;
  findReading(id: string): Promise<Reading | null>;
  insertReading(reading: Reading): Promise<void>;
  /** @returns false when it was struck out already */
  strikeReading(
    id: string,
    struck: { readonly struckAt: Date; readonly struckBy: string; readonly struckReason: string },
  ): Promise<boolean>;
  /** Breaches of a task, or of a lot and of the task that made it. */
  breachesOf(
    of: { readonly taskId: string } | { readonly lotId: string },
  ): Promise<readonly Breach[]>;
  openBreaches(siteId: string): Promise<readonly Breach[]>;
  findBreach(id: string): Promise<Breach | null>;
  insertBreach(breach: Breach): Promise<void>;
  /** @returns false when somebody else changed or decided it meanwhile */
  changeBreach(id: string, rev: number, change: Partial<Correcting & Deciding>): Promise<boolean>;
}

/** The repositories the safety service works with, inside one transaction. */
export interface SafetyWork {
  readonly safety: SafetyRepository;
  readonly stock: StockRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
