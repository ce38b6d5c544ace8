import type { MilpLimits, MilpModel } from '../core/milp/index.ts';
import type { PlanEffort, SitePlanInput } from '../core/planning/index.ts';

/** What a computing thread is asked for. Plain data: it is copied from thread to thread. */
export type Task =
  | { readonly kind: 'plan'; readonly input: SitePlanInput; readonly effort: PlanEffort }
  | { readonly kind: 'model'; readonly model: MilpModel; readonly limits: MilpLimits };

export interface Asked {
  readonly id: number;
  readonly task: Task;
}

export type Answer =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly error: unknown };
