import type { z } from 'zod';
import { lotCode } from '../../core/codes/index.ts';
import { codeOfBase } from '../../core/quantity/index.ts';
import { judgeCarried, limitText, SAFETY_NOTICE, type RuleSet } from '../../core/safety/index.ts';
import type { CarryOutcome } from './carrying.service.ts';
import type { LotToSend, NamedTransfer } from './transfers.service.ts';
import type { CarriedTemperature } from './transfers.ports.ts';
import type { CarriedSchema, TransferSchema, TransferWithLots } from './transfers.schema.ts';

type TransferBody = z.infer<typeof TransferSchema>;

const temperatureBody = (given: CarriedTemperature | null) =>
  given === null
    ? null
    : {
        value: given.value,
        unit: given.unit,
        celsius: given.celsius,
        verdict: given.judgement.verdict,
        message: given.judgement.message,
      };

export function toTransferBody(named: NamedTransfer): TransferBody {
  const { transfer, item, storage, fromRules, toRules } = named;
  const unit = codeOfBase(item.measures.baseUnit);
  const of = (value: number) => ({ value, unit });
  const limit = (rules: RuleSet): string | null => {
    const { limit: most } = judgeCarried(0, storage, rules);
    return most && limitText(most);
  };
  const { sent, received } = transfer;
  return {
    id: transfer.id,
    component: { id: item.itemId, name: item.name },
    versionId: transfer.versionId,
    from: { id: transfer.fromSiteId, name: named.fromName },
    to: { id: transfer.toSiteId, name: named.toName },
    leaveDate: transfer.leaveDate,
    leavesAt: transfer.leavesAt.toISOString(),
    arrivesAt: transfer.arrivesAt.toISOString(),
    status: transfer.status,
    container: { name: transfer.containerName, holds: of(transfer.containerQuantity) },
    containers: Math.round(transfer.quantity / transfer.containerQuantity),
    asked: { amount: of(transfer.quantity), node: transfer.node },
    promised: transfer.promised === null ? null : of(transfer.promised),
    serves: transfer.serves.map(({ label, serviceDate, atMin, quantity }) => ({
      label,
      serviceDate,
      at: new Date(atMin * 60_000).toISOString(),
      amount: of(quantity),
    })),
    neededUntil: transfer.neededUntil.toISOString(),
    useBy: transfer.useBy.toISOString(),
    storage,
    limits: { leaving: limit(fromRules), arriving: limit(toRules) },
    sent: sent && {
      at: sent.at,
      by: sent.by,
      amount: of(sent.quantity),
      lots: sent.lots.map(({ lotId, quantity, useBy }) => ({
        lotId,
        lotCode: lotCode(lotId),
        amount: of(quantity),
        useBy,
      })),
      temperature: temperatureBody(sent.temperature),
      note: sent.note,
    },
    received: received && {
      at: received.at,
      by: received.by,
      amount: of(received.quantity),
      difference: of(received.difference),
      lots: received.lots.map(({ fromLotId, lotId, came }) => ({
        fromLotId,
        lotId,
        amount: of(came),
      })),
      temperature: temperatureBody(received.temperature),
      note: received.note,
    },
    reason: transfer.reason,
    rev: transfer.rev,
    notice: SAFETY_NOTICE,
  };
}

export function toTransferWithLots(
  named: NamedTransfer,
  lots: readonly LotToSend[],
): z.infer<typeof TransferWithLots> {
  const unit = codeOfBase(named.item.measures.baseUnit);
  return {
    ...toTransferBody(named),
    lotsToSend: lots.map(({ lot, take }) => ({
      lotId: lot.id,
      lotCode: lotCode(lot.id),
      left: { value: lot.quantity, unit },
      take: { value: take, unit },
      useBy: lot.useBy.toISOString(),
    })),
  };
}

export function toCarriedBody({
  transfer,
  heldLotIds,
}: CarryOutcome): z.infer<typeof CarriedSchema> {
  return { transfer: toTransferBody(transfer), heldLotIds: [...heldLotIds] };
}
