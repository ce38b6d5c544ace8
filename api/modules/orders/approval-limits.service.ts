import { isCurrencyCode } from '../../core/money/index.ts';
import { invalid, notFound, type Actor } from '../platform/index.ts';
import type { ApprovalLimit } from './orders.ports.ts';
import type { OrdersDependencies } from './orders.service.ts';

/** Who may approve how much in one order. */
export class ApprovalLimitsService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  list(): Promise<readonly ApprovalLimit[]> {
    return this.#deps.work.read.approvalLimits.all();
  }

  /** Sets the limit of a person, token or role in a currency; the old one goes. */
  async set(actor: Actor, input: Omit<ApprovalLimit, 'id'>): Promise<readonly ApprovalLimit[]> {
    if (!isCurrencyCode(input.currency)) {
      throw invalid('/currency', `${input.currency} is not a currency code such as EUR.`);
    }
    const { work, newId } = this.#deps;
    return work.run(async ({ approvalLimits, audit }) => {
      await approvalLimits.put({ id: newId('lim'), ...input });
      await audit.append({
        actor,
        action: 'limit',
        subjectKind: 'approver',
        subjectId: input.subject,
        detail: { amount: input.amount, currency: input.currency },
      });
      return approvalLimits.all();
    });
  }

  async remove(actor: Actor, id: string): Promise<void> {
    await this.#deps.work.run(async ({ approvalLimits, audit }) => {
      const limit = (await approvalLimits.all()).find((known) => known.id === id);
      if (!limit || !(await approvalLimits.remove(id))) throw notFound('approval limit', id);
      await audit.append({
        actor,
        action: 'lift limit',
        subjectKind: 'approver',
        subjectId: limit.subject,
        detail: { currency: limit.currency },
      });
    });
  }
}
