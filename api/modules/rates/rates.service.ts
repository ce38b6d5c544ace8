import { Decimal, isCurrencyCode } from '../../core/money/index.ts';
import {
  invalid,
  notFound,
  type Actor,
  type Clock,
  type NewId,
  type UnitOfWork,
} from '../platform/index.ts';
import type { Rate, RateInput, RatesWork } from './rates.ports.ts';

export interface RatesDependencies {
  readonly work: UnitOfWork<RatesWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** Exchange rates as people enter them; nothing is converted by any other. */
export class RatesService {
  readonly #deps: RatesDependencies;

  constructor(deps: RatesDependencies) {
    this.#deps = deps;
  }

  async list(): Promise<readonly Rate[]> {
    return this.#deps.work.read.rates.all();
  }

  async add(actor: Actor, input: RateInput): Promise<Rate> {
    for (const field of ['from', 'to'] as const) {
      if (!isCurrencyCode(input[field])) {
        throw invalid(`/${field}`, `${input[field]} is not a currency code such as EUR.`);
      }
    }
    if (input.from === input.to) throw invalid('/to', 'A rate is between two currencies.');
    if (!new Decimal(input.rate).gt(0)) throw invalid('/rate', 'A rate is above zero.');
    return this.#deps.work.run(async ({ rates, audit }) => {
      const made = await rates.insert(this.#deps.newId('rate'), input, actor.id);
      const detail = { ...input };
      await audit.append({
        actor,
        action: 'create',
        subjectKind: 'exchange-rate',
        subjectId: made.id,
        detail,
      });
      return made;
    });
  }

  async remove(actor: Actor, id: string): Promise<void> {
    await this.#deps.work.run(async ({ rates, audit }) => {
      if (!(await rates.delete(id))) throw notFound('exchange rate', id);
      await audit.append({ actor, action: 'delete', subjectKind: 'exchange-rate', subjectId: id });
    });
  }
}
